// SPDX-License-Identifier: GPL-3.0-or-later
//
// The pressure's way from the free stream through the cowl and back.
#include "post/quantities/pressure_budget.h"

#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace cowlwright::post {
namespace {

using namespace cowlwright::post::synthetic;

/// Inlets 0.4 and 0.5 kg/s at total pressures of 1.1 and 1.2 q; q = 1500 Pa; decks +1250 and +150 Pa.
VariantResult with_total_pressures() {
  VariantResult result = sample_variant("0 deg", true);
  for (const auto& [side, value] : {std::pair("left", 1.1), std::pair("right", 1.2)}) {
    Quantity quantity = empty_quantity(std::string("inlet_total_pressure_") + side);
    quantity.value = value;
    result.quantities.push_back(quantity);
  }
  return result;
}

// Ahead: (0.4 * 1.1 + 0.5 * 1.2) / 0.9 * 1500 = 1733.33 Pa.
TEST(PressureBudget, StepsDownFromTheTotalPressureThroughTheDecksToTheFreeStream) {
  const auto steps = pressure_budget(with_total_pressures());
  ASSERT_TRUE(steps.has_value());
  ASSERT_EQ(steps->size(), 4U);
  EXPECT_NEAR(steps->at(0).change, 1733.333, 1e-3);
  EXPECT_NEAR(steps->at(1).change, 1250.0 - 1733.333, 1e-3);
  EXPECT_NEAR(steps->at(2).change, 150.0 - 1250.0, 1e-6);
  EXPECT_NEAR(steps->at(3).change, -150.0, 1e-6);
  EXPECT_NEAR(steps->at(2).of_reference, -1100.0 / 1500.0, 1e-9);
}

TEST(PressureBudget, AddsUpToNothing) {
  double sum = 0.0;
  const auto steps = pressure_budget(with_total_pressures());
  for (const BudgetStep& step : *steps) sum += step.change;
  EXPECT_NEAR(sum, 0.0, 1e-9);
}

TEST(PressureBudget, IsNoneWhenAPressureIsMissing) {
  for (const std::string missing :
       {"inlet_total_pressure_left", "upper_deck_pressure", "inlet_mass_flow_right"}) {
    VariantResult result = with_total_pressures();
    std::erase_if(result.quantities, [&missing](const Quantity& quantity) { return quantity.id == missing; });
    EXPECT_FALSE(pressure_budget(result).has_value()) << missing;
  }
}

}  // namespace
}  // namespace cowlwright::post
