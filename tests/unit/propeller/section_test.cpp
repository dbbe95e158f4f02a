// SPDX-License-Identifier: GPL-3.0-or-later
//
// The blade section over the whole circle.
#include "cases/propeller/blade_element.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

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

}  // namespace
}  // namespace cowlwright::propeller
