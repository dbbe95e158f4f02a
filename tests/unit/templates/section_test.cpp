// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/templates/section.h"

#include "geometry/base/error.h"
#include "geometry/shape/builder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace cowlwright::templates {
namespace {

using ::testing::HasSubstr;
using ::testing::ThrowsMessage;

shape::Surface box() {
  return shape::box_surface({0.0, -1.0, 0.0}, {2.0, 1.0, 1.0}, shape::Patch::Cowl);
}

/// The box without its lid: a sheet.
shape::Surface tray() {
  shape::Surface sheet = box();
  std::erase_if(sheet.triangles, [&](const auto& t) {
    return sheet.points[t[0]].z + sheet.points[t[1]].z + sheet.points[t[2]].z > 2.9;
  });
  sheet.patch.resize(sheet.triangles.size());
  return sheet;
}

TEST(Section, OfABoxIsItsRectangle) {
  const Section section = cut_section(box(), Cut::Station, 0.7);
  ASSERT_EQ(section.curves.size(), 1U);
  EXPECT_TRUE(section.curves[0].is_closed);
  EXPECT_DOUBLE_EQ(curve_length(section.curves[0]), 6.0);  // 2 x (2 wide + 1 high)
}

TEST(Section, HasTheFramesDirectionsInItsDrawing) {
  // Station: right and up; butt line: aft and up; water line: aft and right.
  const auto reach = [](Cut cut, double value) {
    Point2 high{-9.0, -9.0};
    const Section section = cut_section(box(), cut, value);
    for (const Point2& p : section.curves.at(0).points) {
      high = {std::max(high[0], p[0]), std::max(high[1], p[1])};
    }
    return high;
  };
  EXPECT_EQ(reach(Cut::Station, 0.7), (Point2{1.0, 1.0}));
  EXPECT_EQ(reach(Cut::ButtLine, 0.3), (Point2{2.0, 1.0}));
  EXPECT_EQ(reach(Cut::WaterLine, 0.3), (Point2{2.0, 1.0}));
}

TEST(Section, RunsCounterClockwise) {
  const std::vector<Point2> p = cut_section(box(), Cut::WaterLine, 0.5).curves.at(0).points;
  double twice_area = 0.0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const Point2& q = p[(i + 1) % p.size()];
    twice_area += p[i][0] * q[1] - p[i][1] * q[0];
  }
  EXPECT_DOUBLE_EQ(twice_area, 8.0);
}

// A plane through four corners and along four diagonals or edges of facets neither loses nor doubles a piece.
TEST(Section, ThroughCornersAndEdgesIsWhole) {
  const std::array<double, 2> axis{0.0, 0.0};
  const std::array rings{shape::Ring{0.0, 0.0}, shape::Ring{1.0, 1.0}, shape::Ring{2.0, 0.0}};
  const std::array patches{shape::Patch::Cowl, shape::Patch::Cowl};
  const shape::Surface spindle = shape::revolved_surface(axis[0], axis[1], rings, patches, 32);
  const Section through_corners = cut_section(spindle, Cut::Station, 1.0);
  ASSERT_EQ(through_corners.curves.size(), 1U);
  EXPECT_TRUE(through_corners.curves[0].is_closed);
  EXPECT_EQ(through_corners.curves[0].points.size(), 32U);
  // The polygon of 32 sides with a unit circle's area: side 2 r sin(pi/32), r^2 = 2 pi / (32 sin(2 pi/32)).
  const double pi = std::numbers::pi;
  const double radius = std::sqrt(2.0 * pi / (32.0 * std::sin(2.0 * pi / 32.0)));
  EXPECT_NEAR(curve_length(through_corners.curves[0]), 64.0 * radius * std::sin(pi / 32.0), 1e-12);
  // From tip to tip, through corners: one closed piece.
  const double corner = spindle.points[1].y;
  const Section along = cut_section(spindle, Cut::ButtLine, corner);
  ASSERT_EQ(along.curves.size(), 1U);
  EXPECT_TRUE(along.curves[0].is_closed);
}

