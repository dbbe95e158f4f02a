// SPDX-License-Identifier: GPL-3.0-or-later
//
// The outer form at the stations where its dimensions are stated, and between them.
#include "geometry/shape/outline.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace cowlwright::shape {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double rounding = 1e-12;

TEST(Outline, HasTheFacesSectionAtTheNose) {
  const Section s = Outline(ShapeSpec{}).section(0.14);
  EXPECT_NEAR(s.half_width, 0.43, rounding);
  EXPECT_NEAR(s.height, 0.17, rounding);
  EXPECT_NEAR(s.depth, 0.17, rounding);
  EXPECT_EQ(s.bump, 0.0);
}

TEST(Outline, HasTheFullSectionAtTheCylinders) {
  const Section s = Outline(ShapeSpec{}).section(0.60);
  EXPECT_NEAR(s.half_width, 0.51, rounding);
  EXPECT_NEAR(s.height, 0.27, rounding);
  EXPECT_NEAR(s.depth, 0.42, rounding);
}

// Quarter ellipse: at 20 % of the nose length (1 - 0.8²)^0.5 = 0.6 of the growth is done.
TEST(Outline, GrowsAlongAQuarterEllipse) {
  EXPECT_NEAR(Outline(ShapeSpec{}).section(0.14 + 0.2 * 0.32).half_width, 0.43 + 0.6 * 0.08, rounding);
}

// Floor of the skin at the trailing edge: belly 0.36, gap 0.075, skin 0.012 below the shaft line.
TEST(Outline, ReachesGapAndSkinBelowTheBellyAtTheTrailingEdge) {
  const Outline outline{ShapeSpec{}};
  EXPECT_NEAR(outline.lower_z(1.35, 0.0, 0.0), -(0.36 + 0.075 + 0.012), rounding);
  EXPECT_NEAR(outline.lower_z(1.35, 0.0, 0.012), -(0.36 + 0.075), rounding);
  EXPECT_NEAR(outline.belly_z(1.35, 0.0), -0.36, rounding);
}

TEST(Outline, IsLevelAtTheTrailingEdge) {
  const Outline outline{ShapeSpec{}};
  // A cubic with a level end over 0.48 m: 1 mm ahead it is 3 (1/480)² of 27 mm away, 0.4 um.
  EXPECT_NEAR(outline.lower_z(1.349, 0.0, 0.0), outline.lower_z(1.35, 0.0, 0.0), 1e-6);
}

TEST(Outline, StepsUpToTheBellyBehindTheTrailingEdge) {
  const Outline outline{ShapeSpec{}};
  // 0.1 mm behind, the afterbody's quadratic taper has taken less than 1 um.
  EXPECT_NEAR(outline.lower_z(1.3501, 0.0, 0.0), -0.36, 1e-6);
  EXPECT_NEAR(outline.upper_z(1.3501, 0.0, 0.0), 0.27, 1e-6);
}

TEST(Outline, FairingFadesOutBesideTheExit) {
  const Outline outline{ShapeSpec{}};
  // Beyond width/2 + skin + 1.5 (gap + skin) = 0.4075 m the lower side is the belly itself.
  EXPECT_NEAR(outline.lower_z(1.35, 0.41, 0.0), outline.belly_z(1.35, 0.41), rounding);
  EXPECT_LT(outline.lower_z(1.35, 0.40, 0.0), outline.belly_z(1.35, 0.40));
}

TEST(Outline, PointsLieOnTheirSuperellipse) {
  const Outline outline{ShapeSpec{}};
  for (double angle = 0.01; angle < pi; angle += 0.1) {
    const base::Vec3 p = outline.point(0.7, angle, 0.012);
    EXPECT_NEAR(std::pow(std::abs(p.y) / 0.498, 3.0) + std::pow(p.z / 0.258, 3.0), 1.0, rounding);
  }
}

TEST(Outline, AnglesAndHeightsInvertEachOther) {
  const Outline outline{ShapeSpec{}};
  for (const double z : {-0.075, 0.0, 0.075, 0.2}) {
    const base::Vec3 p = outline.point(0.7, outline.angle_at_height(0.7, z, 0.012), 0.012);
    EXPECT_NEAR(p.z, z, rounding);
    EXPECT_NEAR(p.y, outline.half_width_at(0.7, z, 0.012), rounding);
  }
  const base::Vec3 low = outline.point(0.7, outline.lower_angle_at(0.7, 0.265, 0.012), 0.012);
  EXPECT_NEAR(low.y, 0.265, rounding);
  EXPECT_NEAR(low.z, outline.lower_z(0.7, 0.265, 0.012), rounding);
}

TEST(Outline, IsNarrowerThanItsHeightAllowsNowhere) {
  EXPECT_EQ(Outline(ShapeSpec{}).half_width_at(0.7, 0.3, 0.0), 0.0);
  EXPECT_EQ(Outline(ShapeSpec{}).half_width_at(0.7, -0.5, 0.0), 0.0);
}

TEST(SectionAngles, AreMirrorSymmetricAndIncreasing) {
  const ShapeSpec spec;
  const std::vector<double> angles = section_angles(Outline(spec), spec, 58);
  ASSERT_EQ(angles.size(), 116U);
  for (std::size_t i = 1; i < angles.size(); ++i) EXPECT_GT(angles[i], angles[i - 1]);
  for (std::size_t i = 1; i < 58; ++i) EXPECT_NEAR(angles[i] + angles[116 - i], pi, rounding);
}

TEST(SmoothStep, IsLevelAtItsEndsAndHalfInTheMiddle) {
  EXPECT_EQ(smooth_step(-1.0), 0.0);
  EXPECT_EQ(smooth_step(0.5), 0.5);
  EXPECT_EQ(smooth_step(2.0), 1.0);
  EXPECT_NEAR(smooth_step(1e-4), 3e-8, 1e-11);
}

}  // namespace
}  // namespace cowlwright::shape
