// SPDX-License-Identifier: GPL-3.0-or-later
//
// Random inlets, different on either side, and a random alternator in an otherwise fixed shape: every set is
// refused by a rule or comes out proven; nothing else may happen. A fixed seed, so that a failure can be
// repeated.
#include "geometry/base/error.h"
#include "geometry/shape/installation.h"
#include "geometry/shape/opening.h"
#include "geometry/shape/parameters.h"

#include <gtest/gtest.h>

#include <cmath>
#include <iostream>
#include <random>
#include <string>

namespace cowlwright::shape {
namespace {

/// Uniform in [low, high) from the generator's bits alone: the standard's distributions differ between
/// libraries.
double between(std::mt19937_64& bits, double low, double high) {
  return low + (high - low) * static_cast<double>(bits() >> 11) * 0x1.0p-53;
}

/// Every length moved towards one end of its range by up to `spread` of the way.
InletSpec random_inlet(std::mt19937_64& bits, double spread) {
  InletSpec in;
  in.opening = static_cast<OpeningShape>(static_cast<int>(between(bits, 0.0, 3.0)));
  in.ring = static_cast<RingStyle>(static_cast<int>(between(bits, 0.0, 3.0)));
  for (const InletParameter& parameter : inlet_parameters()) {
    double& value = in.*parameter.value;
    const double end = between(bits, 0.0, 1.0) < 0.5 ? parameter.range.low : parameter.range.high;
    value += (end - value) * between(bits, 0.0, spread);
  }
  if (in.ring == RingStyle::None) in.lip_radius = 0.0;
  in.ring_stand = in.ring == RingStyle::Proud ? between(bits, 0.004, 0.04) : 0.0;
  in.diffuser_length = between(bits, 0.0, 1.0) < 0.5 ? 0.0 : between(bits, 0.015, 0.12);
  in.diffuser_area_ratio = between(bits, 1.0, 2.0);
  return in;
}

ShapeSpec random_spec(std::mt19937_64& bits) {
  ShapeSpec spec;
  spec.cowl.face_height_above = 0.20;
  spec.cowl.face_depth_below = 0.20;
  spec.plenum.kind = between(bits, 0.0, 1.0) < 0.5 ? PlenumKind::Shared : PlenumKind::Split;
  spec.inlets.spacing = between(bits, 0.55, 0.62);
  spec.inlets.left = random_inlet(bits, 0.3);
  spec.inlets.right = between(bits, 0.0, 1.0) < 0.3 ? spec.inlets.left : random_inlet(bits, 0.3);
  if (between(bits, 0.0, 1.0) < 0.6) {
    AlternatorSpec& a = spec.alternator;
    a.side = between(bits, 0.0, 1.0) < 0.5 ? base::Side::Left : base::Side::Right;
    a.diameter = between(bits, 0.06, 0.14);
    a.length = between(bits, 0.04, 0.10);
    a.station = between(bits, 0.382, 0.41);
    a.distance = between(bits, 0.18, 0.34);
    a.height = between(bits, 0.02, 0.17);
  }
  return spec;
}

/// What must hold of the inlets of a proven shape.
void expect_sound_inlets(const ShapeSpec& spec, const Installation& built) {
  ASSERT_EQ(built.surveys.size(), 2U);
  for (const base::Side side : {base::Side::Left, base::Side::Right}) {
    const std::size_t i = side == base::Side::Left ? 0 : 1;
    const double area = opening_area(inlet(spec, side));
    EXPECT_DOUBLE_EQ(built.planes[i].record.area, area);
    EXPECT_DOUBLE_EQ(built.surveys[i].area, area);
    EXPECT_LT(built.surveys[i].origin.x, built.planes[i].record.origin.x);
    EXPECT_GT(built.surveys[i].origin.x, 0.0);
  }
}

TEST(RandomInlets, AreRefusedByARuleOrComeOutProven) {
  constexpr int n_sets = 60;
  std::mt19937_64 bits(20);
  int n_built = 0;
  int n_with_alternator = 0;
  for (int i = 0; i < n_sets; ++i) {
    SCOPED_TRACE("set " + std::to_string(i));
    const ShapeSpec spec = random_spec(bits);
    const std::vector<ShapeConflict> conflicts = shape_conflicts(spec);
    if (!conflicts.empty()) {
      EXPECT_FALSE(conflicts.front().message.empty());
      continue;
    }
    try {
      const Installation built = build_installation(spec);
      ++n_built;
      n_with_alternator += spec.alternator.side ? 1 : 0;
      EXPECT_TRUE(built.proof.is_closed && built.proof.is_free_of_self_intersections &&
                  built.proof.bounds_a_volume && built.proof.n_components == 1);
      expect_sound_inlets(spec, built);
    } catch (const std::exception& error) {
      ADD_FAILURE() << error.what();
    }
  }
  std::cout << n_built << " of " << n_sets << " sets built, " << n_with_alternator
            << " with an alternator; the others refused\n";
  // The test would be empty if the rules refused nearly everything, or nothing.
  EXPECT_GE(n_built, n_sets / 5);
  EXPECT_LE(n_built, n_sets * 9 / 10);
  EXPECT_GE(n_with_alternator, 3);
}

}  // namespace
}  // namespace cowlwright::shape
