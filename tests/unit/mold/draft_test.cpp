// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/draft.h"

#include "tests/support/mold_bodies.h"

#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::mold {
namespace {

constexpr double degree = 3.14159265358979323846 / 180.0;
const std::vector<Vec3> up{{0, 0, 1}};

struct Prepared {
  explicit Prepared(const shape::Surface& surface)
      : sheet(make_sheet(surface, MoldSide::Outside)),
        creases(find_creases(sheet)),
        normals(corner_normals(sheet, creases)),
        halves(sheet.n_faces(), 0) {}
  double area_below(double limit) const {
    const std::vector<double> share = share_below(sheet, normals, up, halves, limit);
    double area = 0.0;
    for (std::size_t f = 0; f < share.size(); ++f) area += share[f] * sheet.area[f];
    return area;
  }
  Sheet sheet;
  Creases creases;
  CornerNormals normals;
  Halves halves;
};

// A polygon of n sides round the cone: its faces lean by atan(tan a cos(pi/n)), 5e-4 less at n = 100; 1e-3 of
// the angle.
TEST(Draft, OfAConeIsItsHalfAngle) {
  for (const double angle : {0.5, 1.5, 5.0}) {
    const Prepared cone(testing_support::cone_side(angle * degree, 100, 10));
    for (const double draft : draft_angles(cone.sheet, cone.normals, up, cone.halves)) {
      ASSERT_NEAR(draft / degree, angle, 1e-3 * angle);
    }
  }
}

TEST(Draft, OfACylinderIsZeroAndAllOfItsAreaIsBelow) {
  const Prepared cylinder(testing_support::cone_side(0.0, 60, 5));
  for (const double draft : draft_angles(cylinder.sheet, cylinder.normals, up, cylinder.halves)) {
    ASSERT_NEAR(draft, 0.0, 1e-12);  // rounding only
  }
  double area = 0.0;
  for (const double a : cylinder.sheet.area) area += a;
  EXPECT_NEAR(cylinder.area_below(0.1 * degree), area, 1e-12);
}

TEST(Draft, OfAConeWideAtItsTopIsNegative) {
  const Prepared cone(testing_support::cone_side(-2.0 * degree, 100, 10));
  for (const double draft : draft_angles(cone.sheet, cone.normals, up, cone.halves))
    ASSERT_LT(draft, -1.9 * degree);
}

// Three points in a line between two faces of a plate: a facet without area, as CAD writes them.
TEST(Draft, LeavesAFaceWithoutAreaOut) {
  shape::Surface plate;
  plate.points = {{0, 0, 0}, {0.1, 0, 0}, {0.1, 0.1, 0}, {0, 0.1, 0}, {0.05, 0.05, 0}};
  plate.triangles = {{0, 1, 2}, {0, 2, 4}, {0, 4, 3}, {4, 2, 3}};
  plate.patch = {0, 0, 0, 0};
  plate.patch_names = {"plate"};
  const Prepared sheet(plate);
  for (const double draft : draft_angles(sheet.sheet, sheet.normals, up, sheet.halves))
    EXPECT_FALSE(std::isnan(draft));
  EXPECT_NEAR(sheet.area_below(89 * degree), 0.0, 1e-12);
}

// The band of a sphere whose draft lies below a has 2 pi R² sin a on the upper half: pole to band by
// Archimedes; the lower half (negative draft) is all below.
TEST(AreaBelow, OfASphereIsThatOfItsZone) {
  const Prepared sphere(testing_support::sphere(0.3, 30));
  const double half = 2 * testing_support::pi * 0.09;
  for (const double angle : {1.0, 2.0, 10.0, 45.0}) {
    // 18,000 facets of 6 mm: chord error (6/300)²/8 = 5e-5 of the area, 1e-4 of the normal: 2e-4 of the half.
    EXPECT_NEAR(sphere.area_below(angle * degree), half * (1 + std::sin(angle * degree)), 5e-4 * half);
  }
}

TEST(Creases, AreTheEdgesOfABoxAndNoneOfASphere) {
  const Prepared box(testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3}));
  int n_sharp = 0;
  for (const auto& face : box.creases.is_sharp) n_sharp += face[0] + face[1] + face[2];
  EXPECT_EQ(n_sharp, 24);  // 12 edges, seen from both sides; diagonals are flat
  for (const auto& face : box.creases.turn) {
    for (const double turn : face)
      EXPECT_TRUE(std::abs(turn) < 1e-12 || std::abs(turn - 90 * degree) < 1e-12);
  }
  const Prepared sphere(testing_support::sphere(0.3, 8));
  for (const auto& face : sphere.creases.is_sharp) EXPECT_FALSE(face[0] || face[1] || face[2]);
}

// A chine of 15 deg between two flats turns no more than the facets of a round of the same angle would, but
// nothing beside it turns: its normals must not be smeared over the flats.
TEST(Creases, FindAChineThatStandsAlone) {
  const auto chine = testing_support::extruded(0.1, 10, 20, [](double u) {
    const double s = 0.2 * (u - 0.5);
    return Vec3{s, 0.0, s > 0 ? -s * std::tan(15 * degree) : 0.0};
  });
  const Prepared sheet(chine);
  double length = 0.0;
  for (std::size_t f = 0; f < sheet.sheet.n_faces(); ++f) {
    for (std::size_t k = 0; k < 3; ++k) {
      if (sheet.creases.is_sharp[f][k])
        length += norm(sheet.sheet.corner(f, k + 1) - sheet.sheet.corner(f, k));
    }
  }
  EXPECT_NEAR(0.5 * length, 0.1, 1e-12);
}

TEST(ShareInBoth, IsWhatNeitherHalfCanDraw) {
  EXPECT_DOUBLE_EQ(share_in_both(0.2, 0.8), 0.0);  // the line runs across the face
  EXPECT_DOUBLE_EQ(share_in_both(1.0, 1.0), 1.0);  // neither sees it
  EXPECT_DOUBLE_EQ(share_in_both(0.7, 0.5), 0.7 + 0.5 - 1.0);
  EXPECT_DOUBLE_EQ(share_in_both(0.1, 0.1), 0.0);
}

}  // namespace
}  // namespace cowlwright::mold
