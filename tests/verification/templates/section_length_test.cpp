// SPDX-License-Identifier: GPL-3.0-or-later
//
// Lengths of outlines against bodies whose sections are known exactly, and against the parametric cowl's own
// formula integrated apart from its mesh.
#include "geometry/shape/builder.h"
#include "geometry/shape/cowl_skin.h"
#include "geometry/templates/section.h"
#include "tests/support/validation.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace cowlwright::templates {
namespace {

using testing_support::ValidationCheck;

constexpr double pi = std::numbers::pi;
constexpr int n_around = 720;
// A polygon of the circle's area is longer than the circle by (2 pi / n)^2 / 24 = 3.2e-6.
constexpr double polygon_excess = 4e-6;

shape::Surface revolved(const std::vector<shape::Ring>& rings) {
  const std::vector<shape::Patch> patches(rings.size() - 1, shape::Patch::Cowl);
  return shape::revolved_surface(0.0, 0.0, rings, patches, n_around);
}

TEST(SectionLength, OfExactBodies) {
  ValidationCheck check({.id = "templates.exact_bodies",
                         .group = "Templates",
                         .title = "Length of section outlines of cylinder, cone and sphere",
                         .source = "exact: 2 pi r of the circle the plane cuts; 2 (h + d) of a rectangle",
                         .condition = "bodies of 720 facets round",
                         .unit = "m",
                         .reason =
                             "polygons of the circle's area are 3.2e-6 longer; along the sphere 720 chords "
                             "of half a circle lose less"});
  const shape::Surface cylinder = revolved({{0.0, 0.3}, {1.0, 0.3}});
  const auto one = [](const shape::Surface& body, Cut cut, double value) {
    const Section section = cut_section(body, cut, value);
    EXPECT_EQ(section.curves.size(), 1U);
    EXPECT_TRUE(section.curves.at(0).is_closed);
    return curve_length(section.curves.at(0));
  };
  const auto near = [&](const char* name, double computed, double exact) {
    check.expect_near(name, computed, exact, polygon_excess * exact);
  };
  near("cylinder across", one(cylinder, Cut::Station, 0.37), 2.0 * pi * 0.3);
  // Along the axis at a height of 0.18: a rectangle 1 by 2 sqrt(0.3^2 - 0.18^2) = 0.48.
  near("cylinder along", one(cylinder, Cut::WaterLine, 0.18), 2.0 * (1.0 + 0.48));
  const shape::Surface cone = revolved({{0.0, 0.0}, {1.0, 0.4}});
  near("cone across", one(cone, Cut::Station, 0.25), 2.0 * pi * 0.1);
  std::vector<shape::Ring> sphere{{-0.5, 0.0}};
  for (int i = 1; i < n_around; ++i) {
    const double t = pi * i / n_around;
    sphere.push_back({-0.5 * std::cos(t), 0.5 * std::sin(t)});
  }
  sphere.push_back({0.5, 0.0});
  const shape::Surface ball = revolved(sphere);
  near("sphere across", one(ball, Cut::Station, -0.3), 2.0 * pi * 0.4);
  near("sphere along", one(ball, Cut::ButtLine, 0.0), 2.0 * pi * 0.5);
  near("sphere level", one(ball, Cut::WaterLine, 0.3), 2.0 * pi * 0.4);
}

/// Length of a quarter of |y/a|^n + |z/b|^n = 1 by Simpson's rule over the angle, in which it is smooth.
double quarter(double a, double b, double n) {
  constexpr int steps = 4000;
  const auto at = [&](double t) {
    const double rho = std::pow(std::pow(std::cos(t), n) + std::pow(std::sin(t), n), -1.0 / n);
    return std::array{a * rho * std::cos(t), b * rho * std::sin(t)};
  };
  const double h = 0.5 * pi / steps;
  // Derivative of rho: rho' = rho^(n+1) (cos^(n-1) sin - sin^(n-1) cos).
  const auto speed = [&](double t) {
    const double c = std::cos(t);
    const double s = std::sin(t);
    const double rho = std::pow(std::pow(c, n) + std::pow(s, n), -1.0 / n);
    const double slope = std::pow(rho, n + 1.0) * (std::pow(c, n - 1.0) * s - std::pow(s, n - 1.0) * c);
    return std::hypot(a * (slope * c - rho * s), b * (slope * s + rho * c));
  };
  double sum = speed(0.0) + speed(0.5 * pi);
  for (int i = 1; i < steps; ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * speed(h * i);
  // The formula against its own ends: |at(0)| = a, |at(pi/2)| = b.
  EXPECT_NEAR(at(0.0)[0], a, 1e-12);
  EXPECT_NEAR(at(0.5 * pi)[1], b, 1e-12);
  return sum * h / 3.0;
}

// Where the cowl has its full section and the exit's fairing has not begun: aft of the nose (station 0.46)
// and ahead of the last core's rear face (0.87).
TEST(SectionLength, OfTheParametricCowl) {
  ValidationCheck check(
      {.id = "templates.cowl_section",
       .group = "Templates",
       .title = "Length of a cowl's section at a station",
       .source = "exact: superellipse of the study's width, heights and exponent, integrated by "
                 "Simpson's rule apart from the mesh",
       .condition = "starter shape, stations 500 and 700 mm, 116 facets round",
       .unit = "m",
       .reason = "0.05 %: chords of 116 facets, up to 30 mm long, in corners of 60 mm radius and more"});
  const shape::ShapeSpec spec;
  const shape::Surface skin = shape::cowl_skin(spec);
  const double exact =
      2.0 * quarter(0.5 * spec.cowl.width, spec.cowl.height_above, spec.cowl.corner_exponent) +
      2.0 * quarter(0.5 * spec.cowl.width, spec.cowl.depth_below, spec.cowl.corner_exponent);
  for (const double station : {0.5, 0.7}) {
    const Section section = cut_section(skin, Cut::Station, station);
    ASSERT_EQ(section.curves.size(), 1U);
    EXPECT_TRUE(section.curves[0].is_closed);
    check.expect_near(
        station < 0.6 ? "FS 500" : "FS 700", curve_length(section.curves[0]), exact, 5e-4 * exact);
  }
}

// A plane across the inlets cuts the skin and both throats.
TEST(SectionLength, OfAThroatIsItsCircle) {
  ValidationCheck check({.id = "templates.throat",
                         .group = "Templates",
                         .title = "Length of an inlet's throat in a section",
                         .source = "exact: pi times the throat's diameter",
                         .condition = "starter shape, station 250 mm",
                         .unit = "m",
                         .reason = "a polygon of 96 sides with the circle's area: 1.8e-4 longer"});
  const shape::ShapeSpec spec;
  const Section section = cut_section(shape::cowl_skin(spec), Cut::Station, 0.25);
  ASSERT_EQ(section.curves.size(), 3U);
  const double exact = pi * spec.inlets.left.diameter;
  check.expect_near("one throat", curve_length(section.curves[1]), exact, 2e-4 * exact);
  check.expect_near("the other", curve_length(section.curves[2]), exact, 2e-4 * exact);
}

}  // namespace
}  // namespace cowlwright::templates
