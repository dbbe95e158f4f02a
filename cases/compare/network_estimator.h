// SPDX-License-Identifier: GPL-3.0-or-later
//
// The lumped network as the estimate that a comparison shares out.
#pragma once

#include "cases/compare/comparison.h"

namespace cowlwright::compare {

/// Deck pressure difference and the air through all cylinders, each installation in its own flight condition.
/// With an engine also the temperature of the hottest head and the smallest margin, where its readings or
/// limits give one.
///
/// @param engine  the installation whose readings and constants count for both; nullptr: no temperatures. It
///                is not kept.
Estimator network_estimator(const VariantSpec* engine = nullptr);

}  // namespace cowlwright::compare
