// SPDX-License-Identifier: GPL-3.0-or-later
//
// Openings: sizes against hand formulas, and the points of their edges.
#include "geometry/shape/opening.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double rounding = 1e-12;

InletSpec oval(double width, double height) {
  InletSpec in;
  in.opening = OpeningShape::Oval;
  in.opening_width = width;
  in.opening_height = height;
  return in;
}

InletSpec rectangle(double width, double height, double corner) {
  InletSpec in = oval(width, height);
  in.opening = OpeningShape::Rectangular;
  in.corner_radius = corner;
  return in;
}

const std::vector<InletSpec>& all_openings() {
  static const std::vector<InletSpec> openings{InletSpec{},
                                               oval(0.16, 0.09),
                                               oval(0.08, 0.12),
                                               rectangle(0.15, 0.10, 0.02),
                                               rectangle(0.06, 0.20, 0.003)};
  return openings;
}

double polygon_area(const LoftSection& section) {
  double twice = 0.0;
  for (std::size_t i = 0; i < section.yz.size(); ++i) {
    const auto& a = section.yz[i];
    const auto& b = section.yz[(i + 1) % section.yz.size()];
    twice += a[0] * b[1] - a[1] * b[0];
  }
  return 0.5 * twice;
}

double polygon_perimeter(const LoftSection& section) {
  double sum = 0.0;
  for (std::size_t i = 0; i < section.yz.size(); ++i) {
    const auto& a = section.yz[i];
    const auto& b = section.yz[(i + 1) % section.yz.size()];
    sum += std::hypot(b[0] - a[0], b[1] - a[1]);
  }
  return sum;
}

TEST(Opening, AreasFollowTheHandFormulas) {
  EXPECT_NEAR(opening_area(InletSpec{}), 0.25 * pi * 0.133 * 0.133, rounding);
  EXPECT_NEAR(opening_area(oval(0.16, 0.09)), pi * 0.08 * 0.045, rounding);
  // 150 x 100 mm less four corners' (1 - pi/4) 20² mm²
  EXPECT_NEAR(opening_area(rectangle(0.15, 0.10, 0.02)), 0.015 - 4.0 * (1.0 - 0.25 * pi) * 4e-4, rounding);
}

TEST(Opening, PerimetersFollowTheHandFormulas) {
  EXPECT_NEAR(opening_perimeter(InletSpec{}), pi * 0.133, rounding);
  // Ellipse half as high as wide: 4 a E(m = 0.75) with E = 1.21105603 (table of complete elliptic integrals,
  // Abramowitz and Stegun 17.1, from memory, high confidence); either way round.
  EXPECT_NEAR(opening_perimeter(oval(0.16, 0.08)), 4.0 * 0.08 * 1.21105603, 1e-9);
  EXPECT_NEAR(opening_perimeter(oval(0.08, 0.16)), 4.0 * 0.08 * 1.21105603, 1e-9);
  // Straight parts 110 and 60 mm, twice, and one circle of 20 mm radius.
  EXPECT_NEAR(opening_perimeter(rectangle(0.15, 0.10, 0.02)), 2.0 * 0.17 + 2.0 * pi * 0.02, rounding);
}

TEST(Opening, HydraulicDiameterOfACircleIsItsDiameter) {
  EXPECT_NEAR(hydraulic_diameter(InletSpec{}), 0.133, rounding);
  EXPECT_NEAR(hydraulic_diameter(oval(0.1, 0.1)), 0.1, rounding);
}

TEST(Opening, ReachIsTheFurthestPointFromTheCentre) {
  EXPECT_DOUBLE_EQ(opening_reach(InletSpec{}), 0.0665);
  EXPECT_DOUBLE_EQ(opening_reach(oval(0.08, 0.12)), 0.06);
  // Corner centres at (55, 30) mm, 62.65 mm out, and 20 mm more.
  EXPECT_NEAR(opening_reach(rectangle(0.15, 0.10, 0.02)), std::hypot(0.055, 0.030) + 0.02, rounding);
}

