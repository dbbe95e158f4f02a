// SPDX-License-Identifier: GPL-3.0-or-later
//
// Coefficients from solved cases in place of those from handbooks.
#pragma once

#include "cases/network/coefficients.h"
#include "geometry/base/solved_flow.h"

namespace cowlwright::network {

/// Puts in what solved cases say about each part of the air's way: an inlet, a core, the oil cooler, a leak,
/// the exit. A case speaks of a part when its dimensions of that part are the variant's (same_dimensions.h);
/// of the exit also when only the lip's angle differs, between two such angles. Sound cases (settled or
/// oscillating, not flagged) go first; others are taken where no sound one speaks, with their status in
/// source and notes. Cases at standstill speak of standstill only, and flown ones of flight.
///
/// Each coefficient is the one with which the network at a case's own condition gives back that case's flows
/// and pressures; over several cases it is their mean, the inlets' loss a curve over the velocity ratio.
/// Half bands: the largest of the cases' own published bands, plus half of the spread between the cases, plus
/// an allowance where the grid's error is unknown. Parts that no case speaks of keep what `coefficients` has,
/// and are named in the notes.
///
/// @param coefficients  default_coefficients(spec).
/// @throws InputError   when the study in `flow` cannot be read, or has no variant of a case's name.
Coefficients with_solved_cases(Coefficients coefficients,
                               const VariantSpec& spec,
                               const base::SolvedFlow& flow);

}  // namespace cowlwright::network
