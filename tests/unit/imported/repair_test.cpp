// SPDX-License-Identifier: GPL-3.0-or-later
//
// One defect at a time on a box of known volume; what comes out is proven by code that knows nothing of the
// repair.
#include "geometry/imported/repair.h"

#include "geometry/base/error.h"
#include "geometry/imported/faults.h"
#include "geometry/shape/boolean.h"
#include "tests/support/bodies.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

namespace cowlwright::imported {
namespace {

using shape::Surface;
using testing_support::apart;
using testing_support::append;
using testing_support::divided_box;
using testing_support::remove_triangle;
using testing_support::turn;

/// 0.4 x 0.2 x 0.1 m, squares of 40 x 20 x 10 mm.
Surface box() {
  return divided_box({0, 0, 0}, {0.4, 0.2, 0.1}, 10);
}
constexpr double box_volume = 0.008;
/// Products of coordinates of a metre, summed over a thousand triangles.
constexpr double rounding = 1e-12;

const RepairStep& step(const RepairedSurface& repaired, const std::string& name) {
  return *std::find_if(
      repaired.steps.begin(), repaired.steps.end(), [&](const RepairStep& s) { return s.name == name; });
}

void expect_sound(const RepairedSurface& repaired, double volume, double tolerance = rounding) {
  const shape::SurfaceProof proof = shape::prove_surface(repaired.surface);
  EXPECT_TRUE(proof.bounds_a_volume) << proof.first_fault;
  EXPECT_NEAR(proof.volume, volume, tolerance);
  EXPECT_EQ(repaired.broken_tolerance, "");
  EXPECT_THAT(repaired.faults, testing::IsEmpty());
  EXPECT_TRUE(repaired.after.is_closed());
  const Faults left = diagnose(repaired.surface);
  EXPECT_TRUE(left.is_closed());
  EXPECT_THAT(left.intersections, testing::IsEmpty());
  EXPECT_THAT(left.flipped_faces, testing::IsEmpty());
  EXPECT_THAT(left.duplicated_faces, testing::IsEmpty());
  EXPECT_THAT(left.degenerate_faces, testing::IsEmpty());
}

TEST(Repair, LeavesASoundBodyAsItIs) {
  const RepairedSurface repaired = repair(box(), {});
  expect_sound(repaired, box_volume);
  EXPECT_EQ(repaired.surface.triangles, box().triangles);
  EXPECT_EQ(repaired.surface.patch, box().patch);
  for (const RepairStep& s : repaired.steps) EXPECT_EQ(s.count, 0u) << s.name;
  EXPECT_LT(repaired.deviation.figures.greatest(), 1e-15);
}

TEST(Repair, JoinsTheCornersOfATriangleSoup) {
  const RepairedSurface repaired = repair(apart(box()), {});
  expect_sound(repaired, box_volume);
  EXPECT_EQ(repaired.surface.points.size(), box().points.size());
  EXPECT_EQ(step(repaired, "weld").count, 3 * box().triangles.size() - box().points.size());
}

/// Corners moved by up to 0.02 mm in each direction: twice 0.035 mm apart at most.
Surface jittered_soup() {
  Surface soup = apart(box());
  std::mt19937 random(1);
  std::uniform_real_distribution<double> jitter(-2e-5, 2e-5);
  for (base::Vec3& p : soup.points) p = p + base::Vec3{jitter(random), jitter(random), jitter(random)};
  return soup;
}

TEST(Repair, WeldsCracksNarrowerThanTheTolerance) {
  const RepairedSurface repaired = repair(jittered_soup(), {.weld = 1e-4});
  // Area 0.28 m² moved by 0.02 mm at most everywhere.
  expect_sound(repaired, box_volume, 0.28 * 2e-5);
  EXPECT_LE(step(repaired, "weld").greatest, 1e-4);
  EXPECT_GT(step(repaired, "weld").greatest, 1e-5);
  EXPECT_LE(repaired.deviation.figures.greatest(), 1e-4);
}

TEST(Repair, LeavesCracksWiderThanTheToleranceOpenAndListsThem) {
  const RepairedSurface repaired = repair(jittered_soup(), {.weld = 1e-6, .crumb_share = 0.0});
  EXPECT_FALSE(repaired.after.is_closed());
  EXPECT_FALSE(repaired.openings.empty());
}

TEST(Repair, DoesNotWeldTheTwoSidesOfAThinPlate) {
  const Surface plate = divided_box({0, 0, 0}, {0.2, 0.2, 5e-5}, 4);
  expect_sound(repair(plate, {.weld = 1e-4}), 0.2 * 0.2 * 5e-5);
}

// The lid's border has points where the walls have none.
TEST(Repair, StitchesASeamDividedInTwoWays) {
  Surface parts = divided_box({0, 0, 0}, {0.4, 0.2, 0.1}, 4);
  for (std::size_t i = parts.triangles.size(); i-- > 0;)
    if (parts.patch[i] == 5) remove_triangle(parts, i);
  const Surface fine = divided_box({0, 0, 0}, {0.4, 0.2, 0.1}, 12);
  Surface lid{fine.points, {}, {}, {"lid"}};
  for (std::size_t i = 0; i < fine.triangles.size(); ++i) {
    if (fine.patch[i] != 5) continue;
    lid.triangles.push_back(fine.triangles[i]);
    lid.patch.push_back(0);
  }
  append(parts, lid);
  const RepairedSurface repaired = repair(parts, {});
  expect_sound(repaired, box_volume);
  EXPECT_EQ(step(repaired, "stitch").count, 4u * (12 - 4));
}

TEST(Repair, TurnsFlippedTriangles) {
  Surface dirty = box();
  for (const std::size_t i : {3u, 77u, 78u, 500u}) turn(dirty, i);
  const RepairedSurface repaired = repair(dirty, {});
  expect_sound(repaired, box_volume);
  EXPECT_EQ(step(repaired, "orient").count, 4u);
}

TEST(Repair, TurnsABodyThatIsInsideOut) {
  Surface dirty = box();
  for (std::size_t i = 0; i < dirty.triangles.size(); ++i) turn(dirty, i);
  const RepairedSurface repaired = repair(dirty, {});
  expect_sound(repaired, box_volume);
  EXPECT_EQ(step(repaired, "outward").count, dirty.triangles.size());
}

TEST(Repair, KeepsACavityACavity) {
  Surface hollow = box();
  append(hollow, divided_box({0.1, 0.05, 0.02}, {0.3, 0.15, 0.08}, 3));
  expect_sound(repair(hollow, {}), box_volume - 0.2 * 0.1 * 0.06);
}

TEST(Repair, DropsDuplicateAndCollapsedTriangles) {
  Surface dirty = box();
  for (const std::size_t i : {5u, 6u, 100u}) {
    dirty.triangles.push_back(dirty.triangles[i]);
    dirty.patch.push_back(dirty.patch[i]);
  }
  turn(dirty, dirty.triangles.size() - 1);
  dirty.triangles.push_back({7, 7, 9});
  dirty.patch.push_back(0);
  const RepairedSurface repaired = repair(dirty, {});
  expect_sound(repaired, box_volume);
  EXPECT_EQ(step(repaired, "duplicates").count, 3u);
  EXPECT_EQ(step(repaired, "degenerate").count, 1u);
}

// A triangle a-m-b with m on the line a-b stands between a coarse triangle and two fine ones.
TEST(Repair, GivesTheMiddleOfAFlatTriangleToItsNeighbour) {
  Surface dirty = divided_box({0, 0, 0}, {1, 1, 1}, 1);
  // One side's diagonal a-c gets a middle point on one of its triangles only, and a flat triangle to close
  // the gap.
  const auto [a, b, c] = dirty.triangles[0];
  const auto middle = static_cast<std::uint32_t>(dirty.points.size());
  dirty.points.push_back(0.5 * (dirty.points[a] + dirty.points[c]));
  dirty.triangles[0] = {a, b, middle};
  dirty.triangles.push_back({b, c, middle});
  dirty.triangles.push_back({a, middle, c});
  dirty.patch.insert(dirty.patch.end(), {dirty.patch[0], dirty.patch[0]});
  const RepairedSurface repaired = repair(dirty, {});
  expect_sound(repaired, 1.0);
  EXPECT_EQ(step(repaired, "flat").count, 1u);
}

TEST(Repair, LeavesOutCrumbsAndSaysWhere) {
  Surface dirty = box();
  append(dirty, divided_box({0.5, 0, 0}, {0.501, 0.001, 0.001}, 1));
  append(dirty, Surface{{{0, 0, 1}, {0.001, 0, 1}, {0, 0.001, 1}}, {{0, 1, 2}}, {0}, {"chip"}});
  const RepairedSurface repaired = repair(dirty, {});
  expect_sound(repaired, box_volume);
  ASSERT_EQ(repaired.crumbs.size(), 2u);
  EXPECT_NEAR(repaired.crumbs[0].centre.x, 0.5005, 1e-12);
  EXPECT_NEAR(repaired.crumbs[0].area, 6e-6, 1e-12);
  EXPECT_NEAR(repaired.crumbs[1].centre.z, 1.0, 1e-12);
}

/// Two triangles of one square of the side z_high: a hole of 40 x 20 mm, 44.7 mm across.
Surface box_with_hole() {
  Surface dirty = box();
  for (std::size_t i = dirty.triangles.size(); i-- > 0;) {
    const auto& t = dirty.triangles[i];
    const base::Vec3 m = (1.0 / 3.0) * (dirty.points[t[0]] + dirty.points[t[1]] + dirty.points[t[2]]);
    if (m.z > 0.0999 && m.x > 0.16 && m.x < 0.20 && m.y > 0.08 && m.y < 0.10) remove_triangle(dirty, i);
  }
  return dirty;
}

TEST(Repair, ClosesAHoleBelowTheSizeStated) {
  const RepairedSurface repaired = repair(box_with_hole(), {.fill_holes = 0.05});
  expect_sound(repaired, box_volume);
  EXPECT_EQ(step(repaired, "fill").count, 1u);
  EXPECT_NEAR(step(repaired, "fill").greatest, std::hypot(0.04, 0.02), 1e-12);
  EXPECT_NEAR(surface_area(repaired.surface, "filled"), 0.04 * 0.02, 1e-12);
  EXPECT_NEAR(surface_area(repaired.surface, "z_high"), 0.08 - 0.04 * 0.02, 1e-12);
}

TEST(Repair, KeepsAHoleAboveTheSizeStatedAsAnOpening) {
  const RepairedSurface repaired = repair(box_with_hole(), {.fill_holes = 0.04});
  EXPECT_EQ(step(repaired, "fill").count, 0u);
  ASSERT_EQ(repaired.openings.size(), 1u);
  EXPECT_NEAR(repaired.openings[0].extent, std::hypot(0.04, 0.02), 1e-12);
  EXPECT_NEAR(repaired.openings[0].area, 0.04 * 0.02, 1e-12);
  EXPECT_NEAR(repaired.openings[0].perimeter, 0.12, 1e-12);
  EXPECT_NEAR(repaired.openings[0].centre.x, 0.18, 1e-12);
  EXPECT_NEAR(repaired.after.volume, box_volume, rounding);
  EXPECT_THAT(repaired.faults, testing::IsEmpty());
}

TEST(Repair, TakesAFinOffABody) {
  Surface dirty = box();
  // A triangle that stands on an edge inside the side z_high.
  const auto& t = dirty.triangles.back();
  dirty.points.push_back({0.39, 0.19, 0.2});
  dirty.triangles.push_back({t[0], t[1], static_cast<std::uint32_t>(dirty.points.size() - 1)});
  dirty.patch.push_back(0);
  const RepairedSurface repaired = repair(dirty, {.crumb_share = 0.02});
  expect_sound(repaired, box_volume);
  EXPECT_EQ(step(repaired, "split").count, 1u);
  EXPECT_EQ(repaired.crumbs.size(), 1u);
}

// By hand: 0.4 x 0.2 x 0.1 m and a cube of 0.05 m at its end, half of it inside.
TEST(Repair, UnitesOverlappingShells) {
  Surface dirty = box();
  append(dirty, divided_box({0.375, 0.072, 0.023}, {0.425, 0.122, 0.073}, 1));
  const RepairedSurface repaired = repair(dirty, {});
  expect_sound(repaired, box_volume + 0.025 * 0.05 * 0.05);
  EXPECT_EQ(step(repaired, "unite").count, 1u);
  EXPECT_NEAR(surface_area(repaired.surface, "z_high"), 0.08 + 0.025 * 0.05, 1e-9);
}

// A point pushed through the opposite side of a plate: its fan crosses the other side.
TEST(Repair, TakesOutALocalSelfIntersection) {
  Surface dirty = divided_box({0, 0, 0}, {0.4, 0.4, 0.02}, 10);
  for (base::Vec3& p : dirty.points)
    if (std::abs(p.x - 0.2) < 1e-9 && std::abs(p.y - 0.2) < 1e-9 && p.z > 0.019) p.z = -0.003;
  const RepairedSurface repaired = repair(dirty, {.tolerance = 0.03});
  const shape::SurfaceProof proof = shape::prove_surface(repaired.surface);
  EXPECT_TRUE(proof.bounds_a_volume) << proof.first_fault;
  EXPECT_GT(step(repaired, "uncross").count, 0u);
  EXPECT_EQ(repaired.after.n_crossings, 0u);
  // The pushed fan takes 1/3 of 6 or 8 triangles' area (8e-4 m² each) times 23 mm at most.
  EXPECT_NEAR(proof.volume, 0.4 * 0.4 * 0.02, 8 * 8e-4 * 0.023 / 3);
}

TEST(Repair, SaysWhenTheToleranceIsBrokenAndWhere) {
  Surface dirty = divided_box({0, 0, 0}, {0.4, 0.4, 0.02}, 10);
  for (base::Vec3& p : dirty.points)
    if (std::abs(p.x - 0.2) < 1e-9 && std::abs(p.y - 0.2) < 1e-9 && p.z > 0.019) p.z = -0.003;
  const RepairedSurface repaired = repair(dirty, {.tolerance = 1e-4});
  EXPECT_THAT(repaired.broken_tolerance, testing::HasSubstr("limit 0.100 mm"));
  EXPECT_THAT(repaired.broken_tolerance, testing::HasSubstr("FS 18"));
}

TEST(Repair, RemeshesToEvenEdgesAndKeepsPatchesAndSharpEdges) {
  const RepairedSurface repaired = repair(divided_box({0, 0, 0}, {0.4, 0.2, 0.1}, 2), {.remesh_edge = 0.02});
  expect_sound(repaired, box_volume, 1e-9);
  EXPECT_GT(repaired.surface.triangles.size(), 500u);
  EXPECT_NEAR(surface_area(repaired.surface, "z_high"), 0.08, 1e-9);
  EXPECT_NEAR(surface_area(repaired.surface, "x_low"), 0.02, 1e-9);
}

TEST(Repair, RefusesSettingsOutOfRangeNamingValueAndBound) {
  EXPECT_THAT(
      [] { repair(box(), {.weld = -1e-3}); },
      testing::ThrowsMessage<base::InputError>(testing::HasSubstr("weld = -1 mm: must be 0 to 100 mm")));
  EXPECT_THAT(
      [] { repair(box(), {.tolerance = std::numeric_limits<double>::quiet_NaN()}); },
      testing::ThrowsMessage<base::InputError>(testing::HasSubstr("tolerance = nan mm: must be > 0 mm")));
  EXPECT_THAT(
      [] { repair(box(), {.crumb_share = 0.7}); },
      testing::ThrowsMessage<base::InputError>(testing::HasSubstr("crumbs = 70 %: must be 0 to 50 %")));
  EXPECT_THROW(repair(Surface{}, {}), base::InputError);
}

TEST(Repair, RefusesCoordinatesThatAreNotFinite) {
  Surface dirty = box();
  dirty.points[3].y = std::numeric_limits<double>::infinity();
  EXPECT_THROW(repair(dirty, {}), base::InputError);
}

}  // namespace
}  // namespace cowlwright::imported
