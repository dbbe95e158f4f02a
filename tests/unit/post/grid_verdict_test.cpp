// SPDX-License-Identifier: GPL-3.0-or-later
//
// When three grids give a band, and what is said instead when they do not.
#include "post/trust/grid_verdict.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

namespace cowlwright::post {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

/// 10 + 0.4 h² on h = 1, 2, 4.
std::vector<GridValue> three_grids() {
  return {{"medium", 1.0, 10.4, 0.01, 0.0, ""},
          {"coarse", 2.0, 11.6, 0.01, 0.0, ""},
          {"draft", 4.0, 16.4, 0.01, 0.0, ""}};
}

std::string refusal(std::vector<GridValue> grids, int n_planned = 3) {
  const GridVerdict verdict = judge_grids(std::move(grids), n_planned, "Pa");
  EXPECT_FALSE(verdict.convergence.has_value());
  EXPECT_FALSE(verdict.band().has_value());
  EXPECT_EQ(verdict.behaviour(), "no estimate");
  return verdict.text;
}

// Band 1.25 * 1.2 / 3 = 0.5.
TEST(GridVerdict, ThreeSoundGridsGiveABand) {
  const GridVerdict verdict = judge_grids(three_grids(), 3, "Pa");
  EXPECT_NEAR(verdict.band().value(), 0.5, 1e-9);
  EXPECT_EQ(verdict.text, "monotone, order 2.00");
  EXPECT_FALSE(verdict.is_flagged());
  EXPECT_EQ(family_objection(three_grids(), 3), "");
}

TEST(GridVerdict, OneGridIsSaidToBeOne) {
  std::vector<GridValue> grids = three_grids();
  grids.resize(1);
  EXPECT_EQ(refusal(grids, 1), single_grid);
  EXPECT_THAT(refusal(grids, 3),
              AllOf(HasSubstr("1 of 3 grids usable"), HasSubstr(std::string(single_grid))));
}

TEST(GridVerdict, TwoGridsGiveTheirDifferenceAndNoBand) {
  std::vector<GridValue> grids = three_grids();
  grids.resize(2);
  EXPECT_THAT(refusal(grids),
              AllOf(HasSubstr("2 of 3 grids usable"),
                    HasSubstr("no order and no band"),
                    HasSubstr("medium less coarse: -1.2 Pa")));
}

TEST(GridVerdict, AGridThatFailedOrHasNotSettledDoesNotCount) {
  for (const char* trouble : {"failed", "not settled"}) {
    for (std::size_t i = 0; i < 3; ++i) {
      std::vector<GridValue> grids = three_grids();
      grids[i].trouble = trouble;
      EXPECT_THAT(refusal(grids),
                  AllOf(HasSubstr("2 of 3 grids usable"), HasSubstr(grids[i].grid + " " + trouble)));
    }
  }
}

// 2.0 and 2.3 are 15 % apart.
TEST(GridVerdict, RatiosMoreThanTenPercentApartAreRefusedWithBoth) {
  std::vector<GridValue> grids = three_grids();
  grids[2].cell_size = 4.6;
  EXPECT_THAT(refusal(grids), AllOf(HasSubstr("2.000 and 2.300"), HasSubstr("10 %")));
  grids[2].cell_size = 4.36;  // 9 % apart
  EXPECT_TRUE(judge_grids(grids, 3, "Pa").convergence.has_value());
}

TEST(GridVerdict, ARatioBelowItsBoundIsRefused) {
  std::vector<GridValue> grids = three_grids();
  grids[1].cell_size = 1.05;
  grids[2].cell_size = 1.1;
  EXPECT_THAT(refusal(grids), AllOf(HasSubstr("1.050 and 1.048"), HasSubstr("at least 1.1")));
  grids[1].cell_size = grids[0].cell_size;
  EXPECT_THAT(refusal(grids), HasSubstr("1.000"));
}

TEST(GridVerdict, AnUnknownCellSizeIsRefused) {
  std::vector<GridValue> grids = three_grids();
  grids[1].cell_size = 0.0;
  EXPECT_THAT(refusal(grids), HasSubstr("cell size of the coarse grid is 0 m"));
  grids[1].cell_size = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THAT(refusal(grids), HasSubstr("cell size of the coarse grid"));
}

TEST(GridVerdict, AMissingOrEndlessValueIsNamed) {
  std::vector<GridValue> grids = three_grids();
  grids[2].value.reset();
  EXPECT_THAT(refusal(grids), HasSubstr("no value on the draft grid"));
  grids[2].value = std::numeric_limits<double>::infinity();
  EXPECT_THAT(refusal(grids), HasSubstr("draft grid is not a finite number"));
  grids[2].value = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THAT(refusal(grids), HasSubstr("draft grid is not a finite number"));
}

TEST(GridVerdict, TheThreeFinestOfFourAreJudged) {
  std::vector<GridValue> grids = three_grids();
  grids.push_back({"rough", 8.0, 99.0, 0.01, 0.0, ""});
  EXPECT_NEAR(judge_grids(grids, 3, "Pa").band().value(), 0.5, 1e-9);
  grids[0].trouble = "failed";  // then 11.6, 16.4 and 99
  const GridVerdict verdict = judge_grids(grids, 3, "Pa");
  EXPECT_NEAR(verdict.convergence->range, 99.0 - 11.6, 1e-9);
  EXPECT_THAT(verdict.text, HasSubstr("left out: (medium failed)"));
}

TEST(GridVerdict, EveryBehaviourSaysWhereItsBandComesFrom) {
  const auto text = [](double fine, double middle, double coarse, double band = 0.0) {
    return judge_grids({{"a", 1.0, fine, band, 0.0, ""},
                        {"b", 1.5, middle, band, 0.0, ""},
                        {"c", 2.25, coarse, band, 0.0, ""}},
                       3,
                       "")
        .text;
  };
  EXPECT_THAT(text(5.0, 5.1, 5.21),
              AllOf(HasSubstr("order below 1, order 0.24"), HasSubstr("at least the range")));
  EXPECT_THAT(text(5.0, 5.1, 6.0), AllOf(HasSubstr("order above 2"), HasSubstr("with order 2")));
  EXPECT_THAT(text(5.0, 5.0, 6.0), HasSubstr("two finest grids agree exactly"));
  EXPECT_THAT(text(5.0, 5.1, 4.8), AllOf(HasSubstr("oscillatory"), HasSubstr("at least the range")));
  EXPECT_THAT(text(5.0, 5.3, 5.2), AllOf(HasSubstr("oscillatory"), HasSubstr("3 times the range")));
  EXPECT_THAT(text(5.0, 5.3, 5.4), AllOf(HasSubstr("diverging"), HasSubstr("3 times the range")));
  EXPECT_THAT(text(5.0, 5.3, 5.9, 0.2), HasSubstr("no order can be seen"));
  EXPECT_THAT(text(5.0, 5.0, 5.0), AllOf(HasSubstr("identical"), HasSubstr("no band")));
  EXPECT_THAT(text(5.0, 5.1, 5.27), Not(HasSubstr("band")));  // plain
}

}  // namespace
}  // namespace cowlwright::post
