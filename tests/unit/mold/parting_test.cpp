// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/parting.h"

#include "geometry/base/error.h"
#include "geometry/mold/options.h"
#include "tests/support/mold_bodies.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>

namespace cowlwright::mold {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

const std::vector<Vec3> up{{0, 0, 1}};
const std::vector<Vec3> both{{0, 0, 1}, {0, 0, -1}};

struct Drawn {
  Drawn(const shape::Surface& surface, std::vector<Vec3> directions)
      : sheet(make_sheet(surface, MoldSide::Outside)),
        creases(find_creases(sheet)),
        normals(corner_normals(sheet, creases)),
        tree(sheet.points, sheet.faces),
        pulls(std::move(directions)) {
    for (const Vec3& pull : pulls) sights.push_back(sight_along(sheet, normals, creases, tree, pull));
  }
  Halves proposed() const {
    return proposed_halves(
        sheet, normals, pulls, sights, {.error_limit = one_degree, .warning_limit = 2 * one_degree});
  }
  double undercut(const Halves& halves) const {
    const std::vector<double> share = undercut_shares(sheet, halves, sights);
    return std::inner_product(share.begin(), share.end(), sheet.area.begin(), 0.0);
  }
  Sheet sheet;
  Creases creases;
  CornerNormals normals;
  Tree tree;
  std::vector<Vec3> pulls;
  std::vector<Sight> sights;
};

// The ledge's underside faces away, 0.03 x 0.3 m², and hides the wall below it, 0.04 x 0.3 m².
TEST(Undercut, OfASteppedBlockIsItsLedgeAndTheWallBelow) {
  for (const int n : {1, 4, 20}) {
    const Drawn block(testing_support::stepped_block(n), up);
    EXPECT_NEAR(block.undercut(Halves(block.sheet.n_faces(), 0)), 0.009 + 0.012, 1e-12) << n;
  }
}

TEST(Undercut, NamesTheFaceInTheWay) {
  const Drawn block(testing_support::stepped_block(4), up);
  int n_behind = 0;
  for (std::size_t f = 0; f < block.sheet.n_faces(); ++f) {
    if (block.sights[0].hidden_by[f] < 0) continue;
    ++n_behind;
    const Vec3& hider = block.sheet.centroid[static_cast<std::size_t>(block.sights[0].hidden_by[f])];
    EXPECT_NEAR(block.sheet.centroid[f].x, 0.17, 1e-12);  // the wall
    EXPECT_NEAR(hider.z, 0.04, 1e-12);                    // the ledge
  }
  EXPECT_GT(n_behind, 0);
}

// A plate 20 mm above half of a large face of two triangles: a partly hidden face counts by its part.
TEST(Undercut, OfAFacePartlyHiddenIsItsHiddenPart) {
  shape::Surface s;
  s.points = {{0, 0, 0},
              {1, 0, 0},
              {1, 1, 0},
              {0, 1, 0},
              {0.5, -1, 0.02},
              {2, -1, 0.02},
              {2, 2, 0.02},
              {0.5, 2, 0.02}};
  s.triangles = {{0, 1, 2}, {0, 2, 3}, {4, 5, 6}, {4, 6, 7}};
  s.patch = {0, 0, 0, 0};
  s.patch_names = {"plates"};
  const Drawn plates(s, up);
  // 2048 samples over each triangle: 1/2048 a sample; the plastic-number sequence is off by a few of them.
  EXPECT_NEAR(plates.undercut(Halves(4, 0)), 0.5, 0.005);
}

TEST(ProposedHalves, LeaveNoUndercutOnASteppedBlockAndPartItAtItsLedge) {
  const Drawn block(testing_support::stepped_block(4), both);
  const Halves halves = block.proposed();
  EXPECT_NEAR(block.undercut(halves), 0.0, 1e-12);
  const PartingLine line = line_between(block.sheet, halves);
  ASSERT_EQ(line.pieces.size(), 1U);
  EXPECT_NEAR(line.length, 0.3, 1e-9);
  for (const Vec3& p : line.pieces[0]) EXPECT_NEAR(p.x, 0.2, 1e-9);
}

// Edges zigzag round the equator, which no row of facets follows; smoothed, the line has the circle's length
// within 2 % and stays within a facet (12 mm) of its plane.
TEST(ProposedHalves, PartASphereAtItsEquatorInOnePiece) {
  const Drawn sphere(testing_support::sphere(0.3, 22), both);
  const Halves halves = sphere.proposed();
  EXPECT_NEAR(sphere.undercut(halves), 0.0, 1e-4 * 1.13);  // the line runs across facets
  const PartingLine line = line_between(sphere.sheet, halves);
  EXPECT_EQ(line.pieces.size(), 1U);
  EXPECT_NEAR(line.length, 2 * testing_support::pi * 0.3, 0.02 * 2 * testing_support::pi * 0.3);
  EXPECT_LT(line.off_plane, 0.012);
  EXPECT_NEAR(std::abs(line.plane_normal.z), 1.0, 1e-3);
}

// A cylinder along y pulled up and down with its end caps open: the third pull, sideways, is never needed.
TEST(ProposedHalves, UseAThirdPullOnlyWhereItIsNeeded) {
  const Drawn block(testing_support::stepped_block(4), {{0, 0, 1}, {0, 0, -1}, {1, 0, 0}});
  const Halves halves = block.proposed();
  EXPECT_NEAR(block.undercut(halves), 0.0, 1e-12);
  // Upright walls on the right have no draft along z but 90 deg along x.
  for (std::size_t f = 0; f < block.sheet.n_faces(); ++f) {
    if (block.sheet.normal[f].x > 0.9) {
      EXPECT_EQ(halves[f], 2);
    }
  }
}

TEST(HalvesByPlane, GiveEachSideToThePullThatLeadsThere) {
  const Drawn sphere(testing_support::sphere(0.3, 22), both);
  const Halves halves = halves_by_plane(sphere.sheet, sphere.pulls, sphere.sights, parse_split("WL 0"));
  for (std::size_t f = 0; f < halves.size(); ++f)
    EXPECT_EQ(halves[f], sphere.sheet.centroid[f].z > 0.0 ? 0 : 1);
  const PartingLine line = line_of_plane(sphere.sheet, parse_split("WL 0"));
  // Chords of facets of 12 mm: (0.012/0.3)²/24 = 7e-5.
  EXPECT_NEAR(line.length, 2 * testing_support::pi * 0.3, 1e-3);
  EXPECT_NEAR(line.off_plane, 0.0, 1e-12);
}

TEST(HalvesByPlane, OffTheEquatorLeaveAZoneUndercut) {
  const Drawn sphere(testing_support::sphere(0.3, 60), both);
  const Halves halves = halves_by_plane(sphere.sheet, sphere.pulls, sphere.sights, parse_split("WL 60"));
  // Between the equator and 60 mm the surface faces up but is drawn down: 2 pi R h, Archimedes. The facets of
  // 5 mm that touch the line, up to two rows, are not held against it.
  const double zone = 2 * testing_support::pi * 0.3 * 0.06;
  EXPECT_NEAR(sphere.undercut(halves), zone, 0.15 * zone);
}

TEST(HalvesByPlane, RefuseAPlaneThatNoPullLeadsAwayFrom) {
  const Drawn sphere(testing_support::sphere(0.3, 4), both);
  EXPECT_THAT([&] { halves_by_plane(sphere.sheet, sphere.pulls, sphere.sights, parse_split("BL 0")); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("BL 0"), HasSubstr("--pull"))));
}

TEST(ParseSplit, TakesStationsInMillimetresOnly) {
  EXPECT_NEAR(parse_split("WL -50").offset, -0.05, 1e-15);
  EXPECT_EQ(parse_split("FS 300 mm").normal, (Vec3{1, 0, 0}));
  for (const char* text : {"", "BL", "XX 3", "BL zero", "BL 0 in", "BL nan"}) {
    EXPECT_THAT([&] { parse_split(text); }, ThrowsMessage<base::InputError>(HasSubstr("BL 0"))) << text;
  }
}

}  // namespace
}  // namespace cowlwright::mold
