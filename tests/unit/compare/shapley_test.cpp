// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/shapley.h"

#include "geometry/base/error.h"
#include "tests/unit/compare/random_game.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numeric>

namespace cowlwright::compare {
namespace {

using testing_games::game_of;
using testing_games::mask_of;
using testing_games::random_worths;

double sum_of_values(const Attribution& result) {
  double sum = 0.0;
  for (const std::vector<double>& value : result.value) sum += value.front();
  return sum;
}

TEST(ShapleyValues, OfRandomGamesAddUpToTheTotal) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const std::size_t n = 1 + seed % 8;
    const Attribution result = attribute(n, game_of(random_worths(n, seed)));
    EXPECT_TRUE(result.is_exact);
    EXPECT_EQ(result.n_evaluated, std::size_t{1} << n);
    EXPECT_NEAR(sum_of_values(result), result.everybody[0] - result.nobody[0], 1e-12) << "seed " << seed;
  }
}

TEST(ShapleyValues, AreTheMeanOverAllOrders) {
  // By hand: v(1) = 2, v(2) = 3, v(12) = 9. Orders 1,2: 2 and 7; 2,1: 3 and 6. Means 4 and 5.
  const Attribution result = attribute(2, game_of({0.0, 2.0, 3.0, 9.0}));
  EXPECT_NEAR(result.value[0][0], 4.0, 1e-14);
  EXPECT_NEAR(result.value[1][0], 5.0, 1e-14);
}

TEST(ShapleyValues, OfPlayersThatCanBeExchangedAreEqual) {
  for (unsigned seed = 1; seed <= 10; ++seed) {
    std::vector<double> worths = random_worths(5, seed);
    for (std::size_t mask = 0; mask < worths.size(); ++mask) {  // players 1 and 3 made alike
      const bool has_one = (mask & 2U) != 0, has_three = (mask & 8U) != 0;
      if (has_one && !has_three) worths[mask] = worths[(mask & ~std::size_t{2}) | 8U];
    }
    const Attribution result = attribute(5, game_of(worths));
    EXPECT_NEAR(result.value[1][0], result.value[3][0], 1e-13) << "seed " << seed;
  }
}

TEST(ShapleyValues, OfAPlayerWhoNeverAddsAnythingIsZero) {
  for (unsigned seed = 1; seed <= 10; ++seed) {
    std::vector<double> worths = random_worths(6, seed);
    for (std::size_t mask = 0; mask < worths.size(); ++mask) worths[mask] = worths[mask & ~std::size_t{4}];
    const Attribution result = attribute(6, game_of(worths));
    EXPECT_NEAR(result.value[2][0], 0.0, 1e-14) << "seed " << seed;
    EXPECT_GT(std::abs(result.value[0][0]), 1e-6) << "the others do add something";
  }
}

TEST(ShapleyValues, AreLinearInTheGame) {
  const std::vector<double> first = random_worths(6, 11), second = random_worths(6, 12);
  std::vector<double> mixed(first.size());
  for (std::size_t i = 0; i < mixed.size(); ++i) mixed[i] = 2.5 * first[i] - 0.75 * second[i];
  const Attribution a = attribute(6, game_of(first));
  const Attribution b = attribute(6, game_of(second));
  const Attribution c = attribute(6, game_of(mixed));
  for (std::size_t i = 0; i < 6; ++i) {
    EXPECT_NEAR(c.value[i][0], 2.5 * a.value[i][0] - 0.75 * b.value[i][0], 1e-13);
  }
}

TEST(ShapleyValues, DoNotDependOnTheOrderOfThePlayers) {
  const std::vector<double> worths = random_worths(6, 3);
  const std::vector<std::size_t> place{4, 2, 5, 0, 1, 3};  // player i of one game is place[i] of the other
  const Game moved = [&](const Coalition& coalition) {
    Coalition original(6, false);
    for (std::size_t i = 0; i < 6; ++i) original[i] = coalition[place[i]];
    return std::vector{worths[mask_of(original)]};
  };
  const Attribution a = attribute(6, game_of(worths));
  const Attribution b = attribute(6, moved);
  for (std::size_t i = 0; i < 6; ++i) EXPECT_NEAR(a.value[i][0], b.value[place[i]][0], 1e-13);
}

TEST(ShapleyValues, OfSeveralQuantitiesAreThoseOfEach) {
  const std::vector<double> first = random_worths(4, 5), second = random_worths(4, 6);
  const Attribution both = attribute(4, [&](const Coalition& c) {
    return std::vector{first[mask_of(c)], second[mask_of(c)]};
  });
  const Attribution one = attribute(4, game_of(second));
  for (std::size_t i = 0; i < 4; ++i) EXPECT_DOUBLE_EQ(both.value[i][1], one.value[i][0]);
}

TEST(ShapleyValues, OfNoPlayersAreNone) {
  const Attribution result = attribute(0, game_of({7.0}));
  EXPECT_TRUE(result.value.empty());
  EXPECT_EQ(result.everybody[0], 7.0);
}

