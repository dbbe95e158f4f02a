// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/network/bands.h"

#include "cases/starter.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::network {
namespace {

const VariantSpec& starter() {
  static const VariantSpec spec = [] {
    VariantSpec bare = parse_study(starter_study_text(), "starter.toml").variants.front();
    bare.propeller.present = false;
    return bare;
  }();
  return spec;
}

double difference(const State& state) {
  return state.deck_pressure_difference();
}

std::vector<std::string> names(const Coefficients& coefficients) {
  std::vector<std::string> result;
  for (const MovingCoefficient& one : moving_coefficients(coefficients)) result.push_back(one.name);
  return result;
}

TEST(MovingCoefficients, PartsAlikeMoveTogetherAndUnlikeApart) {
  Coefficients coefficients = default_coefficients(starter());
  EXPECT_THAT(names(coefficients),
              testing::IsSupersetOf({"inlet loss in still air, both inlets",
                                     "cylinders' pressure drop, factor, all cylinders",
                                     "exit discharge",
                                     "exit pressure coefficient"}));
  coefficients.inlets[1].still_loss.value += 0.1;
  EXPECT_THAT(names(coefficients),
              testing::IsSupersetOf({"inlet loss in still air, left", "inlet loss in still air, right"}));
}

TEST(MovingCoefficients, SolvedLossesTakeThePlaceOfTheHandbooks) {
  Coefficients coefficients = default_coefficients(starter());
  for (InletCoefficients& inlet : coefficients.inlets) {
    inlet.solved_loss = {{0.4, 1.2}};
    inlet.solved_loss_origin = {0.0, 0.1, "from CFD: case a, grid coarse"};
  }
  EXPECT_THAT(names(coefficients), testing::Contains("solved inlet loss, factor, left"));
  EXPECT_THAT(names(coefficients), testing::Not(testing::Contains(testing::HasSubstr("still air"))));
}

// Only the exit's discharge has a band: the result's is half of what its own ends differ by.
TEST(HalfBand, IsHalfOfWhatOneCoefficientsEndsDifferBy) {
  Coefficients coefficients = default_coefficients(starter());
  for (const MovingCoefficient& one : moving_coefficients(coefficients)) EXPECT_FALSE(one.source.empty());
  for (InletCoefficients& inlet : coefficients.inlets) {
    inlet.still_loss.half_band = inlet.deck_loss.half_band = inlet.propeller_rise.half_band = 0.0;
  }
  for (PassageCoefficients& passage : coefficients.passages) passage.resistance.half_band = 0.0;
  coefficients.exit.pressure.half_band = 0.0;
  coefficients.exit.discharge.half_band = 0.1;
  const Condition condition = stated_condition(starter());
  const Estimate found = estimate(Model(starter(), coefficients), condition);
  Coefficients up = coefficients, down = coefficients;
  up.exit.discharge.value += 0.1;
  down.exit.discharge.value -= 0.1;
  const double expected = 0.5 * std::abs(difference(Model(starter(), up).solve(condition)) -
                                         difference(Model(starter(), down).solve(condition)));
  EXPECT_GT(expected, 1.0);
  EXPECT_NEAR(half_band(found, difference), expected, 1e-6);
}

// The sides are alike, so that only their own errors make an imbalance.
TEST(HalfBand, OfAnImbalanceIsNotNothing) {
  const Estimate found =
      estimate(Model(starter(), default_coefficients(starter())), stated_condition(starter()));
  const auto imbalance = [](const State& s) { return s.inlets[1].mass_flow - s.inlets[0].mass_flow; };
  EXPECT_NEAR(imbalance(found.state), 0.0, 1e-12);
  EXPECT_GT(half_band(found, imbalance), 1e-3);
}

TEST(ShiftOf, IsHalfOfTheEndsOrTheLargerOneOnOneSide) {
  EXPECT_DOUBLE_EQ(shift_of(1.0, 1.2, 0.9), 0.15);
  EXPECT_DOUBLE_EQ(shift_of(0.0, 0.1, 0.3), 0.3);
  EXPECT_DOUBLE_EQ(shift_of(0.0, 0.3, 0.1), 0.3);
}

TEST(HalfBand, OfTwoCoefficientsIsTheRootOfTheirSquares) {
  const Coefficients coefficients = default_coefficients(starter());
  const Estimate found = estimate(Model(starter(), coefficients), stated_condition(starter()));
  double largest = 0.0, sum = 0.0;
  for (const Moved& moved : found.moved) {
    const double one = 0.5 * std::abs(difference(moved.up) - difference(moved.down));
    largest = std::max(largest, one);
    sum += one;
  }
  EXPECT_GE(half_band(found, difference), largest);
  EXPECT_LT(half_band(found, difference), sum);
}

}  // namespace
}  // namespace cowlwright::network
