// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/radii.h"

#include "tests/support/mold_bodies.h"

#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::mold {
namespace {

constexpr double window = 0.001;
constexpr double least_area = 2e-5;

struct Fitted {
  explicit Fitted(const shape::Surface& surface, MoldSide side = MoldSide::Outside)
      : sheet(make_sheet(surface, side)),
        creases(find_creases(sheet)),
        curvatures(fit_curvatures(sheet, creases, corner_normals(sheet, creases), window)) {}
  SmallestRadius smallest(Bend bend, double limit = 0.003) const {
    return smallest_radius(sheet, curvatures, bend, limit, least_area);
  }
  Sheet sheet;
  Creases creases;
  Curvatures curvatures;
};

// An outside edge of the part is a hollow of a mold round it, and an edge of a mold inside it. Facets of 0.5
// mm on an arc of 7.9 mm: 16 facets; normals at their corners are exact by symmetry but for the two at the
// ends.
TEST(Fillet, HasItsRadiusInsideOrOutsideByTheSideOfTheMold) {
  const shape::Surface edge = testing_support::filleted_edge(0.005, 0.0005);
  const Fitted outside(edge, MoldSide::Outside);
  EXPECT_NEAR(outside.smallest(Bend::Hollow).radius, 0.005, 0.0001);  // 2 %: the window near the arc's ends
  const auto is_flat = [](const SmallestRadius& r) { return !r.is_found || r.radius > 0.1; };
  EXPECT_TRUE(is_flat(outside.smallest(Bend::Edge)));
  const Fitted inside(edge, MoldSide::Inside);
  EXPECT_NEAR(inside.smallest(Bend::Edge).radius, 0.005, 0.0001);
  EXPECT_TRUE(is_flat(inside.smallest(Bend::Hollow)));
}

TEST(Fillet, ReportsTheAreaBelowTheLimit) {
  const Fitted edge(testing_support::filleted_edge(0.004, 0.0004));
  // Quarter arc of 4 mm over 100 mm; the facets at its two ends may count or not: two of 0.4 mm.
  const double area = 0.5 * testing_support::pi * 0.004 * 0.1;
  EXPECT_NEAR(edge.smallest(Bend::Hollow, 0.005).area_below, area, 2 * 0.0004 * 0.1);
  EXPECT_EQ(edge.smallest(Bend::Hollow, 0.003).area_below, 0.0);
}

TEST(SharpEdge, HasNoRadiusButALengthAndABound) {
  const Fitted box(testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3}));
  EXPECT_FALSE(box.smallest(Bend::Hollow).is_found);
  const std::vector<SharpRun> runs = sharp_runs(box.sheet, box.creases, Bend::Hollow);
  ASSERT_EQ(runs.size(), 1U);
  EXPECT_NEAR(runs[0].length, 4 * (0.1 + 0.2 + 0.3), 1e-12);
  EXPECT_NEAR(runs[0].turn, 0.5 * testing_support::pi, 1e-12);
  EXPECT_GT(runs[0].resolvable, 0.05);  // facets of 0.1 m and more
  EXPECT_TRUE(sharp_runs(box.sheet, box.creases, Bend::Edge).empty());
}

// A fillet of 2 mm drawn with one facet: two lines of 45 deg, which no radius may be made up from.
TEST(SharpEdge, IsWhatACoarseFilletIs) {
  const Fitted edge(testing_support::filleted_edge(0.002, 0.003));
  EXPECT_FALSE(edge.smallest(Bend::Hollow).is_found);
  const std::vector<SharpRun> runs = sharp_runs(edge.sheet, edge.creases, Bend::Hollow);
  ASSERT_FALSE(runs.empty());
  EXPECT_GT(runs[0].resolvable, 0.002);
}

TEST(Curvatures, OfAPlaneAreNone) {
  const Fitted plane(testing_support::extruded(0.1, 10, 10, [](double u) { return Vec3{0.1 * u, 0, 0}; }));
  for (std::size_t f = 0; f < plane.sheet.n_faces(); ++f) {
    EXPECT_NEAR(plane.curvatures.hollow[f], 0.0, 1e-9);
    EXPECT_NEAR(plane.curvatures.edge[f], 0.0, 1e-9);
  }
}

// Long strips as CAD writes a cylinder: 60 round, 1 m long, each 10.5 mm x 1 m.
TEST(Curvatures, OfLongStripsAreThoseOfTheCylinder) {
  const Fitted strips(testing_support::grid_surface(
      60,
      1,
      [](double u, double v) {
        return Vec3{
            0.1 * std::cos(2 * testing_support::pi * u), 0.1 * std::sin(2 * testing_support::pi * u), v};
      },
      true));
  // Chords: the normal's sine over the place's is exact at the corners.
  EXPECT_NEAR(strips.smallest(Bend::Hollow).radius, 0.1, 1e-4);
}

}  // namespace
}  // namespace cowlwright::mold
