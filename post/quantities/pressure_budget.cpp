// SPDX-License-Identifier: GPL-3.0-or-later
//
// Puts the published pressures in a row.
#include "post/quantities/pressure_budget.h"

namespace cowlwright::post {

namespace {

/// Mean over both inlets, weighted with their flows, over the reference pressure.
std::optional<double> total_ahead(const VariantResult& variant) {
  double flow = 0.0;
  double sum = 0.0;
  for (const std::string side : {"left", "right"}) {
    const Quantity* inlet_flow = variant.find("inlet_mass_flow_" + side);
    const Quantity* total = variant.find("inlet_total_pressure_" + side);
    if (inlet_flow == nullptr || total == nullptr) {
      return std::nullopt;
    }
    flow += inlet_flow->value;
    sum += inlet_flow->value * total->value;
  }
  return flow > 0.0 ? std::optional(sum / flow) : std::nullopt;
}

}  // namespace

std::optional<std::vector<BudgetStep>> pressure_budget(const VariantResult& variant) {
  const double reference = variant.manifest.flight.reference_pressure;
  const std::optional<double> ahead = total_ahead(variant);
  const Quantity* upper = variant.find("upper_deck_pressure");
  const Quantity* lower = variant.find("lower_deck_pressure");
  if (!ahead || upper == nullptr || lower == nullptr || !(reference > 0.0)) {
    return std::nullopt;
  }
  const double total = *ahead * reference;
  std::vector<BudgetStep> steps{
      {"total_ahead", "flight and propeller, total pressure ahead of the inlets", total, 0.0},
      {"inlet_loss", "inlets, into the upper deck", upper->value - total, 0.0},
      {"cylinders",
       "cylinders and what is beside them, into the lower deck",
       lower->value - upper->value,
       0.0},
      {"lower_deck", "exit, back to the free stream", -lower->value, 0.0}};
  for (BudgetStep& step : steps) {
    step.of_reference = step.change / reference;
  }
  return steps;
}

}  // namespace cowlwright::post
