// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/tree.h"

#include "geometry/base/error.h"
#include "geometry/mold/clearance.h"
#include "geometry/mold/thickness.h"
#include "geometry/mold/triangle_distance.h"
#include "tests/support/mold_bodies.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

namespace cowlwright::mold {
namespace {

Tree tree_of(const shape::Surface& s) {
  return Tree(s.points, s.triangles);
}

TEST(Tree, FindsTheFirstOfTwoWallsFromEitherSide) {
  const Tree tree = tree_of(testing_support::box({0, 0, 0}, {1, 1, 1}));
  EXPECT_NEAR(tree.first_hit({{-2, 0.3, 0.4}, {1, 0, 0}, 10}).distance, 2.0, 1e-12);
  EXPECT_NEAR(tree.first_hit({{0.25, 0.3, 0.4}, {1, 0, 0}, 10}).distance, 0.75, 1e-12);
  EXPECT_EQ(tree.first_hit({{-2, 0.3, 0.4}, {-1, 0, 0}, 10}).face, -1);
  EXPECT_EQ(tree.first_hit({{-2, 0.3, 0.4}, {1, 0, 0}, 1.9}).face, -1);  // out of reach
}

// Every ray through the sphere's middle meets it: along the axes and through corners of facets, where a ray
// could slip through between two.
TEST(Tree, LetsNoRaySlipThroughBetweenFaces) {
  const shape::Surface sphere = testing_support::sphere(0.3, 8);
  const Tree tree = tree_of(sphere);
  for (const Vec3& p : sphere.points) {
    const Hit hit = tree.first_hit({{0, 0, 0}, unit(p), 1.0});
    EXPECT_GE(hit.face, 0);
    EXPECT_NEAR(hit.distance, 0.3, 1e-9);
  }
}

TEST(Tree, AgreesWithLookingAtEveryFace) {
  const shape::Surface torus = testing_support::torus(0.2, 0.05, 30, 12);
  const Tree tree = tree_of(torus);
  for (int i = 0; i < 50; ++i) {
    const double t = 0.13 * i;
    const Triangle probe{Vec3{0.3 * std::cos(t), 0.3 * std::sin(t), 0.1 * std::sin(5 * t)},
                         Vec3{0.3 * std::cos(t + 0.1), 0.3 * std::sin(t), 0.1},
                         Vec3{0.32, 0.3 * std::sin(t), -0.1}};
    double least = std::numeric_limits<double>::infinity();
    for (const auto& f : torus.triangles) {
      least = std::min(
          least,
          triangle_distance({torus.points[f[0]], torus.points[f[1]], torus.points[f[2]]}, probe).distance);
    }
    EXPECT_NEAR(tree.nearest(probe, 10.0).distance, least, 1e-15);
  }
}

// By hand: crossed edges 0.5 apart above each other; a corner over a face; one through the other.
TEST(TriangleDistance, IsExactForEdgesCornersAndCrossing) {
  const Triangle flat{Vec3{0, 0, 0}, Vec3{2, 0, 0}, Vec3{0, 2, 0}};
  EXPECT_NEAR(
      triangle_distance(flat, {Vec3{0.2, 0.3, 0.5}, Vec3{0.2, 0.3, 2}, Vec3{3, 3, 2}}).distance, 0.5, 1e-15);
  const Triangle across{Vec3{1, -1, 0.5}, Vec3{1, 1, -0.5 + 1e-3}, Vec3{1, -1, 3}};
  EXPECT_EQ(triangle_distance(flat, across).distance, 0.0);
  const Triangle over{Vec3{1, -1, 0.5}, Vec3{1, 1, 0.5}, Vec3{1, 0, 3}};
  EXPECT_NEAR(triangle_distance({Vec3{0, 0, 0}, Vec3{2, 0, 0}, Vec3{1, 0, -3}}, over).distance, 0.5, 1e-15);
}

TEST(Clearance, IsTheGapBetweenTwoBodiesAndKnowsTheSide) {
  const shape::Surface skin = testing_support::box({0, 0, 0}, {1, 1, 1});
  const Sheet sheet = make_sheet(skin, MoldSide::Outside);
  const Tree tree(sheet.points, sheet.faces);
  const Clearance inside = clearance_to(sheet, tree, testing_support::box({0.3, 0.3, 0.3}, {0.6, 0.6, 0.96}));
  EXPECT_NEAR(inside.distance, 0.04, 1e-12);
  EXPECT_FALSE(inside.is_on_mold_side);
  const Clearance outside = clearance_to(sheet, tree, testing_support::box({1.25, 0, 0}, {2, 1, 1}));
  EXPECT_NEAR(outside.distance, 0.25, 1e-12);
  EXPECT_TRUE(outside.is_on_mold_side);
  EXPECT_EQ(clearance_to(sheet, tree, testing_support::box({0.5, 0.4, 0.4}, {2, 0.6, 0.6})).distance, 0.0);
}

TEST(Clearance, RefusesABodyThatIsNone) {
  const Sheet sheet = make_sheet(testing_support::box({0, 0, 0}, {1, 1, 1}), MoldSide::Outside);
  const Tree tree(sheet.points, sheet.faces);
  EXPECT_THROW(clearance_to(sheet, tree, {}), base::InputError);
  shape::Surface body = testing_support::box({0, 0, 0}, {1, 1, 1});
  body.points[0].x = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THROW(clearance_to(sheet, tree, body), base::InputError);
}

TEST(SectionThickness, OfAPlateIsItsThicknessAndOfASheetUnknown) {
  const Sheet plate = make_sheet(testing_support::box({0, 0, 0}, {0.3, 0.2, 0.004}), MoldSide::Outside);
  const Thickness thickness = section_thickness(plate, Tree(plate.points, plate.faces), true, 0.005);
  ASSERT_TRUE(thickness.is_known);
  EXPECT_NEAR(thickness.least, 0.004, 1e-12);
  EXPECT_NEAR(thickness.area_below, 2 * 0.3 * 0.2, 1e-12);
  const Sheet cone = make_sheet(testing_support::cone_side(0.1, 24, 2), MoldSide::Outside);
  EXPECT_FALSE(section_thickness(cone, Tree(cone.points, cone.faces), true, 0.005).is_known);
}

}  // namespace
}  // namespace cowlwright::mold
