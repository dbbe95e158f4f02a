// SPDX-License-Identifier: GPL-3.0-or-later
//
// Random exits: gap, lip, side plates, strut and pipes. Every set is refused by a rule or comes out proven,
// open and closed. Fixed seeds, so that a failure can be repeated.
#include "geometry/base/error.h"
#include "geometry/shape/installation.h"
#include "tests/verification/shape/ray_measure.h"

#include <gtest/gtest.h>

#include <numbers>
#include <random>
#include <string>

namespace cowlwright::shape {
namespace {

constexpr int n_sets_per_seed = 15;

/// Uniform in [low, high) from the generator's bits alone: the standard's distributions differ between
/// libraries.
double uniform(std::mt19937_64& bits, double low, double high) {
  return low + (high - low) * static_cast<double>(bits() >> 11) * 0x1.0p-53;
}

bool one_in_two(std::mt19937_64& bits) {
  return uniform(bits, 0.0, 1.0) < 0.5;
}

ShapeSpec random_exit(std::mt19937_64& bits) {
  ShapeSpec spec;
  ExitSpec& exit = spec.exit;
  exit.gap = uniform(bits, 0.05, 0.10);
  exit.width = uniform(bits, 0.35, 0.56);
  exit.overhang = uniform(bits, 0.09, 0.22);
  exit.ramp_radius = uniform(bits, 0.02, 0.07);
  exit.lip_length = uniform(bits, 0.0, 1.0) < 0.15 ? 0.0 : uniform(bits, 0.015, 0.12);
  exit.lip_angle = uniform(bits, 0.0, 60.0) * std::numbers::pi / 180.0;
  exit.lip_thickness = uniform(bits, 0.006, 0.0105);
  exit.side_plates = one_in_two(bits);
  exit.strut_diameter = one_in_two(bits) ? uniform(bits, 0.015, 0.07) : 0.0;
  exit.exhaust_diameter = one_in_two(bits) ? uniform(bits, 0.015, 0.06) : 0.0;
  exit.exhaust_spacing = uniform(bits, 0.08, 0.45);
  return spec;
}

class RandomExit : public ::testing::TestWithParam<unsigned> {};

TEST_P(RandomExit, IsRefusedByARuleOrComesOutProven) {
  std::mt19937_64 bits(GetParam());
  int n_built = 0;
  for (int i = 0; i < n_sets_per_seed; ++i) {
    SCOPED_TRACE("set " + std::to_string(i));
    ShapeSpec spec = random_exit(bits);
    if (!shape_conflicts(spec).empty()) {
      EXPECT_THROW(build_installation(spec), base::InputError);
      continue;
    }
    try {
      const Installation built = build_installation(spec);
      ++n_built;
      const MeasurementPlane& exit = built.planes.back();
      ASSERT_EQ(exit.record.role, base::PlaneRole::Exit);
      // 400 rays: half a pitch at each of two walls is 0.25 %, at the pipes' outlines as much again.
      EXPECT_NEAR(
          air_area(built.wetted, exit.surface, Axis::X, 400), exit.record.area, 0.008 * exit.record.area);
      spec.is_closed = true;
      const Installation closed = build_installation(spec);
      EXPECT_GT(closed.proof.volume, built.proof.volume);
    } catch (const std::exception& error) {
      ADD_FAILURE() << error.what();
    }
  }
  // The test would be empty if the rules refused nearly everything, or nothing.
  EXPECT_GE(n_built, n_sets_per_seed / 5);
  EXPECT_LT(n_built, n_sets_per_seed);
}

INSTANTIATE_TEST_SUITE_P(FourTimesFifteen, RandomExit, ::testing::Range(1U, 5U));

}  // namespace
}  // namespace cowlwright::shape
