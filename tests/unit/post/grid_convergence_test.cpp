// SPDX-License-Identifier: GPL-3.0-or-later
//
// The grid convergence procedure against published worked examples and values made from known functions.
#include "post/trust/grid_convergence.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace cowlwright::post {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

/// Fine to coarse; the fine cell is 1.
std::array<GridPoint, 3> grids(double r21,
                               double r32,
                               const std::array<double, 3>& values,
                               double band = 0.0) {
  return {GridPoint{1.0, values[0], band, 0.0},
          GridPoint{r21, values[1], band, 0.0},
          GridPoint{r21 * r32, values[2], band, 0.0}};
}

// Celik et al., J. Fluids Eng. 130 (2008) 078001, Table 1, first column: N = 18000, 8000, 4500 cells in the
// plane, phi = 6.063, 5.972, 5.863. Published p 1.53, phi_ext 6.1685, e_a 1.5 %, e_ext 1.7 %, GCI 2.2 %.
// Tolerances: half a unit of the last printed digit, twice for p (inputs have 4 digits).
TEST(GridConvergence, ReattachmentLengthOfCelikTable1) {
  const GridConvergence found =
      grid_convergence(grids(std::sqrt(18.0 / 8.0), std::sqrt(8.0 / 4.5), {6.063, 5.972, 5.863}));
  EXPECT_EQ(found.behaviour, GridBehaviour::Monotone);
  EXPECT_NEAR(found.order.value(), 1.53, 0.01);
  EXPECT_NEAR(found.extrapolated.value(), 6.1685, 5e-5);
  EXPECT_NEAR(100.0 * found.approximate_error.value(), 1.5, 0.05);
  EXPECT_NEAR(100.0 * found.extrapolated_error.value(), 1.7, 0.05);
  EXPECT_NEAR(100.0 * found.gci_21.value(), 2.2, 0.05);
  EXPECT_NEAR(found.band.value(), 0.022 * 6.063, 0.0005 * 6.063);
}

// The same table, second column: axial velocity, N = 18000, 4500, 980, phi = 10.7880, 10.7250, 10.6050.
// Published p 0.75, phi_ext 10.8801, e_a 0.6 %, e_ext 0.9 %, GCI 1.1 %. An order below one is flagged, and
// its band is not below the range, 0.183.
TEST(GridConvergence, AxialVelocityOfCelikTable1HasAnOrderBelowOne) {
  const GridConvergence found =
      grid_convergence(grids(2.0, std::sqrt(4500.0 / 980.0), {10.7880, 10.7250, 10.6050}));
  EXPECT_EQ(found.behaviour, GridBehaviour::OrderBelowOne);
  EXPECT_TRUE(is_flagged(found.behaviour));
  EXPECT_NEAR(found.order.value(), 0.75, 0.01);
  EXPECT_NEAR(found.extrapolated.value(), 10.8801, 5e-5);
  EXPECT_NEAR(100.0 * found.approximate_error.value(), 0.6, 0.05);
  // The printed phi_ext makes 0.846 %, which the table prints as 0.9: half a unit and that slip of 0.004.
  EXPECT_NEAR(100.0 * found.extrapolated_error.value(), 0.9, 0.055);
  EXPECT_NEAR(100.0 * found.gci_21.value(), 1.1, 0.05);
  EXPECT_NEAR(found.band.value(), 0.183, 1e-9);
}

// Three-grid inlet tutorial (NASA's examples of validation, inputs from memory): pressure recovery 0.97050,
// 0.96854, 0.96178 at ratio 2: p = ln(0.00676 / 0.00196) / ln 2 = 1.78617, value at zero size 0.97130, GCI12
// 0.1031 %, GCI23 0.3562 %. Tolerances: half a unit of the last digit quoted.
TEST(GridConvergence, InletRecoveryOnThreeGridsOfRatioTwo) {
  const GridConvergence found = grid_convergence(grids(2.0, 2.0, {0.97050, 0.96854, 0.96178}));
  EXPECT_EQ(found.behaviour, GridBehaviour::Monotone);
  EXPECT_NEAR(found.order.value(), 1.78617, 5e-6);
  EXPECT_NEAR(found.extrapolated.value(), 0.97130, 5e-6);
  EXPECT_NEAR(100.0 * found.gci_21.value(), 0.1031, 5e-5);
  EXPECT_NEAR(100.0 * found.gci_32.value(), 0.3562, 5e-5);
}

