// SPDX-License-Identifier: GPL-3.0-or-later
//
// A parametric cowl's skin, spoiled in the ways files are spoiled, repaired and wrapped, against the clean
// skin.
#include "geometry/base/error.h"
#include "geometry/imported/repair.h"
#include "geometry/imported/topology.h"
#include "geometry/imported/wrap.h"
#include "geometry/shape/cowl_skin.h"
#include "tests/support/bodies.h"
#include "tests/support/validation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace cowlwright::imported {
namespace {

using base::Vec3;
using shape::Surface;
using testing_support::ValidationCheck;

constexpr double jitter = 5e-5;
constexpr std::size_t n_holes = 20, n_crumbs = 25, n_flipped = 300, n_duplicates = 40;

double longest_edge(const Surface& s, std::size_t i) {
  const auto& t = s.triangles[i];
  return std::max({norm(s.points[t[0]] - s.points[t[1]]),
                   norm(s.points[t[1]] - s.points[t[2]]),
                   norm(s.points[t[2]] - s.points[t[0]])});
}

/// Every `step`th triangle that touches no border and none of the others.
std::vector<std::size_t> places_for_holes(const Surface& skin) {
  std::vector<char> is_taken(skin.points.size(), 0);
  for (const BorderLoop& loop : border_loops(skin))
    for (const std::uint32_t i : loop.points) is_taken[i] = 1;
  std::vector<std::size_t> chosen;
  const std::size_t step = skin.triangles.size() / (3 * n_holes);
  for (std::size_t i = step; i < skin.triangles.size() && chosen.size() < n_holes; i += step) {
    const auto& t = skin.triangles[i];
    if (is_taken[t[0]] || is_taken[t[1]] || is_taken[t[2]]) continue;
    // Neither a sliver nor as large as an opening.
    if (longest_edge(skin, i) < 2e-3 || longest_edge(skin, i) > 0.05) continue;
    is_taken[t[0]] = is_taken[t[1]] = is_taken[t[2]] = 1;
    chosen.push_back(i);
  }
  std::reverse(chosen.begin(), chosen.end());
  return chosen;
}

struct DirtyCowl {
  Surface clean{}, dirty{};
  double largest_hole = 0.0;
};

/// Holes of one triangle, all corners apart and moved by exactly 0.05 mm, triangles turned and doubled,
/// chips.
DirtyCowl dirty_cowl() {
  std::mt19937 random(7);
  std::normal_distribution<double> normal;
  DirtyCowl cowl{.clean = cowl_skin(shape::ShapeSpec{})};
  Surface holed = cowl.clean;
  for (const std::size_t i : places_for_holes(cowl.clean)) {
    cowl.largest_hole = std::max(cowl.largest_hole, longest_edge(cowl.clean, i));
    testing_support::remove_triangle(holed, i);
  }
  cowl.dirty = testing_support::apart(holed);
  for (Vec3& p : cowl.dirty.points) {
    const Vec3 direction{normal(random), normal(random), normal(random)};
    p = p + (jitter / norm(direction)) * direction;
  }
  std::uniform_int_distribution<std::size_t> any(0, cowl.dirty.triangles.size() - 1);
  for (std::size_t k = 0; k < n_duplicates; ++k) {
    const std::size_t i = any(random);
    cowl.dirty.triangles.push_back(cowl.dirty.triangles[i]);
    cowl.dirty.patch.push_back(cowl.dirty.patch[i]);
  }
  for (std::size_t k = 0; k < n_flipped; ++k) testing_support::turn(cowl.dirty, any(random));
  for (std::size_t k = 0; k < n_crumbs; ++k) {
    const Vec3 at{0.02 * static_cast<double>(k), 0.9, 0.1};
    testing_support::append(
        cowl.dirty, Surface{{at, at + Vec3{1e-3, 0, 0}, at + Vec3{0, 1e-3, 0}}, {{0, 1, 2}}, {0}, {"chip"}});
  }
  return cowl;
}

double volume_with_lids(const Surface& surface) {
  return condition_of(surface).volume;
}

TEST(DirtyCowl, IsRepairedToTheCleanSkin) {
  const DirtyCowl cowl = dirty_cowl();
  const RepairedSurface repaired = repair(
      cowl.dirty,
      {.weld = 2.0 * jitter + 1e-9, .fill_holes = cowl.largest_hole + 4.0 * jitter, .tolerance = 2e-4});
  EXPECT_THAT(repaired.faults, testing::IsEmpty());
  EXPECT_EQ(repaired.broken_tolerance, "");
  // Besides the chips, slivers of the skin itself that are thinner than the tolerance come loose (its
  // shortest edge has 0.05 mm): the seam closes behind them.
  EXPECT_GE(repaired.crumbs.size(), n_crumbs);
  EXPECT_LE(repaired.crumbs.size(), n_crumbs + 10);
  EXPECT_EQ(repaired.openings.size(), border_loops(cowl.clean).size());
  EXPECT_EQ(repaired.after.n_shells, 1u);

  ValidationCheck distance(
      {.id = "repair.dirty_cowl_deviation",
       .group = "Geometry",
       .title = "Repaired cowl against the skin it was before it was spoiled",
       .source = "the clean skin itself",
       .condition = "corners apart and moved by 0.05 mm, 20 holes, 25 chips, triangles turned and doubled",
       .unit = "mm",
       .reason = "no point lies further than the 0.05 mm it was moved; holes of one triangle close exactly"});
  // Slack: the points of welded corners, and of triangles that stand on them, in 9 digits.
  const Deviation away = deviation(repaired.surface, cowl.clean);
  distance.expect_below("repaired from clean", 1e3 * away.figures.greatest(), 0.05 * 1.001);
  distance.expect_near("mean", 1e3 * away.figures.mean, 0.0, 0.005);

  ValidationCheck volume(
      {.id = "repair.dirty_cowl_volume",
       .group = "Geometry",
       .title = "Volume and area of the repaired cowl",
       .source = "the clean skin itself, with flat lids over its openings",
       .condition = "as repair.dirty_cowl_deviation",
       .unit = "relative",
       .reason = "volume: area times 0.05 mm, were all points moved the same way; area: 1 %, for moved "
                 "corners of triangles a few mm high"});
  const double clean = volume_with_lids(cowl.clean);
  volume.expect_near(
      "volume", volume_with_lids(repaired.surface) / clean, 1.0, jitter * surface_area(cowl.clean) / clean);
  volume.expect_near("area", surface_area(repaired.surface) / surface_area(cowl.clean), 1.0, 0.01);
}

// With its openings closed the same dirty cowl is a body; the ball of 20 mm goes into the two ducts, which
// end blind.
TEST(DirtyCowl, IsWrappedToTheBodyItSurrounds) {
  const DirtyCowl cowl = dirty_cowl();
  const RepairedSurface closed = repair(cowl.dirty, {.weld = 2.0 * jitter + 1e-9, .fill_holes = 3.0});
  ASSERT_TRUE(closed.after.is_closed());
  const WrappedSurface wrapped = wrap(closed.surface, {.tolerance = 0.02, .deviation_limit = 0.02});
  EXPECT_EQ(wrapped.kind, WrapKind::Body);
  EXPECT_TRUE(wrapped.after.is_closed());
  EXPECT_EQ(wrapped.broken_tolerance, "");

  ValidationCheck volume(
      {.id = "repair.wrapped_cowl_volume",
       .group = "Geometry",
       .title = "Volume of the wrapped cowl over that of the clean one",
       .source = "the clean skin closed in the same way; the wrap stands one offset off everything",
       .condition = "ball 20 mm, offset 2 mm",
       .unit = "-",
       .reason = "at least the body, at most the body and two offsets all round: one for the offset, one "
                 "for what the ball leaves in notches"});
  const double clean = repair(cowl.clean, {.fill_holes = 3.0}).after.volume;
  const double ratio = wrapped.after.volume / clean;
  const double offset = wrapped.offset * surface_area(closed.surface) / clean;
  volume.expect_between("wrap", ratio, 1.0, 1.0 + 2.0 * offset);
}

// The skin as it is has openings of a hand's size and more: a wrap that goes in gives a thin shell. It must
// not pass.
TEST(DirtyCowl, IsNotWrappedWithItsOpeningsOpen) {
  const DirtyCowl cowl = dirty_cowl();
  const RepairedSurface open = repair(cowl.dirty, {.weld = 2.0 * jitter + 1e-9, .fill_holes = 0.03});
  EXPECT_THAT([&] { wrap(open.surface, {.tolerance = 0.03}); },
              testing::ThrowsMessage<base::ResultError>(testing::HasSubstr("went in through an opening")));
}

}  // namespace
}  // namespace cowlwright::imported
