// SPDX-License-Identifier: GPL-3.0-or-later
//
// What an estimate adds to the table on the terminal: where the pressure goes, and the coefficients.
#include "post/quantities/pressure_budget.h"
#include "post/tables/screen_parts.h"
#include "post/tables/wording.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::post {

namespace {

std::string budget_lines(const Comparison& comparison) {
  const VariantResult& variant = comparison.variants[comparison.baseline];
  const auto steps = pressure_budget(variant);
  if (!steps) return {};
  std::string text = fmt::format("Where the pressure goes, {}\n", comparison.labels[comparison.baseline]);
  for (const BudgetStep& step : *steps) {
    text += fmt::format(" {:<58}{:>12} Pa{:>9} {}\n",
                        step.name,
                        signed_text(step.change, 1),
                        signed_text(step.of_reference, 3),
                        variant.manifest.flight.reference_name);
  }
  return text + "\n";
}

bool is_same(const EstimateCoefficient& a, const EstimateCoefficient& b) {
  return a.name == b.name && a.value == b.value && a.half_band == b.half_band && a.source == b.source;
}

std::string coefficient_lines(const VariantResult& variant, const VariantResult* baseline) {
  std::string text;
  for (const EstimateCoefficient& one : variant.coefficients) {
    const bool is_known = baseline != nullptr && std::any_of(baseline->coefficients.begin(),
                                                             baseline->coefficients.end(),
                                                             [&one](const EstimateCoefficient& other) {
                                                               return is_same(one, other);
                                                             });
    if (is_known) continue;
    text += fmt::format(
        " {:<50}{:>9.4g} ±{:<7.2g}{:>9} Pa\n", one.name, one.value, one.half_band, signed_text(one.shift, 1));
    text += wrapped("    ", one.source);
  }
  return text;
}

}  // namespace

std::string screen_estimate(const Comparison& comparison) {
  if (!comparison.is_estimate) return {};
  const VariantResult& baseline = comparison.variants[comparison.baseline];
  std::string text = budget_lines(comparison);
  text +=
      "Coefficients with half band, what they move the deck pressure difference by when they rise by it, "
      "source\n";
  text += coefficient_lines(baseline, nullptr);
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    if (comparison.is_baseline(i)) continue;
    const std::string more = coefficient_lines(comparison.variants[i], &baseline);
    if (!more.empty()) text += fmt::format("{}, where they differ\n{}", comparison.labels[i], more);
  }
  return text + "\n";
}

}  // namespace cowlwright::post
