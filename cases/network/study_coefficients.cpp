// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/network/study_coefficients.h"

#include <fmt/format.h>

#include <utility>

namespace cowlwright::network {

Coefficients StudyCoefficients::uncorrected(const VariantSpec& spec) {
  Coefficients defaults = default_coefficients(spec);
  if (!spec.estimate.solved_flow) return defaults;
  const std::filesystem::path& file = *spec.estimate.solved_flow;
  auto found = solved_.find(file);
  if (found == solved_.end()) {
    found = solved_.emplace(file, SolvedCases(base::read_solved_flow(file))).first;
  }
  return found->second.put_into(std::move(defaults), spec);
}

Coefficients StudyCoefficients::of(const VariantSpec& spec) {
  Coefficients coefficients = uncorrected(spec);
  if (!flown_) return coefficients;
  if (spec.variant.name == flown_->variant.name) {
    return with_readings(std::move(coefficients), spec, flown_->readings);
  }
  if (!correction_) correction_ = deck_correction(Model(*flown_, uncorrected(*flown_)), flown_->readings);
  coefficients = with_correction(std::move(coefficients), *correction_);
  if (correction_->is_any) {
    coefficients.notes.push_back(
        fmt::format("Those deck pressures were measured in variant {}; that its factors hold here too is "
                    "taken for granted.",
                    flown_->variant.name));
  }
  return coefficients;
}

}  // namespace cowlwright::network
