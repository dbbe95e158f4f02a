// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/deviation.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "tests/support/bodies.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::imported {
namespace {

using testing_support::divided_box;
using testing_support::divided_sphere;

// The same 2048 facets at another radius: points lie exactly 1 mm apart along the radius, facets are parallel
// and 1 mm times the cosine of a facet's half angle apart. The largest facets have edges of 90/16 deg
// times 1.3 and a circle round them of 4.2 deg: 1 - cos = 2.7e-3, and 1 - cos(5 deg) = 4e-3 is a bound.
constexpr double facet = 4e-3;

TEST(Deviation, OfASphereOneMillimetreLargerIsPlusOneMillimetreEverywhere) {
  const Deviation d = deviation(divided_sphere({1, 2, 3}, 0.201, 4), divided_sphere({1, 2, 3}, 0.200, 4));
  for (const double value : d.at_points) EXPECT_NEAR(value, 1e-3, facet * 1e-3);
  for (const double value : d.at_triangles) EXPECT_NEAR(value, 1e-3, facet * 1e-3);
  EXPECT_NEAR(d.figures.mean, 1e-3, facet * 1e-3);
  EXPECT_NEAR(d.figures.rms, 1e-3, facet * 1e-3);
  EXPECT_NEAR(d.figures.percentile_95, 1e-3, facet * 1e-3);
  EXPECT_NEAR(d.figures.outward, 1e-3, facet * 1e-3);
  EXPECT_EQ(d.figures.inward, 0.0);
}

TEST(Deviation, OfASphereOneMillimetreSmallerIsMinusOneMillimetreEverywhere) {
  const Deviation d = deviation(divided_sphere({0, 0, 0}, 0.199, 4), divided_sphere({0, 0, 0}, 0.200, 4));
  for (const double value : d.at_points) EXPECT_NEAR(value, -1e-3, facet * 1e-3);
  EXPECT_NEAR(d.figures.mean, -1e-3, facet * 1e-3);
  EXPECT_NEAR(d.figures.inward, 1e-3, facet * 1e-3);
  EXPECT_EQ(d.figures.outward, 0.0);
}

TEST(Deviation, DoesNotDependOnTheSenseOfTheOriginal) {
  shape::Surface original = divided_sphere({0, 0, 0}, 0.200, 3);
  for (std::size_t i = 0; i < original.triangles.size(); i += 3) testing_support::turn(original, i);
  const Deviation d = deviation(divided_sphere({0, 0, 0}, 0.201, 3), original);
  for (const double value : d.at_points) EXPECT_GT(value, 0.9e-3);
}

TEST(Deviation, OfASurfaceFromItselfIsNothing) {
  const shape::Surface box = divided_box({0, 0, 0}, {1, 0.5, 0.25}, 5);
  EXPECT_LT(deviation(box, box).figures.greatest(), 1e-15);
}

// A box pushed 2 mm along x: half of the places of the two ends, 1/2 and 1/4 m² ... by hand for 1 x 1 x 1 m:
// two of six sides lie at +2 and -2 mm, four slide in their plane. Mean 0, rms 2 mm * sqrt(1/3), 95 % within
// 2 mm.
TEST(Deviation, MeanAndRootMeanSquareAreByArea) {
  shape::Surface moved = divided_box({0, 0, 0}, {1, 1, 1}, 10);
  for (base::Vec3& p : moved.points) p.x += 2e-3;
  const Deviation d = deviation(moved, divided_box({0, 0, 0}, {1, 1, 1}, 3));
  EXPECT_NEAR(d.figures.mean, 0.0, 1e-12);
  EXPECT_NEAR(d.figures.rms, 2e-3 * std::sqrt(1.0 / 3.0), 1e-12);
  EXPECT_NEAR(d.figures.percentile_95, 2e-3, 1e-12);
  EXPECT_NEAR(d.figures.outward, 2e-3, 1e-12);
  EXPECT_NEAR(d.figures.inward, 2e-3, 1e-12);
}

TEST(Coverage, SeesWhatTheResultHasLost) {
  shape::Surface original = divided_box({0, 0, 0}, {1, 1, 1}, 2);
  testing_support::append(original, divided_box({1.5, 0, 0}, {1.6, 0.1, 0.1}, 1));
  const DeviationFigures lost = coverage(original, divided_box({0, 0, 0}, {1, 1, 1}, 2), 0.05);
  EXPECT_NEAR(lost.outward, 0.6, 1e-12);  // far side of the small box, outside the result
  EXPECT_EQ(lost.inward, 0.0);
}

TEST(Coverage, HasANegativeSignInsideTheResult) {
  const DeviationFigures d =
      coverage(divided_sphere({0, 0, 0}, 0.2, 4), divided_sphere({0, 0, 0}, 0.201, 4), 0.01);
  EXPECT_NEAR(d.mean, -1e-3, facet * 1e-3);
  EXPECT_EQ(d.outward, 0.0);
}

// One facet of a metre has its places at most 0.1 m apart: a dent seen only by its middle is seen.
TEST(Coverage, LooksAllOverLargeTriangles) {
  const shape::Surface flat{{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, {{0, 1, 2}}, {0}, {"flat"}};
  const shape::Surface corners{{{0, 0, 0},
                                {0.01, 0, 0},
                                {0, 0.01, 0},
                                {1, 0, 0},
                                {0.99, 0, 0.0},
                                {0.99, 0.01, 0},
                                {0, 1, 0},
                                {0, 0.99, 0},
                                {0.01, 0.99, 0}},
                               {{0, 1, 2}, {3, 5, 4}, {6, 7, 8}},
                               {0, 0, 0},
                               {"corners"}};
  EXPECT_GT(coverage(flat, corners, 0.1).greatest(), 0.4);
}

TEST(Deviation, RefusesASurfaceWithoutTriangles) {
  EXPECT_THROW(deviation(divided_box({0, 0, 0}, {1, 1, 1}, 1), shape::Surface{}), base::InputError);
}

TEST(WriteDeviation, HasTheArrayInMillimetres) {
  const testing_support::ScratchFolder folder;
  const shape::Surface sphere = divided_sphere({0, 0, 0}, 0.201, 2);
  const Deviation d = deviation(sphere, divided_sphere({0, 0, 0}, 0.200, 2));
  write_deviation(sphere, d, folder.path() / "d.vtp");
  const std::string text = base::read_text(folder.path() / "d.vtp");
  EXPECT_THAT(text, testing::HasSubstr("Name=\"deviation\" format=\"ascii\">\n1\n1\n"));
  EXPECT_THAT(text, testing::HasSubstr("NumberOfPolys=\"128\""));
}

}  // namespace
}  // namespace cowlwright::imported
