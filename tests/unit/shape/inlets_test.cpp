// SPDX-License-Identifier: GPL-3.0-or-later
//
// Inlets in the finished installation: every opening with every ring, sides that differ, diffusers, planes
// and survey discs.
#include "geometry/shape/installation.h"
#include "geometry/shape/layout.h"
#include "geometry/shape/opening.h"
#include "geometry/shape/parts.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {
namespace {

using ::testing::Contains;
using ::testing::Not;

constexpr double pi = std::numbers::pi;

InletSpec small(OpeningShape opening) {
  InletSpec in;
  in.opening = opening;
  in.opening_width = 0.14;
  in.opening_height = 0.10;
  return in;
}

/// Oval and flush on the left, rectangular with a proud ring on the right.
ShapeSpec two_kinds() {
  ShapeSpec spec;
  spec.inlets.spacing = 0.60;
  spec.inlets.left = small(OpeningShape::Oval);
  spec.inlets.right = small(OpeningShape::Rectangular);
  spec.inlets.right.ring = RingStyle::Proud;
  spec.inlets.right.ring_stand = 0.02;
  return spec;
}

const Installation& two_kinds_built() {
  static const Installation built = build_installation(two_kinds());
  return built;
}

// Quarter rounding of radius r swept round a convex edge of perimeter P, cut by the cone at 80 degrees: an
// edge moved outward by d has the perimeter P + 2 pi d (Steiner), so the first t of the rounding has the area
// r (P t + 2 pi r (t - sin t)); the cone to the face has slant length s and mean offset r (1 - cos t) +
// 0.5 s sin t. Chords shorten both ways: 1e-3 round a circle; 12 chords in each corner of a rectangle 3e-3.
double flush_ring_area(const InletSpec& in) {
  const double t = 80.0 / 180.0 * pi;
  const double r = in.lip_radius;
  const double P = opening_perimeter(in);
  const double s = r * (1.0 - std::sin(t)) / std::cos(t);
  return r * (P * t + 2.0 * pi * r * (t - std::sin(t))) +
         s * (P + 2.0 * pi * (r * (1.0 - std::cos(t)) + 0.5 * s * std::sin(t)));
}

TEST(InletRing, OfAnyOpeningHasTheAreaOfItsSweptRounding) {
  for (const OpeningShape opening : {OpeningShape::Round, OpeningShape::Oval, OpeningShape::Rectangular}) {
    ShapeSpec spec;
    spec.inlets.left = spec.inlets.right = small(opening);
    const Surface wetted = build_installation(spec).wetted;
    const double expected = flush_ring_area(spec.inlets.left);
    EXPECT_NEAR(surface_area(wetted, "ring_left"), expected, 3e-3 * expected);
    EXPECT_NEAR(surface_area(wetted, "ring_right"), surface_area(wetted, "ring_left"), 1e-9);
  }
}

// Bare holes: the duct is a cylinder over the edge from the nose face (0.14) to the front wall (0.36). A
// polygon with the edge's area has a perimeter up to 1e-3 longer.
TEST(InletDuct, OfAnyOpeningHasTheAreaOfItsCylinder) {
  for (const OpeningShape opening : {OpeningShape::Round, OpeningShape::Oval, OpeningShape::Rectangular}) {
    ShapeSpec spec;
    InletSpec in = small(opening);
    in.ring = RingStyle::None;
    in.lip_radius = 0.0;
    spec.inlets.left = spec.inlets.right = in;
    const Surface wetted = build_installation(spec).wetted;
    const double expected = opening_perimeter(in) * 0.22;
    EXPECT_NEAR(surface_area(wetted, "inlet_left"), expected, 1e-3 * expected);
    EXPECT_NEAR(surface_area(wetted, "inlet_right"), expected, 1e-3 * expected);
  }
}

// Throat of 133 mm from 0.16 to 0.28, then a cone to sqrt(1.44) times that at 0.36: lateral areas pi D L and
// pi (r1 + r2) slant. Polygon of 96 sides: 2e-4.
TEST(InletDiffuser, IsAConeToItsAreaRatio) {
  ShapeSpec spec;
  spec.inlets.left.diffuser_length = 0.08;
  spec.inlets.left.diffuser_area_ratio = 1.44;
  const Surface wetted = build_installation(spec).wetted;
  const double r = 0.0665;
  const double cone = pi * (r + 1.2 * r) * std::hypot(0.08, 0.2 * r);
  const double expected = pi * 0.133 * 0.12 + cone;
  EXPECT_NEAR(surface_area(wetted, "inlet_left"), expected, 3e-4 * expected);
  EXPECT_NEAR(surface_area(wetted, "inlet_right"), pi * 0.133 * 0.20, 3e-4 * pi * 0.133 * 0.20);
}

TEST(Inlets, OfTwoKindsAreOneProvenBody) {
  const ShapeProof& proof = two_kinds_built().proof;
  EXPECT_TRUE(proof.is_closed && proof.is_free_of_self_intersections && proof.bounds_a_volume);
  EXPECT_EQ(proof.n_components, 1U);
  EXPECT_EQ(proof.n_tunnels, 5);  // as with two round ones
}

TEST(Inlets, ChangeNothingOnTheOtherSide) {
  ShapeSpec spec = two_kinds();
  spec.inlets.right = small(OpeningShape::Round);
  spec.inlets.right.diameter = 0.11;
  const Installation other = build_installation(spec);
  const Installation& first = two_kinds_built();
  for (const char* patch : {"inlet_left", "ring_left"}) {
    EXPECT_NEAR(surface_area(other.wetted, patch), surface_area(first.wetted, patch), 1e-9) << patch;
  }
  EXPECT_EQ(other.planes[0].surface.points, first.planes[0].surface.points);
  EXPECT_EQ(other.surveys[0].origin, first.surveys[0].origin);
  EXPECT_NE(other.planes[1].record.area, first.planes[1].record.area);
}

TEST(Inlets, ThatAreEqualAreMirrorImages) {
  ShapeSpec spec;
  spec.inlets.left = small(OpeningShape::Rectangular);
  spec.inlets.left.diffuser_length = 0.06;
  spec.inlets.left.diffuser_area_ratio = 1.3;
  spec.inlets.right = spec.inlets.left;
  const Surface ducts = inlet_ducts(spec);
  for (const base::Vec3& p : ducts.points) {
    const bool has_image = std::any_of(ducts.points.begin(), ducts.points.end(), [&](const base::Vec3& q) {
      return norm(q - base::Vec3{p.x, -p.y, p.z}) < 1e-12;
    });
    EXPECT_TRUE(has_image) << p.x << " " << p.y << " " << p.z;
  }
}

TEST(Inlets, HaveRingPatchesOnlyWhereThereIsARing) {
  ShapeSpec spec = two_kinds();
  spec.inlets.left.ring = RingStyle::None;
  spec.inlets.left.lip_radius = 0.0;
  EXPECT_THAT(expected_patches(spec), Not(Contains("ring_left")));
  EXPECT_THAT(expected_patches(spec), Contains("ring_right"));
  EXPECT_EQ(build_installation(spec).wetted.patch_names, expected_patches(spec));
}

TEST(InletPlanes, CutTheThroatWhereItsSectionIsConstant) {
  ShapeSpec spec;
  spec.inlets.left.diffuser_length = 0.10;
  spec.inlets.left.diffuser_area_ratio = 1.3;
  const Installation built = build_installation(spec);
  EXPECT_NEAR(built.planes[0].record.origin.x, 0.5 * (0.16 + 0.26), 1e-12);
  EXPECT_NEAR(built.planes[1].record.origin.x, 0.5 * (0.16 + 0.36), 1e-12);
  EXPECT_NEAR(two_kinds_built().planes[0].record.area, pi * 0.07 * 0.05, 1e-12);
  EXPECT_NEAR(two_kinds_built().planes[1].record.area, 0.014 - (4.0 - pi) * 4e-4, 1e-12);
}

// One third of the hydraulic diameter ahead of the crest: 140 - 133/3 mm flush, 120 - 133/3 mm with a ring 20
// mm proud.
TEST(InletSurveys, StandAThirdOfADiameterAheadOfTheRing) {
  ShapeSpec spec;
  spec.inlets.right.ring = RingStyle::Proud;
  spec.inlets.right.ring_stand = 0.02;
  const std::vector<base::PlaneRecord> surveys = build_installation(spec).surveys;
  ASSERT_EQ(surveys.size(), 2U);
  EXPECT_EQ(surveys[0].name, "ahead_of_inlet_left");
  EXPECT_EQ(surveys[1].name, "ahead_of_inlet_right");
  EXPECT_NEAR(surveys[0].origin.x, 0.140 - 0.133 / 3.0, 1e-12);
  EXPECT_NEAR(surveys[1].origin.x, 0.120 - 0.133 / 3.0, 1e-12);
  EXPECT_NEAR(surveys[0].origin.y, -0.28, 1e-12);
  EXPECT_NEAR(surveys[1].origin.y, 0.28, 1e-12);
  EXPECT_EQ(surveys[0].normal, (base::Vec3{1.0, 0.0, 0.0}));
  EXPECT_NEAR(surveys[0].area, 0.25 * pi * 0.133 * 0.133, 1e-12);
  EXPECT_DOUBLE_EQ(surveys[0].radius, 0.0665);
}

TEST(InletSurveys, KeepOffThePropellerDiskAndAheadOfTheRing) {
  ShapeSpec spec;
  spec.cowl.nose_station = 0.08;
  EXPECT_NEAR(build_installation(spec).surveys[0].origin.x, 0.060, 1e-12);
  spec.cowl.nose_station = 0.06;
  EXPECT_NEAR(build_installation(spec).surveys[0].origin.x, 0.050, 1e-12);
}

TEST(RampFoot, LiesBelowTheLowerOfTheTwoThroats) {
  ShapeSpec spec;
  spec.inlets.left.height = 0.03;
  spec.inlets.right.height = 0.0;
  EXPECT_NEAR(layout(spec).ramp_foot, -0.0665 - throat_step, 1e-12);
  spec.inlets.left.diffuser_length = 0.06;
  spec.inlets.left.diffuser_area_ratio = 4.0;  // twice as high: 30 - 133 mm
  EXPECT_NEAR(layout(spec).ramp_foot, 0.03 - 0.133 - throat_step, 1e-12);
}

}  // namespace
}  // namespace cowlwright::shape
