// SPDX-License-Identifier: GPL-3.0-or-later
//
// The alternator in the upper deck: its volume, its patch, and the air it leaves.
#include "geometry/shape/alternator.h"

#include "geometry/shape/installation.h"
#include "tests/verification/shape/ray_measure.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

namespace cowlwright::shape {
namespace {

using ::testing::Contains;
using ::testing::Not;

constexpr double pi = std::numbers::pi;

ShapeSpec with_alternator() {
  ShapeSpec spec;
  spec.alternator.side = base::Side::Left;
  return spec;
}

/// Small and high: on a foot, clear of the ramp.
ShapeSpec on_a_foot() {
  ShapeSpec spec = with_alternator();
  spec.alternator.diameter = 0.08;
  spec.alternator.length = 0.05;
  spec.alternator.station = 0.395;
  spec.alternator.height = 0.14;
  return spec;
}

/// Over the first core, clear above it.
ShapeSpec over_the_cores() {
  ShapeSpec spec = with_alternator();
  spec.alternator.diameter = 0.07;
  spec.alternator.length = 0.15;
  spec.alternator.station = 0.39;
  spec.alternator.distance = 0.24;
  spec.alternator.height = 0.14;
  return spec;
}

double simpson(double from, double to, const std::function<double(double)>& f) {
  constexpr int n = 2000;
  double sum = f(from) + f(to);
  for (int i = 1; i < n; ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * f(from + (to - from) * i / n);
  return sum * (to - from) / (3.0 * n);
}

/// The deck's floor of the default shape: a cubic with level ends from -58.5 mm at 0.36 to 75 mm at 0.485.
double floor_at(double x) {
  const double t = (x - 0.36) / 0.125;
  return -0.0585 + 0.1335 * t * t * (3.0 - 2.0 * t);
}

double solid_added(const ShapeSpec& spec) {
  static const double bare = build_installation(ShapeSpec{}).proof.volume;
  return build_installation(spec).proof.volume - bare;
}

// Circle of radius 60 mm round z = 60 mm, what of it stands above the floor, from 0.39 to 0.47. The ramp is
// 13 chords: up to 0.4 mm below and above the cubic, 0.3 % of the section's height, with both signs.
TEST(Alternator, AddsTheVolumeThatStandsOutOfTheRamp) {
  const double expected = simpson(0.39, 0.47, [](double x) {
    const double z = std::clamp(floor_at(x) - 0.06, -0.06, 0.06);
    return 0.06 * 0.06 * std::acos(z / 0.06) - z * std::sqrt(0.06 * 0.06 - z * z);
  });
  EXPECT_TRUE(alternator_sinks_into_ramp(with_alternator()));
  EXPECT_NEAR(solid_added(with_alternator()), expected, 0.01 * expected);
}

// Cylinder of 80 x 50 mm, and the foot's part below it: 40 mm wide from 0.400 to 0.420, up to the circle.
TEST(Alternator, StandsOnAFootWhereTheRampDoesNotReachIt) {
  const double cylinder = pi * 0.04 * 0.04 * 0.05;
  const double below = simpson(-0.02, 0.02, [](double y) { return 0.14 - std::sqrt(0.0016 - y * y); });
  const double foot = 0.02 * below - 0.04 * simpson(0.400, 0.420, floor_at);
  EXPECT_FALSE(alternator_sinks_into_ramp(on_a_foot()));
  EXPECT_NEAR(solid_added(on_a_foot()), cylinder + foot, 0.01 * (cylinder + foot));
}

TEST(Alternator, LeavesTheBodyOneAndItsTunnelsAsTheyWere) {
  for (const ShapeSpec& spec : {with_alternator(), on_a_foot(), over_the_cores()}) {
    const ShapeProof proof = build_installation(spec).proof;
    EXPECT_EQ(proof.n_components, 1U);
    EXPECT_EQ(proof.n_tunnels, 5);
  }
}

TEST(Alternator, HasAPatchOfItsOwnOnItsOwnSide) {
  EXPECT_THAT(expected_patches(ShapeSpec{}), Not(Contains("alternator")));
  EXPECT_THAT(expected_patches(with_alternator()), Contains("alternator"));
  for (const base::Side side : {base::Side::Left, base::Side::Right}) {
    ShapeSpec spec = on_a_foot();
    spec.alternator.side = side;
    const Surface wetted = build_installation(spec).wetted;
    const auto name = std::find(wetted.patch_names.begin(), wetted.patch_names.end(), "alternator");
    ASSERT_NE(name, wetted.patch_names.end());
    const auto patch = static_cast<std::uint16_t>(name - wetted.patch_names.begin());
    for (std::size_t i = 0; i < wetted.triangles.size(); ++i) {
      if (wetted.patch[i] != patch) continue;
      EXPECT_GT((side == base::Side::Left ? -1.0 : 1.0) * wetted.points[wetted.triangles[i][0]].y, 0.2);
    }
    // Mantle and two ends, less where the foot meets it: at least what is not foot.
    EXPECT_GT(surface_area(wetted, "alternator"), pi * 0.08 * 0.05 + 2.0 * pi * 0.04 * 0.04 - 0.04 * 0.02);
  }
}

// Rays through the finished surface know nothing of the record: half a pitch of 300 rays at each of four
// walls of the deck is 0.6 %; the part over the deck is 0.0002 m³ of 0.031.
TEST(Alternator, IsTakenOffTheDecksVolume) {
  const ShapeSpec spec = over_the_cores();
  const Installation built = build_installation(spec);
  EXPECT_NEAR(alternator_volume_behind(spec, base::Side::Left, 0.485), pi * 0.035 * 0.035 * 0.055, 1e-12);
  EXPECT_EQ(alternator_volume_behind(spec, base::Side::Right, 0.485), 0.0);
  const double left = built.zones[0].record.volume;
  const double right = built.zones[1].record.volume;
  EXPECT_NEAR(right - left, pi * 0.035 * 0.035 * 0.055, 1e-12);
  const double by_rays = air_volume(built.wetted, built.zones[0].surface, Axis::Z, 300);
  EXPECT_NEAR(left, by_rays, 0.006 * by_rays);
}

}  // namespace
}  // namespace cowlwright::shape
