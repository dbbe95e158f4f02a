// SPDX-License-Identifier: GPL-3.0-or-later
//
// The blade section over the whole circle.
#include "cases/propeller/blade_element.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;

TEST(SectionForce, AttachedSlopeIsBelowThinAerofoilTheory) {
  // Thin-aerofoil theory: 2 pi per rad; measured sections reach 85 to 95 % of it (textbook, from memory).
  const double slope = (section_force(degree).lift - section_force(-degree).lift) / (2.0 * degree);
  EXPECT_GT(slope, 0.85 * 2.0 * pi);
  EXPECT_LT(slope, 0.95 * 2.0 * pi);
}

TEST(SectionForce, LiftVanishesBelowTheFlatFaceAngle) {
  // Clark Y, angle to the flat face: zero lift between -3.5 and -5.5 deg for 8 to 12 % thickness (from
  // memory).
  EXPECT_LT(section_force(-5.5 * degree).lift, 0.0);
  EXPECT_GT(section_force(-3.5 * degree).lift, 0.0);
}

TEST(SectionForce, StallsBetweenElevenAndEighteenDegreesBelowLiftOfOneAndAHalf) {
  // Wind-tunnel sections of this kind at blade Reynolds numbers: largest lift 1.2 to 1.5 (from memory).
  double best = 0.0;
  double at = 0.0;
  for (double a = 0.0; a < 30.0; a += 0.1) {
    if (const double lift = section_force(a * degree).lift; lift > best) {
      best = lift;
      at = a;
    }
  }
  EXPECT_GT(best, 1.2);
  EXPECT_LT(best, 1.5);
  EXPECT_GT(at, 11.0);
  EXPECT_LT(at, 18.0);
}

TEST(SectionForce, BroadsideIsAPlate) {
  // Long flat plate normal to the flow: drag 1.98, no lift (Hoerner, from memory). 3 %: skin drag added.
  EXPECT_NEAR(section_force(90.0 * degree).drag, 1.98, 0.06);
  EXPECT_NEAR(section_force(90.0 * degree).lift, 0.0, 1e-6);
}

TEST(SectionForce, NeverGivesThrustForNothing) {
  for (double a = -180.0; a <= 180.0; a += 0.5) {
    EXPECT_GT(section_force(a * degree).drag, 0.0) << a << " deg";
  }
}

TEST(SectionForce, HasNoJumpAnywhereOnTheCircle) {
  // Steepest change is the attached slope of 0.1 per deg, or the drag rise at stall of 0.06 per deg.
  for (double a = -181.0; a <= 181.0; a += 0.1) {
    const SectionForce here = section_force(a * degree);
    const SectionForce next = section_force((a + 0.1) * degree);
    EXPECT_LT(std::abs(next.lift - here.lift), 0.012) << a << " deg";
    EXPECT_LT(std::abs(next.drag - here.drag), 0.012) << a << " deg";
  }
}

/// A polar as a user would type it.
const std::vector<PolarPoint>& sample_polar() {
  static const std::vector<PolarPoint> polar{{-8.0 * degree, -0.4, 0.030},
                                             {-4.0 * degree, 0.0, 0.010},
                                             {4.0 * degree, 0.8, 0.012},
                                             {14.0 * degree, 1.3, 0.050}};
  return polar;
}

TEST(SectionPolar, IsKeptAtItsPointsAndStraightBetween) {
  for (const PolarPoint& point : sample_polar()) {
    const SectionForce force = section_force(point.angle_of_attack, sample_polar());
    EXPECT_NEAR(force.lift, point.lift, 1e-12);
    EXPECT_NEAR(force.drag, point.drag, 1e-12);
  }
  const SectionForce middle = section_force(9.0 * degree, sample_polar());
  EXPECT_NEAR(middle.lift, 1.05, 1e-12);
  EXPECT_NEAR(middle.drag, 0.031, 1e-12);
}

TEST(SectionPolar, FarBeyondItsEndsIsThePlateOfTheDefaultSection) {
  // At twelve and more e-folds of 4 deg from an end, 6e-6 of the difference is left.
  for (double a : {-175.0, -90.0, -60.0, 62.0, 90.0, 135.0, 180.0}) {
    EXPECT_NEAR(section_force(a * degree, sample_polar()).lift, section_force(a * degree).lift, 1e-4) << a;
    EXPECT_NEAR(section_force(a * degree, sample_polar()).drag, section_force(a * degree).drag, 1e-4) << a;
  }
}

TEST(SectionPolar, HasNoJumpAndNoNegativeDragAnywhereOnTheCircle) {
  // Steepest beyond an end: the difference to the plate, 1.3 - 0.7, over the e-fold of 4 deg, 0.16 per deg.
  for (double a = -181.0; a <= 181.0; a += 0.1) {
    const SectionForce here = section_force(a * degree, sample_polar());
    const SectionForce next = section_force((a + 0.1) * degree, sample_polar());
    EXPECT_LT(std::abs(next.lift - here.lift), 0.02) << a << " deg";
    EXPECT_LT(std::abs(next.drag - here.drag), 0.02) << a << " deg";
    EXPECT_GT(here.drag, 0.0) << a << " deg";
  }
}

}  // namespace
}  // namespace cowlwright::propeller
