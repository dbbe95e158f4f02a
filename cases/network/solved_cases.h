// SPDX-License-Identifier: GPL-3.0-or-later
//
// Coefficients from solved cases in place of those from handbooks.
#pragma once

#include "cases/network/coefficients.h"
#include "cases/network/solved_parts.h"
#include "geometry/base/solved_flow.h"

#include <memory>
#include <vector>

namespace cowlwright::network {

/// A case with the variant it was made from.
struct KnownCase {
  const base::SolvedCase* solved = nullptr;
  const VariantSpec* spec = nullptr;
  Turned turned;  ///< the network's coefficients at the case's own condition
};

/// Solved cases, with the study that they were made from read again.
class SolvedCases {
 public:
  /// @throws InputError  when the study in `flow` cannot be read, or has no variant of a case's name.
  explicit SolvedCases(base::SolvedFlow flow);

  /// Puts in what they say about each part of the air's way: an inlet, a core, the oil cooler, a leak,
  /// the exit. A case speaks of a part when its dimensions of that part are the variant's
  /// (same_dimensions.h); of the exit also when only the lip's angle differs, between two such angles. Sound
  /// cases (settled or oscillating, not flagged) go first; others are taken where no sound one speaks, with
  /// their status in source and notes. Cases at standstill speak of standstill only, and flown ones of
  /// flight.
  ///
  /// Each coefficient is the one with which the network at a case's own condition gives back that case's
  /// flows and pressures; over several cases it is their mean, the inlets' loss a curve over the velocity
  /// ratio. Half bands: the largest of the cases' own published bands, plus half of the spread between the
  /// cases, plus an allowance where the grid's error is unknown. Parts that no case speaks of keep what
  /// `coefficients` has, and are named in the notes.
  ///
  /// @param coefficients  default_coefficients(spec).
  Coefficients put_into(Coefficients coefficients, const VariantSpec& spec) const;

 private:
  std::unique_ptr<const base::SolvedFlow> flow_;  ///< stays where it is: cases_ points into it
  std::unique_ptr<const Study> study_;            ///< likewise
  std::vector<KnownCase> cases_;
};

}  // namespace cowlwright::network
