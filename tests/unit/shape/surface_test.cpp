// SPDX-License-Identifier: GPL-3.0-or-later
//
// Areas, volumes and extents of surfaces small enough to do by hand.
#include "geometry/shape/surface.h"

#include "geometry/shape/builder.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace cowlwright::shape {
namespace {

Surface brick() {
  return box_surface({1.0, 2.0, 3.0}, {1.5, 2.25, 3.125}, Patch::CoreWall);  // 1/2 x 1/4 x 1/8
}

TEST(SurfaceArea, OfABrickIsTwiceTheSumOfItsFaces) {
  // 2 (1/8 + 1/16 + 1/32) = 7/16; powers of two, so exact.
  EXPECT_DOUBLE_EQ(surface_area(brick()), 0.4375);
  EXPECT_DOUBLE_EQ(surface_area(brick(), "core_wall"), 0.4375);
}

TEST(SurfaceArea, OfAnAbsentPatchIsZero) {
  EXPECT_EQ(surface_area(brick(), "spinner"), 0.0);
  EXPECT_EQ(surface_area(brick(), "no such patch"), 0.0);
}

TEST(EnclosedVolume, OfABrickIsTheProductOfItsEdges) {
  EXPECT_DOUBLE_EQ(enclosed_volume(brick()), 0.015625);  // 1/64
}

TEST(EnclosedVolume, IsNegativeWhenNormalsPointIn) {
  Surface inside_out = brick();
  for (auto& t : inside_out.triangles) std::swap(t[0], t[1]);
  EXPECT_DOUBLE_EQ(enclosed_volume(inside_out), -0.015625);
}

TEST(EnclosedVolume, OfATetrahedronIsASixthOfTheSpanningBox) {
  SurfaceBuilder builder;
  builder.add_point({0.0, 0.0, 0.0});
  builder.add_point({1.0, 0.0, 0.0});
  builder.add_point({0.0, 2.0, 0.0});
  builder.add_point({0.0, 0.0, 3.0});
  for (const auto& t : {std::array{0U, 2U, 1U}, {0U, 1U, 3U}, {1U, 2U, 3U}, {2U, 0U, 3U}}) {
    builder.add_triangle(t[0], t[1], t[2], Patch::CoreWall);
  }
  EXPECT_DOUBLE_EQ(enclosed_volume(std::move(builder).closed()), 1.0);
}

TEST(EnclosedVolume, OfNothingIsZero) {
  EXPECT_EQ(enclosed_volume(Surface{}), 0.0);
}

TEST(BoundingBox, HoldsTheBrickExactly) {
  const Box box = bounding_box(brick());
  EXPECT_EQ(box.low, (base::Vec3{1.0, 2.0, 3.0}));
  EXPECT_EQ(box.high, (base::Vec3{1.5, 2.25, 3.125}));
}

// The polygon round the axis has the area of the true circle, so cylinder and cone frustum have their true
// volumes: pi 0.2² 0.5 and pi (0.2² + 0.2 0.1 + 0.1²) 0.3 / 3, to rounding.
TEST(RevolvedSurface, HasTheVolumeOfTheTrueBody) {
  const double pi = std::numbers::pi;
  const std::array<Ring, 3> rings{{{0.0, 0.2}, {0.5, 0.2}, {0.8, 0.1}}};
  const std::array<Patch, 2> patches{Patch::InletLeft, Patch::RingLeft};
  const Surface body = revolved_surface(0.3, -0.1, rings, patches, 64);
  EXPECT_NEAR(enclosed_volume(body), pi * 0.04 * 0.5 + pi * 0.07 * 0.1, 1e-14);
}

TEST(RevolvedSurface, ClosesATipWithoutEmptyTriangles) {
  const std::array<Ring, 2> cone{{{0.0, 0.0}, {0.3, 0.1}}};
  const std::array<Patch, 1> patches{Patch::Spinner};
  const Surface body = revolved_surface(0.0, 0.0, cone, patches, 32);
  EXPECT_EQ(body.triangles.size(), 2U * 32U);  // 32 in the mantle, 32 in the base
  EXPECT_NEAR(enclosed_volume(body), std::numbers::pi * 0.01 * 0.3 / 3.0, 1e-15);
}

TEST(RevolvedSurface, IsTurnedOutwardAlsoWhenItsRingsRunForward) {
  const std::array<Ring, 2> rings{{{0.5, 0.2}, {0.0, 0.2}}};
  const std::array<Patch, 1> patches{Patch::InletLeft};
  EXPECT_GT(enclosed_volume(revolved_surface(0.0, 0.0, rings, patches, 16)), 0.0);
}

}  // namespace
}  // namespace cowlwright::shape
