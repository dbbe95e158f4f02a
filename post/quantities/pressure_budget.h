// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where the pressure goes that flight and propeller put before the inlets.
#pragma once

#include "post/quantities/variant_result.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

/// One step of the way, from the free stream's static pressure round to it again.
struct BudgetStep {
  std::string id;
  std::string name;
  double change = 0.0;        ///< of the pressure over this step, a loss is negative [Pa]
  double of_reference = 0.0;  ///< the same over the reference pressure
};

/// Up to the total pressure ahead of the inlets (mean of both, weighted with their flows), down to the static
/// pressure in the upper deck, down to that in the lower deck, and from there to the free stream's: a step up
/// where the exit sucks, down where it holds back. The changes add up to 0. Nothing when one of the pressures
/// is not known.
std::optional<std::vector<BudgetStep>> pressure_budget(const VariantResult& variant);

}  // namespace cowlwright::post