TEST(SampledShapleyValues, AgreeWithExactOnesWithinTheirErrorBars) {
  int n_beyond_two = 0, n_values = 0;
  for (unsigned seed = 1; seed <= 10; ++seed) {
    const Game game = game_of(random_worths(8, seed));
    const Attribution exact = attribute(8, game);
    const Attribution sampled = attribute(8, game, {.most_exact = 4, .n_order_pairs = 200, .seed = seed});
    ASSERT_FALSE(sampled.is_exact);
    EXPECT_EQ(sampled.n_orders, 400U);
    for (std::size_t i = 0; i < 8; ++i) {
      const double error = std::abs(sampled.value[i][0] - exact.value[i][0]);
      EXPECT_GT(sampled.standard_error[i][0], 0.0);
      EXPECT_LT(error, 4.0 * sampled.standard_error[i][0]) << "seed " << seed << ", player " << i;
      n_beyond_two += error > 2.0 * sampled.standard_error[i][0] ? 1 : 0;
      ++n_values;
    }
  }
  // A normal error is beyond two standard errors in 4.6 % of the cases: 3.6 of 80, 99.9 % of the time
  // below 11.
  EXPECT_LE(n_beyond_two, 10) << "of " << n_values;
}

TEST(SampledShapleyValues, AddUpToTheTotalExactly) {
  const Game game = game_of(random_worths(13, 2));
  const Attribution result = attribute(13, game, {.n_order_pairs = 5});
  ASSERT_FALSE(result.is_exact);
  EXPECT_NEAR(sum_of_values(result), result.everybody[0] - result.nobody[0], 1e-12);
}

TEST(SampledShapleyValues, OfAPlayerAlwaysAddingTheSameHaveNoError) {
  const Game game = [](const Coalition& coalition) {
    double sum = 0.0;
    for (std::size_t i = 0; i < coalition.size(); ++i)
      sum += coalition[i] ? std::sqrt(1.0 + static_cast<double>(i)) : 0.0;
    return std::vector{sum};
  };
  const Attribution result = attribute(20, game, {.n_order_pairs = 4});
  for (std::size_t i = 0; i < 20; ++i) {
    EXPECT_NEAR(result.value[i][0], std::sqrt(1.0 + static_cast<double>(i)), 1e-12);
    EXPECT_LT(result.standard_error[i][0], 1e-6);
  }
}

TEST(SampledShapleyValues, AreTheSameWithTheSameSeed) {
  const Game game = game_of(random_worths(13, 4));
  const Attribution a = attribute(13, game, {.n_order_pairs = 3, .seed = 8});
  const Attribution b = attribute(13, game, {.n_order_pairs = 3, .seed = 8});
  const Attribution c = attribute(13, game, {.n_order_pairs = 3, .seed = 9});
  EXPECT_EQ(a.value, b.value);
  EXPECT_NE(a.value, c.value);
}

/// Additive with worths 1, 2, 4, ...; without worth when `is_refused`.
Game refusing(std::function<bool(const Coalition&)> is_refused) {
  return [=](const Coalition& coalition) {
    if (is_refused(coalition)) throw base::ResultError("the propeller cannot absorb the power");
    return std::vector{static_cast<double>(mask_of(coalition))};
  };
}

TEST(RefusedCoalitions, TieThePlayersThatNeedEachOther) {
  const Attribution result = attribute(4, refusing([](const Coalition& c) { return c[1] && !c[3]; }));
  ASSERT_EQ(result.groups, (std::vector<std::vector<std::size_t>>{{0}, {1, 3}, {2}}));
  EXPECT_NEAR(result.value[0][0], 1.0, 1e-13);
  EXPECT_NEAR(result.value[1][0], 2.0 + 8.0, 1e-13);
  EXPECT_NEAR(result.value[2][0], 4.0, 1e-13);
  ASSERT_EQ(result.refusals.size(), 4U);  // player 1 without 3, with and without 0 and 2
  EXPECT_EQ(result.refusals.front().reason, "the propeller cannot absorb the power");
}

TEST(RefusedCoalitions, TieAllWhenNothingLessHelps) {
  const auto is_mixed = [](const Coalition& c) {
    const auto n = std::count(c.begin(), c.end(), true);
    return n > 0 && n < 3;
  };
  const Attribution result = attribute(3, refusing(is_mixed));
  ASSERT_EQ(result.groups.size(), 1U);
  EXPECT_NEAR(result.value[0][0], 7.0, 1e-13);
}

TEST(RefusedCoalitions, TiePlayersWhenSampledToo) {
  const Attribution result = attribute(
      10, refusing([](const Coalition& c) { return c[1] && !c[3]; }), {.most_exact = 5, .n_order_pairs = 8});
  ASSERT_EQ(result.groups.size(), 9U);
  EXPECT_EQ(result.groups[1], (std::vector<std::size_t>{1, 3}));
  EXPECT_NEAR(result.value[1][0], 10.0, 1e-12);
}

TEST(RefusedCoalitions, AreNoAnswerForNobodyOrEverybody) {
  EXPECT_THROW(attribute(3, refusing([](const Coalition& c) { return !c[0]; })), base::ResultError);
  EXPECT_THROW(attribute(3, refusing([](const Coalition& c) { return c[0] && c[1] && c[2]; })),
               base::ResultError);
}

TEST(RefusedCoalitions, IncludeWorthsThatAreNotFinite) {
  const Game game = [](const Coalition& c) {
    return std::vector{c[0] && c[1] ? std::numeric_limits<double>::quiet_NaN() : 1.0};
  };
  try {
    attribute(2, game);
    FAIL() << "a total that is not finite was shared out";
  } catch (const base::ResultError& error) {
    EXPECT_THAT(error.what(), testing::HasSubstr("not all finite: must be 1 finite ones"));
  }
}

}  // namespace
}  // namespace cowlwright::compare