// Textbook potential flow: 1.236173, 1.231433, 1.232812 on 100, 200, 400 cells. The book gives 1.781 and
// 0.06 %, but the signs alternate: flagged, without an extrapolated value, the band being the range 0.00474.
TEST(GridConvergence, PotentialFlowExampleIsOscillatory) {
  const GridConvergence found = grid_convergence(grids(2.0, 2.0, {1.232812, 1.231433, 1.236173}));
  EXPECT_EQ(found.behaviour, GridBehaviour::Oscillatory);
  EXPECT_TRUE(is_flagged(found.behaviour));
  EXPECT_NEAR(found.order.value(), 1.781, 5e-4);
  EXPECT_NEAR(100.0 * found.gci_21.value(), 0.06, 0.005);
  EXPECT_FALSE(found.extrapolated.has_value());
  EXPECT_NEAR(found.band.value(), 0.00474, 1e-9);
}

// 10 + 0.4 h² on h = 1, 2, 4: 10.4, 11.6, 16.4: order 2, value at zero size 10. Band 1.25 * 1.2 / 3 = 0.5.
TEST(GridConvergence, ASecondOrderErrorIsFoundExactly) {
  const GridConvergence found = grid_convergence(grids(2.0, 2.0, {10.4, 11.6, 16.4}));
  EXPECT_EQ(found.behaviour, GridBehaviour::Monotone);
  EXPECT_NEAR(found.order.value(), 2.0, 1e-6);
  EXPECT_NEAR(found.extrapolated.value(), 10.0, 1e-9);
  EXPECT_NEAR(found.band.value(), 0.5, 1e-9);
}

// 10 - 3 h^1.4 at unequal ratios 1.5 and 1.55: the iteration finds the exponent.
TEST(GridConvergence, UnequalRatiosAreIterated) {
  const auto value = [](double h) { return 10.0 - 3.0 * std::pow(h, 1.4); };
  const GridConvergence found =
      grid_convergence(grids(1.5, 1.55, {value(1.0), value(1.5), value(1.5 * 1.55)}));
  EXPECT_NEAR(found.order.value(), 1.4, 1e-8);
  EXPECT_NEAR(found.extrapolated.value(), 10.0, 1e-7);
}

// The band is in the unit of the values: scaled and mirrored values scale it, an offset leaves it.
TEST(GridConvergence, BandScalesWithTheValuesAndNotWithAnOffset) {
  const double band = grid_convergence(grids(1.5, 1.5, {6.0, 5.9, 5.75})).band.value();
  EXPECT_NEAR(grid_convergence(grids(1.5, 1.5, {-60.0, -59.0, -57.5})).band.value(), 10.0 * band, 1e-9);
  EXPECT_NEAR(grid_convergence(grids(1.5, 1.5, {106.0, 105.9, 105.75})).band.value(), band, 1e-9);
}

// 10 + 0.4 h^4 on h = 1, 2, 4: 10.4, 16.4, 112.4: order 4. With order 2: 1.25 * 6 / 3 = 2.5 from the fine
// pair, 1.25 * 96 / 3 / 4 = 10 from the coarse pair brought to the fine grid.
TEST(GridConvergence, AnOrderAboveTheSchemesGivesNoSmallerBandThanOrderTwo) {
  const GridConvergence found = grid_convergence(grids(2.0, 2.0, {10.4, 16.4, 112.4}));
  EXPECT_EQ(found.behaviour, GridBehaviour::OrderAboveFormal);
  EXPECT_NEAR(found.order.value(), 4.0, 1e-6);
  EXPECT_NEAR(found.band.value(), 10.0, 1e-9);
  EXPECT_NEAR(found.extrapolated.value(), 8.4, 1e-9);  // (4 * 10.4 - 16.4) / 3
}

TEST(GridConvergence, TwoFineGridsThatAgreeExactlyGiveNoOrderAndTheRangeAsBand) {
  const GridConvergence found = grid_convergence(grids(1.5, 1.5, {5.0, 5.0, 5.3}));
  EXPECT_EQ(found.behaviour, GridBehaviour::OrderAboveFormal);
  EXPECT_FALSE(found.order.has_value());
  EXPECT_NEAR(found.band.value(), 0.3, 1e-12);
}

// Changes 0.2 then 0.3 with refinement: three times the range of 0.5.
TEST(GridConvergence, ChangesThatGrowWithRefinementHaveNoOrder) {
  for (const std::array<double, 3>& values :
       {std::array{5.5, 5.2, 5.0}, std::array{5.0, 5.25, 5.5}, std::array{5.5, 5.0, 5.0}}) {
    const GridConvergence found = grid_convergence(grids(1.5, 1.5, values));
    EXPECT_EQ(found.behaviour, GridBehaviour::Diverging);
    EXPECT_TRUE(is_flagged(found.behaviour));
    EXPECT_FALSE(found.order.has_value());
    EXPECT_FALSE(found.extrapolated.has_value());
    EXPECT_NEAR(found.band.value(), 1.5, 1e-9);
  }
}

