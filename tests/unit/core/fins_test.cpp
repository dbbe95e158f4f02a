// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pressure drop of finned cylinders: limits, a case by hand, and the trend that was measured.
#include "cases/core/fins.h"

#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::core {
namespace {

constexpr double density = 1.225;
constexpr double viscosity = 1.78938e-5;
constexpr double width = 0.28;
constexpr double block = 0.17 * width;

TEST(ApparentLaminarFriction, IsThatOfTheEntranceBetweenParallelPlates) {
  // Solved apart from this project: the boundary-layer equations between plates from a uniform inlet, marched
  // in implicit steps on 320 points per half gap; halving steps and points once more moves no value by 0.05
  // %. Tolerance: the 2.4 % that Shah (1978) states for his formula.
  struct Row {
    double distance, friction;
  };
  for (const Row& row : {Row{0.0005, 153.95},
                         Row{0.001, 110.12},
                         Row{0.003, 66.19},
                         Row{0.01, 40.23},
                         Row{0.03, 29.58},
                         Row{0.1, 25.67}}) {
    EXPECT_NEAR(apparent_laminar_friction(0.0, row.distance), row.friction, 0.024 * row.friction)
        << row.distance;
  }
}

TEST(ApparentLaminarFriction, EndsAtTheDevelopedValuesOfRectangularDucts) {
  // Shah and London 1978, table of f Re for rectangular ducts (from memory). Tolerance 0.1 %: the
  // polynomial's distance from the table, up to 0.06 %, and its last digit.
  EXPECT_NEAR(apparent_laminar_friction(0.0, 1e6), 24.0, 0.024);
  EXPECT_NEAR(apparent_laminar_friction(0.2, 1e6), 19.071, 0.019);
  EXPECT_NEAR(apparent_laminar_friction(0.5, 1e6), 15.548, 0.016);
  EXPECT_NEAR(apparent_laminar_friction(1.0, 1e6), 14.227, 0.014);
}

TEST(ApparentLaminarFriction, BeginsAsTheBoundaryLayerOfAPlate) {
  // Friction 1.328/sqrt(Re_x) on the walls and the same again in momentum give 3.44/sqrt(x+) in any duct; at
  // x+ = 1e-9 the next term is below 0.2 %.
  for (const double aspect : {0.0, 0.3, 1.0}) {
    const double plate = 3.44 / std::sqrt(1e-9);
    EXPECT_NEAR(apparent_laminar_friction(aspect, 1e-9), plate, 0.002 * plate) << aspect;
  }
}

TEST(FinFlowArea, IsTheRoomBetweenTheFinsOnBothSides) {
  // 280 mm at a pitch of 4 mm: 70 spaces of 2.5 mm by 20 mm, twice: 70 cm².
  EXPECT_NEAR(fin_flow_area({4e-3, 1.5e-3, 20e-3, 0.13}, width), 70e-4, 1e-9);
}

TEST(FinPressureDrop, DeepCloseFinsInCreepingFlowAreParallelPlates) {
  // Plane Poiseuille: dp = 12 mu L v / space². Fins of 80 mm 1 mm apart differ from plates by 0.8 % (aspect
  // 1:80); end losses and entrance are below 0.1 % at Re = 1.
  const Fins fins{2e-3, 1e-3, 80e-3, 0.13};
  const double length = 0.75 * 3.14159265358979 * (0.13 + 0.08) / 2.0;  // 135 deg at a mean radius of 105 mm
  const double speed = 1.0 * viscosity / (density * 2e-3);
  const double flow = density * speed * fin_flow_area(fins, width);
  const double plates = 12.0 * viscosity * length * speed / 1e-6;
  const double drop = fin_pressure_drop(fins, width, block, flow, density, viscosity);
  EXPECT_NEAR(drop, plates, 0.01 * plates);
  const double twice = fin_pressure_drop(fins, width, block, 2.0 * flow, density, viscosity);
  EXPECT_NEAR(twice / drop, 2.0, 0.002);
}

TEST(FinPressureDrop, TurbulentCaseByHand) {
  // Pitch 4, thickness 1.5, depth 20, bore 130 mm, 270 deg of baffle, 0.16 kg/s of sea-level air:
  // free area 70 cm², v = 0.16/(1.225 * 0.007) = 18.659 m/s, q = 213.24 Pa; hydraulic diameter
  // 2*2.5*20/22.5 = 4.444 mm, Re = 5677; length 135 deg * 75 mm = 176.7 mm = 39.76 diameters.
  // Blasius 0.0791 * 5677^-0.25 = 0.009113 (laminar would be 0.00799): 4 * 0.009113 * 39.76 = 1.4493.
  // Ends: s = 70/476 = 0.1471: 0.5 * 0.8529 + 0.8529² = 1.1540. (1.4493 + 1.1540) * 213.24 = 555.1 Pa.
  const double drop = fin_pressure_drop({4e-3, 1.5e-3, 20e-3, 0.13}, width, block, 0.16, density, viscosity);
  EXPECT_NEAR(drop, 555.1, 0.5);  // rounding of the steps
}

/// Pressure drop at a speed between the fins, from one wide room to another.
double drop_at_speed(const Fins& fins, double speed) {
  return fin_pressure_drop(
      fins, width, 100.0 * block, density * speed * fin_flow_area(fins, width), density, viscosity);
}

TEST(FinPressureDrop, FollowsTheTrendMeasuredOnJacketedCylinders) {
  // NACA TN 621, 1937 (from memory): pressure drop rises as the space between the fins falls, very fast below
  // about 0.20 in (5 mm); the fins' depth has little effect.
  const auto at_space = [](double space) {
    return drop_at_speed({space + 1.5e-3, 1.5e-3, 20e-3, 0.13}, 20.0);
  };
  const double rise_above = at_space(5e-3) - at_space(10e-3);
  const double rise_below = at_space(1.25e-3) - at_space(5e-3);
  EXPECT_GT(rise_above, 0.0);
  EXPECT_GT(rise_below, 3.0 * rise_above);
  const double shallow = drop_at_speed({5e-3, 1.5e-3, 15e-3, 0.13}, 20.0);
  const double deep = drop_at_speed({5e-3, 1.5e-3, 30e-3, 0.13}, 20.0);
  EXPECT_NEAR(deep / shallow, 1.0, 0.1);  // "little": a tenth for twice the depth
}

TEST(FinPressureDrop, RisesWithTheFlowThroughTheChangeToTurbulence) {
  const Fins fins{3.5e-3, 1.2e-3, 20e-3, 0.13};
  double last = 0.0;
  for (double flow = 0.002; flow < 0.5; flow *= 1.05) {
    const double drop = fin_pressure_drop(fins, width, block, flow, density, viscosity);
    EXPECT_GT(drop, last) << flow;
    last = drop;
  }
}

}  // namespace
}  // namespace cowlwright::core
