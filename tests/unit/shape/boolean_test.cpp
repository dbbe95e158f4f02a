// SPDX-License-Identifier: GPL-3.0-or-later
//
// Booleans of bricks with volumes and patch areas done by hand, and the proof on surfaces with one defect
// each.
#include "geometry/shape/boolean.h"

#include "geometry/base/error.h"
#include "geometry/shape/builder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <utility>

namespace cowlwright::shape {
namespace {

using ::testing::HasSubstr;

// Coordinates that are no sums of halves in binary leave rounding of some 1e-16; areas and volumes are of
// order 1.
constexpr double rounding = 1e-12;

Surface cube(double low, double high, Patch patch) {
  return box_surface({low, low, low}, {high, high, high}, patch);
}

TEST(Union, OfOverlappingCubesCountsTheOverlapOnce) {
  Solid body(cube(0.0, 1.0, Patch::Cowl));
  body.unite(Solid(cube(0.6, 1.5, Patch::Spinner)), "join cubes");
  const Surface result = body.to_surface(patch_names());
  EXPECT_NEAR(enclosed_volume(result), 1.0 + 0.729 - 0.064, rounding);
  EXPECT_NEAR(surface_area(result, "cowl"), 6.0 - 3.0 * 0.16, rounding);
  EXPECT_NEAR(surface_area(result, "spinner"), 6.0 * 0.81 - 3.0 * 0.16, rounding);
}

TEST(Difference, GivesTheCutFacesThePatchOfTheTool) {
  Solid body(cube(0.0, 1.0, Patch::Cowl));
  body.subtract(Solid(cube(0.6, 1.5, Patch::Firewall)), "cut a corner");
  const Surface result = body.to_surface(patch_names());
  EXPECT_NEAR(enclosed_volume(result), 1.0 - 0.064, rounding);
  EXPECT_NEAR(surface_area(result, "firewall"), 3.0 * 0.16, rounding);
  EXPECT_NEAR(surface_area(result, "cowl"), 6.0 - 3.0 * 0.16, rounding);
}

TEST(Difference, ThatTakesEverythingIsRefusedNamingTheStep) {
  Solid body(cube(0.0, 1.0, Patch::Cowl));
  EXPECT_THAT([&] { body.subtract(Solid(cube(-0.5, 1.5, Patch::Firewall)), "take it all"); },
              ::testing::ThrowsMessage<base::ResultError>(HasSubstr("take it all")));
}

TEST(Solid, RefusesThreeTrianglesOnOneEdge) {
  SurfaceBuilder builder;
  for (const base::Vec3& p : {base::Vec3{0.0, 0.0, 0.0}, {1.0, 0.0, 0.0}, {0.0, 1.0, 0.0}, {0.0, 0.0, 1.0}}) {
    builder.add_point(p);
  }
  builder.add_triangle(0, 1, 2, Patch::Cowl);
  builder.add_triangle(0, 1, 3, Patch::Cowl);  // runs along edge 0-1 in the same sense
  const Surface surface = std::move(builder).open();
  EXPECT_THAT([&] { Solid{surface}; },
              ::testing::ThrowsMessage<base::ResultError>(HasSubstr("opposite sense")));
}

TEST(SurfaceProof, PassesACube) {
  const SurfaceProof proof = prove_surface(cube(0.0, 2.0, Patch::Cowl));
  EXPECT_TRUE(proof.is_closed && proof.is_free_of_self_intersections && proof.bounds_a_volume);
  EXPECT_EQ(proof.n_components, 1U);
  EXPECT_EQ(proof.genus, 0);
  EXPECT_DOUBLE_EQ(proof.volume, 8.0);
  EXPECT_EQ(proof.first_fault, "");
}

TEST(SurfaceProof, FindsTheOpenEdgeOfACubeWithoutAFace) {
  Surface open_cube = cube(0.0, 1.0, Patch::Cowl);
  open_cube.triangles.pop_back();
  open_cube.patch.pop_back();
  const SurfaceProof proof = prove_surface(open_cube);
  EXPECT_FALSE(proof.is_closed);
  EXPECT_THAT(proof.first_fault, HasSubstr("open edge"));
}

TEST(SurfaceProof, FindsAFlippedFace) {
  Surface flipped = cube(0.0, 1.0, Patch::Cowl);
  std::swap(flipped.triangles[3][0], flipped.triangles[3][1]);
  EXPECT_FALSE(prove_surface(flipped).is_closed);
  EXPECT_NE(prove_surface(flipped).first_fault, "");
}

TEST(SurfaceProof, FindsTwoCubesThatRunThroughEachOther) {
  SurfaceBuilder builder;
  builder.add_surface(cube(0.0, 1.0, Patch::Cowl));
  builder.add_surface(cube(0.6, 1.5, Patch::Cowl));
  const SurfaceProof proof = prove_surface(std::move(builder).closed());
  EXPECT_TRUE(proof.is_closed);
  EXPECT_FALSE(proof.is_free_of_self_intersections);
  EXPECT_THAT(proof.first_fault, HasSubstr("self-intersections"));
}

TEST(SurfaceProof, FindsACubeTurnedInsideOut) {
  Surface inside_out = cube(0.0, 1.0, Patch::Cowl);
  for (auto& t : inside_out.triangles) std::swap(t[0], t[1]);
  EXPECT_FALSE(prove_surface(inside_out).bounds_a_volume);
}

TEST(SurfaceProof, CountsBodiesAndTunnels) {
  // A square ring: a plate with a hole through it, beside a loose cube.
  Solid plate(box_surface({0.0, 0.0, 0.0}, {1.0, 1.0, 0.1}, Patch::Cowl));
  plate.subtract(Solid(box_surface({0.3, 0.3, -0.2}, {0.7, 0.7, 0.3}, Patch::Cowl)), "bore");
  SurfaceBuilder builder;
  builder.add_surface(plate.to_surface(patch_names()));
  EXPECT_EQ(prove_surface(plate.to_surface(patch_names())).genus, 1);
  builder.add_surface(cube(2.0, 3.0, Patch::Cowl));
  const SurfaceProof proof = prove_surface(std::move(builder).closed());
  EXPECT_EQ(proof.n_components, 2U);
  EXPECT_EQ(proof.genus, 1);
}

TEST(SmallestDistance, IsMeasuredToFacesNotToCorners) {
  const Surface outer = cube(0.0, 1.0, Patch::Cowl);
  const Surface inner = cube(0.4, 0.7, Patch::Cowl);  // 0.3 off the faces x, y, z = 1, 0.4 off the others
  std::array<std::uint32_t, 8> points{0, 1, 2, 3, 4, 5, 6, 7};
  std::array<std::uint32_t, 12> triangles{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11};
  EXPECT_NEAR(smallest_distance(inner, points, outer, triangles), 0.3, rounding);
}

}  // namespace
}  // namespace cowlwright::shape