// log h: the same change at each equal step is the border of divergence also where the ratios differ.
TEST(GridConvergence, ALogarithmIsTheBorderOfDivergence) {
  const double r21 = 1.5;
  const double r32 = 1.56;
  const GridConvergence below = grid_convergence(grids(r21, r32, {0.0, 1.0, 1.0 + 1.08}));
  EXPECT_EQ(below.behaviour, GridBehaviour::Diverging);  // ln 1.56 / ln 1.5 = 1.0967
  const GridConvergence above = grid_convergence(grids(r21, r32, {0.0, 1.0, 1.0 + 1.12}));
  EXPECT_EQ(above.behaviour, GridBehaviour::OrderBelowOne);
}

TEST(GridConvergence, AnAlternatingSwingThatGrowsTakesThreeRanges) {
  const GridConvergence found = grid_convergence(grids(1.5, 1.5, {5.0, 5.4, 5.2}));
  EXPECT_EQ(found.behaviour, GridBehaviour::Oscillatory);
  EXPECT_FALSE(found.order.has_value());
  EXPECT_NEAR(found.band.value(), 1.2, 1e-9);
}

// Changes of 0.02 and 0.04 with half bands of 0.02 on each grid: the first is hidden (0.02 <= 0.04).
TEST(GridConvergence, AChangeWithinTheIterationsBandsShowsNoOrder) {
  const GridConvergence found = grid_convergence(grids(1.5, 1.5, {5.0, 5.02, 5.06}, 0.02));
  EXPECT_EQ(found.behaviour, GridBehaviour::WithinIterativeBands);
  EXPECT_FALSE(found.order.has_value());
  EXPECT_NEAR(found.band.value(), 0.06, 1e-9);
  EXPECT_EQ(grid_convergence(grids(1.5, 1.5, {5.0, 5.02, 5.06}, 0.005)).behaviour, GridBehaviour::Monotone);
}

TEST(GridConvergence, EqualValuesClaimNoBandOfZero) {
  const GridConvergence found = grid_convergence(grids(1.5, 1.5, {5.0, 5.0, 5.0}));
  EXPECT_EQ(found.behaviour, GridBehaviour::Identical);
  EXPECT_FALSE(found.band.has_value());
  EXPECT_FALSE(found.order.has_value());
}

// 55 on all grids as a difference of values around 1100 that carry 16 digits: 1e-13 is no behaviour.
TEST(GridConvergence, ChangesOfRoundingAreNone) {
  std::array<GridPoint, 3> points = grids(1.5, 1.5, {55.0, 55.0 + 1e-13, 55.0 - 2e-13});
  for (GridPoint& point : points) {
    point.rounding = 1e-6;
  }
  EXPECT_EQ(grid_convergence(points).behaviour, GridBehaviour::Identical);
  points[2].value = 56.0;  // the two fine grids agree but for rounding
  EXPECT_FALSE(grid_convergence(points).order.has_value());
}

TEST(GridConvergence, AFineValueOfZeroHasABandButNoPercentages) {
  const GridConvergence found = grid_convergence(grids(2.0, 2.0, {0.0, 0.3, 1.5}));
  EXPECT_NEAR(found.band.value(), 0.125, 1e-9);  // 1.25 * 0.3 / 3
  EXPECT_FALSE(found.gci_21.has_value());
  EXPECT_FALSE(found.approximate_error.has_value());
}

TEST(GridConvergence, RefusesNumbersThatAreNotFiniteAndSizesThatDoNotRise) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const auto of = [](const std::array<GridPoint, 3>& points) {
    return [points] { return grid_convergence(points); };
  };
  EXPECT_THAT(of(grids(1.5, 1.5, {5.0, nan, 5.1})),
              ThrowsMessage<base::InputError>(HasSubstr("must be finite")));
  EXPECT_THAT(of(grids(1.5, 1.5, {5.0, 5.1, 5.2}, nan)),
              ThrowsMessage<base::InputError>(HasSubstr("half band nan")));
  EXPECT_THAT(of(grids(nan, 1.5, {5.0, 5.1, 5.2})), ThrowsMessage<base::InputError>(HasSubstr("nan m")));
  EXPECT_THAT(of(grids(1.0, 1.5, {5.0, 5.1, 5.2})),
              ThrowsMessage<base::InputError>(HasSubstr("must rise from the fine")));
}

}  // namespace
}  // namespace cowlwright::post
