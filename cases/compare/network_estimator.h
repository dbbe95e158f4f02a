// SPDX-License-Identifier: GPL-3.0-or-later
//
// The lumped network as the estimate that a comparison shares out.
#pragma once

#include "cases/compare/comparison.h"

namespace cowlwright::compare {

/// Deck pressure difference and the air through all cylinders, each installation in its own flight condition.
Estimator network_estimator();

}  // namespace cowlwright::compare
