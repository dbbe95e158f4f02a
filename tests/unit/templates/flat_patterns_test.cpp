// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/templates/flat_patterns.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::templates {
namespace {

using ::testing::HasSubstr;
using ::testing::ThrowsMessage;
constexpr double pi = std::numbers::pi;

// By hand: t = 2 mm, R = 4 mm, k = 0.5, 90 degrees. Neutral arc of radius 5 mm: 5 pi/2 = 7.854 mm; setback
// 6 mm. 30 + 50 - 12 + 7.854 mm.
TEST(BentPlate, AtARightAngleByHand) {
  const BentPlate bent = bend_flat(
      {.thickness = 0.002, .bend_radius = 0.004, .k_factor = 0.5, .flange = 0.030}, 0.050, 0.5 * pi);
  EXPECT_NEAR(bent.setback, 0.006, 1e-12);
  EXPECT_NEAR(bent.allowance, 0.0025 * pi, 1e-12);
  EXPECT_NEAR(bent.developed, 0.068 + 0.0025 * pi, 1e-12);
}

TEST(BentPlate, ThatIsFlatIsAsLongAsItsLegs) {
  EXPECT_DOUBLE_EQ(bend_flat({}, 0.050, 0.0).developed, 0.075);
}

TEST(BentPlate, RefusesWhatCannotBeBent) {
  EXPECT_THAT([] { bend_flat({.k_factor = 0.7}, 0.05, 0.5); },
              ThrowsMessage<base::InputError>(HasSubstr("--k-factor = 0.7: must be 0 to 0.5")));
  EXPECT_THAT([] { bend_flat({.thickness = std::nan("")}, 0.05, 0.5); },
              ThrowsMessage<base::InputError>(HasSubstr("--sheet")));
  EXPECT_THAT([] { bend_flat({.bend_radius = 0.0}, 0.05, 0.5); },
              ThrowsMessage<base::InputError>(HasSubstr("--bend-radius")));
  // (3 + 1) mm tan 45 deg = 4 mm
  EXPECT_THAT([] { bend_flat({.flange = 0.0039}, 0.05, 0.5 * pi); },
              ThrowsMessage<base::InputError>(HasSubstr("--flange = 3.9 mm: must be > 4.0 mm")));
  EXPECT_THAT([] { bend_flat({}, 0.003, 0.5 * pi); },
              ThrowsMessage<base::InputError>(HasSubstr("lip_length")));
}

TEST(RingGores, OfARoundRingHaveTheCirclesWidths) {
  const shape::InletSpec inlet{.diameter = 0.133, .lip_radius = 0.020};
  const Gores gores = ring_gores(inlet);
  EXPECT_LT(gores.stretch, 0.01);
  EXPECT_NEAR(gores.height, 0.010 * pi, 1e-12);  // a quarter of a circle of 20 mm
  ASSERT_EQ(gores.outlines.size(), static_cast<std::size_t>(gores.n));
  double throat = 0.0;
  double crest = 0.0;
  for (const Curve& gore : gores.outlines) {
    throat += gore.points.front()[0] - gore.points.back()[0];
    const std::size_t top = gore.points.size() / 2;
    crest += gore.points[top - 1][0] - gore.points[top][0];
  }
  // Chords of 960 points: short by (pi/960)^2/6 = 2e-6.
  EXPECT_NEAR(throat, pi * 0.133, 3e-6 * pi * 0.133);
  EXPECT_NEAR(crest, pi * 0.173, 3e-6 * pi * 0.173);
}

// A gore's edge leans by dw/ds = (pi/n) sin t against its middle line, t the angle round the quarter circle,
// whatever the radius: stretch = mean of sqrt(1 + (pi/n sin t)^2) - 1, about (pi/n)^2 / 4.
TEST(RingGores, StateTheStretchOfTheirEdges) {
  const Gores gores = ring_gores({.diameter = 0.133, .lip_radius = 0.020});
  const double slope = pi / gores.n;
  EXPECT_NEAR(gores.stretch, 0.25 * slope * slope, 0.02 * gores.stretch);  // next term: slope^2 / 10
}

// Four straight sides that are exact as rectangles, and corners that add up to a whole turn.
TEST(RingGores, OfARectangularRingKeepItsSidesWhole) {
  const Gores gores = ring_gores({.opening = shape::OpeningShape::Rectangular,
                                  .opening_width = 0.150,
                                  .opening_height = 0.090,
                                  .corner_radius = 0.025,
                                  .lip_radius = 0.020});
  EXPECT_EQ(gores.n, 16 + 4);
  EXPECT_LT(gores.stretch, 0.01);
  double throat = 0.0;
  int n_sides = 0;
  for (const Curve& gore : gores.outlines) {
    const double width = gore.points.front()[0] - gore.points.back()[0];
    const std::size_t top = gore.points.size() / 2;
    throat += width;
    if (std::abs(gore.points[top - 1][0] - gore.points[top][0] - width) > 1e-9) continue;
    ++n_sides;
    EXPECT_NEAR(std::min(std::abs(width - 0.100), std::abs(width - 0.040)), 0.0, 1e-9) << width;
  }
  EXPECT_EQ(n_sides, 4);
  EXPECT_NEAR(throat, 2.0 * (0.100 + 0.040) + 2.0 * pi * 0.025, 3e-6 * throat);
}

double area(const Curve& curve) {
  double twice = 0.0;
  for (std::size_t i = 0; i < curve.points.size(); ++i) {
    const Point2& a = curve.points[i];
    const Point2& b = curve.points[(i + 1) % curve.points.size()];
    twice += a[0] * b[1] - a[1] * b[0];
  }
  return 0.5 * std::abs(twice);
}

// A frustum's mantle: pi (r + R) s, its slant s from the radii and the length.
TEST(DuctDevelopment, OfARoundDiffuserIsTheFrustumsMantle) {
  const shape::InletSpec inlet{.diameter = 0.130, .diffuser_length = 0.08, .diffuser_area_ratio = 1.44};
  const std::vector<Curve> parts = duct_development(inlet, 0.1);
  ASSERT_EQ(parts.size(), 2U);
  EXPECT_NEAR(area(parts[0]), pi * 0.130 * 0.1, 3e-6);
  const double r = 0.065;
  const double big = 1.2 * r;
  EXPECT_NEAR(area(parts[1]), pi * (r + big) * std::hypot(big - r, 0.08), 3e-6);
}

TEST(DuctDevelopment, OfNothingIsEmpty) {
  EXPECT_TRUE(duct_development({}, 0.0).empty());
}

// The lip's edge: |y/a|^n + |z/d|^n = 1 lowered by the exit's fairing, which is level over the lip's width.
// Its length by Simpson's rule on dz/dy, apart from the code's own points.
TEST(LipPattern, KeepsTheTrailingEdgesLengthAlongItsBend) {
  shape::ShapeSpec spec;
  spec.exit.lip_angle = pi / 4.0;
  const LipPattern pattern = lip_pattern(spec, {});
  // Middle of the skin: mean of the outer line and the one inset by the skin.
  const auto slope = [&](double y) {
    const auto of = [&](double inset) {
      const double n = spec.cowl.corner_exponent;
      const double a = 0.5 * spec.cowl.width - inset;
      const double d = spec.fuselage.depth_below - inset;
      const double u = y / a;
      return d / a * std::pow(u, n - 1.0) * std::pow(1.0 - std::pow(u, n), 1.0 / n - 1.0);
    };
    return 0.5 * (of(0.0) + of(spec.cowl.skin_thickness));
  };
  const auto f = [&](double y) { return std::hypot(1.0, slope(y)); };
  constexpr int n = 2000;
  const double half = 0.5 * spec.exit.width;
  double sum = f(0.0) + f(half);
  for (int i = 1; i < n; ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * f(half * i / n);
  const double exact = 2.0 * sum * half / n / 3.0;
  ASSERT_EQ(pattern.bends.size(), 2U);
  // 200 chords of an edge that turns by 0.4 rad in all: short by (0.4/200)^2/24, 2e-7.
  EXPECT_NEAR(curve_length(pattern.bends[0]), exact, 1e-6 * exact);
  EXPECT_GT(pattern.bow, 0.001);
  EXPECT_GE(pattern.slits.size(), 2U);
  EXPECT_GT(pattern.tab_spread, 0.0);
}

TEST(LipPattern, WithoutAnAngleIsARectangle) {
  const LipPattern pattern = lip_pattern({}, {});
  EXPECT_TRUE(pattern.bends.empty());
  EXPECT_TRUE(pattern.slits.empty());
  EXPECT_NEAR(pattern.bow, 0.0, 1e-15);
}

std::vector<std::string> stems(const shape::ShapeSpec& spec) {
  std::vector<std::string> names;
  for (const Drawing& drawing : flat_patterns(spec, {})) names.push_back(drawing.stem);
  return names;
}

TEST(FlatPatterns, AreOnePerPart) {
  shape::ShapeSpec spec;
  EXPECT_EQ(stems(spec),
            (std::vector<std::string>{"LIP", "RING_SECTION", "RING_GORES", "RING_EDGES", "DUCT"}));
  spec.inlets.left.ring = shape::RingStyle::None;
  spec.inlets.left.lip_radius = 0.0;
  spec.exit.lip_length = 0.0;
  EXPECT_EQ(stems(spec),
            (std::vector<std::string>{"RING_LEFT_EDGES",
                                      "DUCT_LEFT",
                                      "RING_RIGHT_SECTION",
                                      "RING_RIGHT_GORES",
                                      "RING_RIGHT_EDGES",
                                      "DUCT_RIGHT"}));
}

TEST(FlatPatterns, SayThatARingCannotBeLaidFlat) {
  for (const Drawing& drawing : flat_patterns({}, {})) {
    if (drawing.stem == "RING_GORES") {
      EXPECT_THAT(drawing.notes, ::testing::Contains(HasSubstr("cannot be laid flat")));
      EXPECT_THAT(drawing.notes, ::testing::Contains(HasSubstr("% too long")));
    }
  }
}

}  // namespace
}  // namespace cowlwright::templates
