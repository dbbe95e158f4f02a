// SPDX-License-Identifier: GPL-3.0-or-later
//
// Shapley values of textbook games, whose values are known.
#include "cases/compare/shapley.h"

#include "cases/compare/network_estimator.h"
#include "tests/support/validation.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <ctime>
#include <filesystem>
#include <string>

namespace cowlwright::compare {
namespace {

using testing_support::ValidationCheck;

TEST(TextbookGames, GlovesAndVotes) {
  ValidationCheck check(
      {.id = "compare.textbook_games",
       .group = "Comparison of installations",
       .title = "Shapley values of the glove game and of a weighted vote",
       .source = "textbook examples of Shapley 1953 and Shapley and Shubik 1954 (from memory)",
       .condition = "two left gloves, one right; quota 3 of votes 2, 1, 1",
       .unit = "-",
       .reason = "exact: rounding"});
  const Attribution gloves =
      attribute(3, [](const Coalition& c) { return std::vector{(c[0] || c[1]) && c[2] ? 1.0 : 0.0}; });
  check.expect_near("left glove", gloves.value[0][0], 1.0 / 6.0, 1e-14);
  check.expect_near("the other left glove", gloves.value[1][0], 1.0 / 6.0, 1e-14);
  check.expect_near("right glove", gloves.value[2][0], 4.0 / 6.0, 1e-14);
  const Attribution votes =
      attribute(3, [](const Coalition& c) { return std::vector{2 * c[0] + c[1] + c[2] >= 3 ? 1.0 : 0.0}; });
  check.expect_near("two votes", votes.value[0][0], 2.0 / 3.0, 1e-14);
  check.expect_near("one vote", votes.value[1][0], 1.0 / 6.0, 1e-14);
}

/// A runway costs what its largest aircraft needs.
Game airport(const std::vector<double>& costs) {
  return [costs](const Coalition& coalition) {
    double cost = 0.0;
    for (std::size_t i = 0; i < costs.size(); ++i) {
      if (coalition[i]) cost = std::max(cost, costs[i]);
    }
    return std::vector{cost};
  };
}

/// Each piece of the runway is paid for alike by all who need it; costs rising.
std::vector<double> airport_fees(const std::vector<double>& costs) {
  std::vector<double> fees;
  double fee = 0.0, before = 0.0;
  for (std::size_t i = 0; i < costs.size(); ++i) {
    fee += (costs[i] - before) / static_cast<double>(costs.size() - i);
    before = costs[i];
    fees.push_back(fee);
  }
  return fees;
}

TEST(TextbookGames, AirportExactlyAndSampled) {
  ValidationCheck check(
      {.id = "compare.airport_game",
       .group = "Comparison of installations",
       .title = "Shapley values of the airport game",
       .source =
           "Littlechild and Owen 1973 (from memory): each piece of runway shared alike by all who need it",
       .condition = "10 aircraft, exactly; 20 aircraft, 200 sampled orders and their reverses",
       .unit = "-",
       .reason = "exact: rounding; sampled: four of the standard errors that are stated with the values"});
  std::vector<double> ten, twenty;
  for (int i = 1; i <= 20; ++i) {
    if (i <= 10) ten.push_back(i * i);
    twenty.push_back(i * i);
  }
  const Attribution exact = attribute(10, airport(ten));
  const std::vector<double> fees = airport_fees(ten);
  for (const std::size_t i : {0U, 4U, 9U}) {
    check.expect_near("aircraft " + std::to_string(i + 1) + " of 10", exact.value[i][0], fees[i], 1e-10);
  }
  const Attribution sampled = attribute(20, airport(twenty), {.n_order_pairs = 200});
  ASSERT_FALSE(sampled.is_exact);
  const std::vector<double> many_fees = airport_fees(twenty);
  for (const std::size_t i : {4U, 9U, 14U, 19U}) {
    check.expect_near("aircraft " + std::to_string(i + 1) + " of 20, sampled",
                      sampled.value[i][0],
                      many_fees[i],
                      4.0 * sampled.standard_error[i][0]);
  }
}

/// Twelve details that the network feels.
VariantSpec with_twelve_changes(VariantSpec spec) {
  spec.shape.inlets.left.ring = shape::RingStyle::None;
  spec.shape.inlets.left.lip_radius = 0.0;
  spec.shape.inlets.left.diameter = 0.125;
  spec.shape.inlets.left.height = 0.03;
  spec.shape.inlets.right.diameter = 0.130;
  spec.shape.inlets.spacing = 0.54;
  spec.shape.exit.gap = 0.070;
  spec.shape.exit.width = 0.50;
  spec.shape.exit.lip_angle = 0.3;
  spec.shape.exit.strut_diameter = 0.04;
  spec.shape.leaks.effective_area[static_cast<std::size_t>(shape::LeakPlace::RearBaffleLeft)] = 5e-4;
  spec.shape.leaks.effective_area[static_cast<std::size_t>(shape::LeakPlace::CrankcaseNose)] = 3e-4;
  spec.flight.incidence = 0.05;
  return spec;
}

TEST(TwelveDifferences, AreSharedOutExactlyInSeconds) {
  ValidationCheck check(
      {.id = "compare.twelve_differences",
       .group = "Comparison of installations",
       .title = "Effects of twelve differing details in the lumped network, sum over the whole change",
       .source = "exact: Shapley values add up to the total (efficiency)",
       .condition = "deck pressure difference and air through the cylinders; 4096 mixtures",
       .unit = "-",
       .reason = "exact: rounding"});
  const VariantSpec good =
      read_study(std::filesystem::path(COWLWRIGHT_TEST_DATA) / "studies/good_cowl.toml").variants.front();
  const std::clock_t begin = std::clock();
  const Comparison c = compare_installations(good, with_twelve_changes(good), network_estimator());
  const double took = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
  ASSERT_EQ(c.felt.size(), 12U);
  EXPECT_TRUE(c.attribution.is_exact);
  EXPECT_EQ(c.attribution.n_evaluated, 4096U);
  for (std::size_t q = 0; q < 2; ++q) {
    double sum = 0.0;
    for (const Effect& effect : c.effects) sum += effect.value[q];
    check.expect_near(c.quantities[q].name, sum / (c.mine[q] - c.good[q]), 1.0, 1e-9);
  }
  RecordProperty("seconds", std::to_string(took));
  EXPECT_LT(took, 15.0) << "seconds of processor time";
}

}  // namespace
}  // namespace cowlwright::compare
