// SPDX-License-Identifier: GPL-3.0-or-later
//
// The coefficients of variants from all that their study knows.
#pragma once

#include "cases/network/solved_cases.h"
#include "cases/network/with_readings.h"

#include <filesystem>
#include <map>
#include <optional>

namespace cowlwright::network {

/// Handbooks and the study's own numbers, with solved cases in their place when the study names a file of
/// them, then corrected by deck pressures of readings. A file of solved cases is read once, and readings are
/// fitted once.
class StudyCoefficients {
 public:
  /// Without readings.
  StudyCoefficients() = default;
  /// With the deck pressures among the readings of the installation that was flown.
  explicit StudyCoefficients(VariantSpec flown) : flown_(std::move(flown)) {}

  /// Another variant than the flown one takes the same factors, and a note says so. Without deck pressures
  /// nothing is corrected.
  /// @throws InputError  as read_solved_flow() and SolvedCases.
  Coefficients of(const VariantSpec& spec);

 private:
  Coefficients uncorrected(const VariantSpec& spec);

  std::optional<VariantSpec> flown_;
  std::optional<DeckCorrection> correction_;
  std::map<std::filesystem::path, SolvedCases> solved_;
};

}  // namespace cowlwright::network