TEST(Section, InAFlatFaceIsThatFacesOutline) {
  for (const double z : {0.0, 1.0}) {  // floor and lid: just above the one, just below the other
    const Section section = cut_section(box(), Cut::WaterLine, z);
    ASSERT_EQ(section.curves.size(), 1U) << z;
    EXPECT_DOUBLE_EQ(curve_length(section.curves[0]), 8.0) << z;
  }
}

TEST(Section, OfASheetIsOpen) {
  const Section section = cut_section(tray(), Cut::Station, 0.7);
  ASSERT_EQ(section.curves.size(), 1U);
  EXPECT_FALSE(section.curves[0].is_closed);
  EXPECT_DOUBLE_EQ(curve_length(section.curves[0]), 4.0);  // floor and two sides
  EXPECT_EQ(section.curves[0].points.front(), (Point2{-1.0, 1.0}));
}

TEST(Section, FindsEverySeparatePiece) {
  shape::SurfaceBuilder two;
  two.add_surface(box());
  two.add_surface(shape::box_surface({0.0, 2.0, 0.0}, {2.0, 2.5, 1.0}, shape::Patch::Cowl));
  const Section section = cut_section(std::move(two).closed(), Cut::Station, 1.0);
  ASSERT_EQ(section.curves.size(), 2U);
  EXPECT_DOUBLE_EQ(curve_length(section.curves[0]), 6.0);
  EXPECT_DOUBLE_EQ(curve_length(section.curves[1]), 3.0);
}

TEST(Section, CountsPlacesWhereThreeSheetsMeet) {
  shape::Surface sheets;
  sheets.points = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}};
  sheets.triangles = {{0, 1, 2}, {0, 3, 1}, {0, 1, 4}};
  sheets.patch = {0, 0, 0};
  sheets.patch_names = {"a"};
  const Section section = cut_section(sheets, Cut::Station, 0.5);
  EXPECT_EQ(section.n_branch_points, 1U);
  ASSERT_EQ(section.curves.size(), 3U);  // each half a unit long
  for (const Curve& curve : section.curves) EXPECT_DOUBLE_EQ(curve_length(curve), 0.5);
}

// A regular polygon of 36 sides in a unit circle: the circle bulges by 1 - cos(5 deg) from each side.
TEST(FacetBulge, OfAPolygonIsItsSagitta) {
  Curve polygon{{}, true};
  for (int i = 0; i < 36; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 36;
    polygon.points.push_back({std::cos(t), std::sin(t)});
  }
  const double exact = 1.0 - std::cos(std::numbers::pi / 36.0);
  EXPECT_NEAR(facet_bulge(polygon), exact, 1e-12);
  // A point in the middle of a side changes nothing.
  polygon.points.insert(polygon.points.begin() + 1,
                        Point2{0.5 * (polygon.points[0][0] + polygon.points[1][0]),
                               0.5 * (polygon.points[0][1] + polygon.points[1][1])});
  EXPECT_NEAR(facet_bulge(polygon), exact, 1e-12);
}

TEST(FacetBulge, TakesSharpCornersForReal) {
  EXPECT_DOUBLE_EQ(facet_bulge(cut_section(box(), Cut::Station, 0.7).curves.at(0)), 0.0);
}

TEST(Section, BesideTheSurfaceIsRefusedWithItsRange) {
  EXPECT_THAT([] { cut_section(box(), Cut::ButtLine, 1.25); },
              ThrowsMessage<base::InputError>(
                  ::testing::AllOf(HasSubstr("BL 1250.0 mm"), HasSubstr("-1000.0 to 1000.0 mm"))));
  EXPECT_THROW(cut_section(box(), Cut::Station, std::nan("")), base::InputError);
}

}  // namespace
}  // namespace cowlwright::templates
