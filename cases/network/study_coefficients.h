// SPDX-License-Identifier: GPL-3.0-or-later
//
// The coefficients of a variant from all that its study knows.
#pragma once

#include "cases/network/coefficients.h"

namespace cowlwright::network {

/// Handbooks and the study's own numbers, with solved cases in their place when the study names a file of
/// them.
/// @throws InputError  as read_solved_flow() and with_solved_cases().
Coefficients study_coefficients(const VariantSpec& spec);

/// The same, corrected by the deck pressures among the readings of `flown`, the installation they were taken
/// in: another variant takes the same factors, and a note says so. Without such pressures nothing changes.
Coefficients flown_coefficients(const VariantSpec& spec, const VariantSpec& flown);

}  // namespace cowlwright::network