// 133 mm to 1.5 times that over 66.5 mm: the radius grows by 33.25 mm, the wall slopes 1 in 2.
TEST(Opening, DiffuserAngleIsThatOfTheEqualCone) {
  InletSpec in;
  EXPECT_EQ(diffuser_angle(in), 0.0);
  in.diffuser_length = 0.0665;
  in.diffuser_area_ratio = 2.25;
  EXPECT_NEAR(diffuser_angle(in), 2.0 * std::atan(0.5), rounding);
}

TEST(OpeningContour, LiesOnTheEdge) {
  for (const ContourPoint& p : opening_contour(oval(0.16, 0.09), 96)) {
    EXPECT_NEAR(std::pow(p.y / 0.08, 2) + std::pow(p.z / 0.045, 2), 1.0, rounding);
    EXPECT_NEAR(std::hypot(p.normal_y, p.normal_z), 1.0, rounding);
    // The ellipse's gradient and the normal are parallel.
    EXPECT_NEAR(p.normal_y * p.z / (0.045 * 0.045) - p.normal_z * p.y / (0.08 * 0.08), 0.0, 1e-9);
  }
  // A rounded rectangle is all that lies 20 mm from the rectangle of its corners' centres.
  for (const ContourPoint& p : opening_contour(rectangle(0.15, 0.10, 0.02), 96)) {
    const double y = std::max(0.0, std::abs(p.y) - 0.055);
    const double z = std::max(0.0, std::abs(p.z) - 0.030);
    EXPECT_NEAR(std::hypot(y, z), 0.02, rounding);
    EXPECT_NEAR(std::abs(p.normal_y), y / 0.02, 1e-9);
    EXPECT_NEAR(std::abs(p.normal_z), z / 0.02, 1e-9);
  }
}

TEST(OpeningContour, IsItsOwnMirrorImageAboutBothAxesAndHasNoPointOnThem) {
  for (const InletSpec& in : all_openings()) {
    const std::vector<ContourPoint> contour = opening_contour(in, 96);
    const auto has = [&](double y, double z) {
      return std::any_of(contour.begin(), contour.end(), [&](const ContourPoint& p) {
        return std::hypot(p.y - y, p.z - z) < rounding;
      });
    };
    for (const ContourPoint& p : contour) {
      EXPECT_TRUE(has(-p.y, p.z));
      EXPECT_TRUE(has(p.y, -p.z));
      EXPECT_GT(std::abs(p.y), 1e-4);
      EXPECT_GT(std::abs(p.z), 1e-4);
    }
  }
}

TEST(OpeningSection, OfTheBareEdgeHasTheTrueArea) {
  for (const InletSpec& in : all_openings()) {
    const double area = opening_area(in);
    EXPECT_NEAR(polygon_area(opening_section(in, {-0.28, 0.02}, 0.2, 1.0, 0.0, 96)), area, rounding);
    EXPECT_NEAR(polygon_area(opening_section(in, {-0.28, 0.02}, 0.2, 1.2, 0.0, 96)), 1.44 * area, rounding);
  }
}

// Steiner: a convex edge moved outward by d has 2 pi d more perimeter, and area P d + pi d² more. Polygons of
// 96 sides: 2e-3 on what is left of them, as 2 pi d is itself a sum over curved parts alone.
TEST(OpeningSection, MovedOutwardGrowsAsSteinersFormulaSays) {
  constexpr double d = 0.02;
  for (const InletSpec& in : all_openings()) {
    const LoftSection moved = opening_section(in, {0.0, 0.0}, 0.2, 1.0, d, 96);
    const double perimeter = opening_perimeter(in) + 2.0 * pi * d;
    const double area = opening_area(in) + opening_perimeter(in) * d + pi * d * d;
    EXPECT_NEAR(polygon_perimeter(moved), perimeter, 2e-3 * perimeter);
    EXPECT_NEAR(polygon_area(moved), area, 2e-3 * area);
  }
}

}  // namespace
}  // namespace cowlwright::shape
