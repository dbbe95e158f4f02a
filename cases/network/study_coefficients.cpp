// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/network/study_coefficients.h"

#include "cases/network/solved_cases.h"
#include "cases/network/with_readings.h"

#include <fmt/format.h>

#include <utility>

namespace cowlwright::network {

Coefficients study_coefficients(const VariantSpec& spec) {
  Coefficients defaults = default_coefficients(spec);
  if (!spec.estimate.solved_flow) return defaults;
  return with_solved_cases(std::move(defaults), spec, base::read_solved_flow(*spec.estimate.solved_flow));
}

Coefficients flown_coefficients(const VariantSpec& spec, const VariantSpec& flown) {
  Coefficients coefficients = study_coefficients(spec);
  if (spec.variant.name == flown.variant.name) {
    return with_readings(std::move(coefficients), spec, flown.readings);
  }
  const DeckCorrection correction = deck_correction(Model(flown, study_coefficients(flown)), flown.readings);
  coefficients = with_correction(std::move(coefficients), correction);
  if (correction.is_any) {
    coefficients.notes.push_back(
        fmt::format("Those deck pressures were measured in variant {}; that its factors hold here too is "
                    "taken for granted.",
                    flown.variant.name));
  }
  return coefficients;
}

}  // namespace cowlwright::network
