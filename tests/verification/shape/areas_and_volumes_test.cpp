// SPDX-License-Identifier: GPL-3.0-or-later
//
// The finished wetted surface against hand formulas and against rays that know nothing of its construction.
#include "geometry/shape/installation.h"
#include "geometry/shape/parameters.h"
#include "tests/support/validation.h"
#include "tests/verification/shape/ray_measure.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <functional>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

namespace cowlwright::shape {
namespace {

using testing_support::ValidationCheck;

constexpr double pi = std::numbers::pi;

const Installation& default_installation() {
  static const Installation built = build_installation(ShapeSpec{});
  return built;
}

double simpson(double from, double to, const std::function<double(double)>& f) {
  constexpr int n = 2000;
  double sum = f(from) + f(to);
  for (int i = 1; i < n; ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * f(from + (to - from) * i / n);
  return sum * (to - from) / (3.0 * n);
}

/// Superellipse |y/a|^3 + |z/b|^3 = 1 solved for one coordinate.
double cubic_arch(double extent, double other, double other_extent) {
  return extent * std::cbrt(1.0 - std::pow(std::abs(other) / other_extent, 3.0));
}

// Bare hole: the duct is a cylinder from the nose face (x = 0.14) to the deck's front wall (0.36):
// pi * 0.133 * 0.22 m². A 96-sided polygon of the circle's area has a perimeter (step²/24 = 1.8e-4) longer.
TEST(InletDuct, HasTheLateralAreaOfItsCylinder) {
  ValidationCheck check(
      {.id = "shape.inlet_duct",
       .group = "Geometry",
       .title = "Wall area of an inlet duct",
       .source = "exact: cylinder, π · 0.133 m · 0.22 m",
       .condition = "bare hole, nose face to front wall of the deck",
       .unit = "m²",
       .reason = "the duct is a polygon of 96 sides with the circle's area: its perimeter is 1.8e-4 longer"});
  ShapeSpec spec;
  spec.inlets.left.ring = spec.inlets.right.ring = RingStyle::None;
  spec.inlets.left.lip_radius = spec.inlets.right.lip_radius = 0.0;
  const Surface wetted = build_installation(spec).wetted;
  const double expected = pi * 0.133 * (0.36 - 0.14);
  check.expect_near("left", surface_area(wetted, "inlet_left"), expected, 3e-4 * expected);
  check.expect_near("right", surface_area(wetted, "inlet_right"), expected, 3e-4 * expected);
}

// Quarter torus of tube radius r round a throat of radius R (Pappus), cut by the cone at 80 degrees:
// area = 2 pi r (t (R + r) - r sin t) for the first t of the rounding; then a cone of slant length s from
// there to the face, with s = r (1 - sin t) / cos t and mean radius R + r (1 - cos t) + 0.5 s sin t. Ten
// chords over 80 degrees shorten the arc by (8 deg)²/24 = 8e-4; 1e-3 with the polygon round the axis.
TEST(InletRing, HasTheAreaOfAQuarterTorusAndItsCone) {
  ValidationCheck check(
      {.id = "shape.inlet_ring",
       .group = "Geometry",
       .title = "Area of an inlet ring",
       .source = "exact: quarter torus by Pappus's theorem, cut at 80°, and the cone from there to the face",
       .condition = "throat 133 mm, lip radius 20 mm, flush",
       .unit = "m²",
       .reason = "ten chords over 80° shorten the arc by 8e-4; the polygon round the axis adds to 1e-3"});
  const double R = 0.0665;
  const double r = 0.020;
  const double t = 80.0 / 180.0 * pi;
  const double torus = 2.0 * pi * r * (t * (R + r) - r * std::sin(t));
  const double s = r * (1.0 - std::sin(t)) / std::cos(t);
  const double cone = 2.0 * pi * (R + r * (1.0 - std::cos(t)) + 0.5 * s * std::sin(t)) * s;
  const double expected = torus + cone;
  const Surface& wetted = default_installation().wetted;
  check.expect_near("left", surface_area(wetted, "ring_left"), expected, 1e-3 * expected);
  check.expect_near("right", surface_area(wetted, "ring_right"), expected, 1e-3 * expected);
}

// Four cores of 0.17 x 0.28 x 0.15 m: side walls 4 * 2 (0.17 + 0.28) 0.15 m². Flat faces: rounding only.
TEST(Cores, HaveTheWallAreaOfTheirBoxes) {
  ValidationCheck check({.id = "shape.core_walls",
                         .group = "Geometry",
                         .title = "Wall area of four cylinder blocks",
                         .source = "exact: 4 · 2 · (0.17 + 0.28) · 0.15 m²",
                         .condition = "default installation",
                         .unit = "m²",
                         .reason = "flat faces: rounding only"});
  const double found = surface_area(default_installation().wetted, "core_wall");
  check.expect_near("", found, 4.0 * 2.0 * (0.17 + 0.28) * 0.15, 1e-12);
}

// Lip of length 0.05 and thickness 0.01 m along the trailing edge's arc of length s over 0.53 m of width:
// two faces 2 L s, the end t s, two sides 2 L t, and up to 2.5 mm of root in front of the bend on both faces
// and sides. s from the superellipse of the belly (half width 0.51, depth 0.36 m, exponent 3).
TEST(ExitLip, HasTheAreaOfItsPlate) {
  ValidationCheck check({.id = "shape.exit_lip",
                         .group = "Geometry",
                         .title = "Area of the exit lip",
                         .source = "by hand: plate of 0.05 m along the trailing edge's arc, 0.01 m thick",
                         .condition = "default installation, lip straight",
                         .unit = "m²",
                         .reason = "lower: the lip is thinner across its slope, by less than 3 % of ends and "
                                   "sides; upper: up to 2.5 mm of root ahead of the bend"});
  const double s = simpson(-0.265, 0.265, [](double y) {
    const double u = std::abs(y) / 0.51;
    const double slope = 0.36 / 0.51 * u * u * std::pow(1.0 - u * u * u, -2.0 / 3.0);
    return std::sqrt(1.0 + slope * slope);
  });
  const double plate = 2.0 * 0.05 * s + 0.01 * s + 2.0 * 0.05 * 0.01;
  const double root = 0.0025 * (2.0 * s + 2.0 * 0.01);
  const double area = surface_area(default_installation().wetted, "exit_lip");
  // The lip is extruded along z, so it is thinner across its slope: the end and sides shrink by < 3 % of
  // 0.006.
  check.expect_between("", area, plate - 2e-4, plate + root);
}

// Gap between belly and floor, y by y: the floor is the belly's superellipse less a skin of 12 mm on both
// half axes, lowered by gap and skin. Columns 20 mm apart on a radius of curvature > 0.3 m: chord error < 0.2
// mm, the same on both sides; 1e-3 of 75 mm is left.
TEST(ExitPlane, HasTheAreaBetweenBellyAndFloor) {
  ValidationCheck check({.id = "shape.exit_area",
                         .group = "Geometry",
                         .title = "Area of the exit plane",
                         .source = "exact: belly and floor as superellipses, integrated across 0.53 m",
                         .condition = "default installation, gap 75 mm",
                         .unit = "m²",
                         .reason = "columns 20 mm apart on a radius of curvature above 0.3 m: chord error "
                                   "below 0.2 mm on either side of 75 mm"});
  const double expected = simpson(-0.265, 0.265, [](double y) {
    return 0.075 + 0.012 + cubic_arch(0.348, y, 0.498) - cubic_arch(0.36, y, 0.51);
  });
  const base::PlaneRecord& exit = default_installation().planes.back().record;
  ASSERT_EQ(exit.name, "exit");
  check.expect_near("", exit.area, expected, 2e-3 * expected);
  EXPECT_NEAR(exit.area, 0.075 * 0.53, 0.01 * 0.075 * 0.53);  // and close to gap times width
}

// Above the cores the deck is a prism over the superellipse (half axes less the skin) from z = 0.075 to the
// crown, 0.435 m long (0.485 to 0.92 m), less the crankcase block 0.22 x 0.04 m. 44 chords along an arc of
// 1.3 m and mean radius 0.35 m: sagitta 0.31 mm, two thirds of it lost over the arc = 2.7e-4 m² of 0.156 m².
TEST(UpperDeck, HasTheVolumeOfItsSuperellipsePrism) {
  ValidationCheck check(
      {.id = "shape.upper_deck",
       .group = "Geometry",
       .title = "Volume of the upper deck",
       .source = "exact: prism over a superellipse less the crankcase",
       .condition = "default installation",
       .unit = "m³",
       .reason =
           "44 chords on a mean radius of 0.35 m lose 0.31 mm at most, 1.7e-3 of the volume on average"});
  const double section =
      simpson(0.075, 0.258, [](double z) { return 2.0 * cubic_arch(0.498, z, 0.258); }) - 0.22 * 0.04;
  const double expected = 0.435 * section;
  const DerivedSizes sizes = derived_sizes(ShapeSpec{});
  check.expect_near("", sizes.upper_deck_volume, expected, 3e-3 * expected);
}

// Processor time, not wall time: other load on the machine does not count. Measured 0.4 s; the promise is 1
// s.
TEST(DefaultShape, IsBuiltAndProvenWithinASecondOfOneCore) {
#if defined(NDEBUG) && !defined(__SANITIZE_ADDRESS__)
  const std::clock_t start = std::clock();
  build_installation(ShapeSpec{});
  EXPECT_LT(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC, 1.0);
#else
  GTEST_SKIP() << "timed in optimised builds without sanitizers only";
#endif
}

TEST(WettedSurface, AreaVectorsSumToZero) {
  ValidationCheck check({.id = "shape.closed",
                         .group = "Geometry",
                         .title = "Sum of all area vectors of the wetted surface",
                         .source = "exact: zero for a closed surface",
                         .condition = "default installation, 40,000 triangles, 10 m²",
                         .unit = "m²",
                         .reason = "rounding of some 1e-15 m² a triangle"});
  check.expect_near("", norm(area_vector_sum(default_installation().wetted)), 0.0, 1e-11);
}

TEST(WettedSurface, IsItsOwnMirrorImage) {
  // Rays along y meet the same crossings on both sides; triangulation may differ, the surface may not.
  ValidationCheck check({.id = "shape.mirror",
                         .group = "Geometry",
                         .title = "Largest distance between the surface and its mirror image",
                         .source = "exact: the shape is symmetric",
                         .condition = "default installation, rays across it 13 mm by 38 mm apart",
                         .unit = "m",
                         .reason = "crossings come from different triangles: 1 µm is far above rounding and "
                                   "far below any dimension"});
  const Surface& wetted = default_installation().wetted;
  const RayGrid grid{Axis::Y, ray_positions(-0.35, 0.45, 60), ray_positions(-0.30, 2.0, 60)};
  std::size_t n_rays = 0;
  double largest = 0.0;
  for (const std::vector<double>& ray : ray_crossings(wetted, grid)) {
    for (std::size_t k = 0; k < ray.size(); ++k) {
      largest = std::max(largest, std::abs(ray[k] + ray[ray.size() - 1 - k]));
    }
    n_rays += ray.empty() ? 0 : 1;
  }
  EXPECT_GT(n_rays, 1000U);
  check.expect_near("", largest, 0.0, 1e-6);
}

constexpr const char* variants[] = {
    "default", "six cylinders", "split plenum, proud rings", "bare holes, bent lip"};
ShapeSpec variant(int number) {
  ShapeSpec spec;
  if (number == 1) spec.engine.n_cylinders = 6;
  if (number == 2) {
    spec.plenum.kind = PlenumKind::Split;
    spec.inlets.left.ring = spec.inlets.right.ring = RingStyle::Proud;
    spec.inlets.left.ring_stand = spec.inlets.right.ring_stand = 0.02;
  }
  if (number == 3) {
    spec.inlets.left.ring = spec.inlets.right.ring = RingStyle::None;
    spec.inlets.left.lip_radius = spec.inlets.right.lip_radius = 0.0;
    spec.exit.lip_angle = 30.0 / 180.0 * pi;
  }
  return spec;
}

/// Records and measures of every variant, built once.
const std::vector<Installation>& built_variants() {
  static const std::vector<Installation> built = [] {
    std::vector<Installation> all;
    for (int number = 0; number < 4; ++number) all.push_back(build_installation(variant(number)));
    return all;
  }();
  return built;
}

std::string place(std::size_t number, const std::string& name) {
  return std::string(variants[number]) + ": " + name;
}

TEST(Zones, HoldTheVolumeOfAirTheyAreRecordedWith) {
  ValidationCheck check({.id = "shape.zone_volumes",
                         .group = "Geometry",
                         .title = "Recorded volume of each zone",
                         .source = "rays through the finished surface, which know nothing of how it was made",
                         .condition = "four installations",
                         .unit = "m³",
                         .reason = "walls along the rays are found to half a pitch; four half pitches of 300 "
                                   "rays across the narrowest zone are 0.6 %"});
  for (std::size_t number = 0; number < built_variants().size(); ++number) {
    const Installation& built = built_variants()[number];
    for (const Zone& zone : built.zones) {
      const double by_rays = air_volume(built.wetted, zone.surface, Axis::Z, 300);
      check.expect_near(place(number, zone.record.name), zone.record.volume, by_rays, 0.006 * by_rays);
    }
  }
}

TEST(Planes, CutThePassageTheyAreRecordedWithAndNoOther) {
  ValidationCheck check({.id = "shape.plane_areas",
                         .group = "Geometry",
                         .title = "Recorded area of each measurement plane",
                         .source = "rays through the finished surface, which know nothing of how it was made",
                         .condition = "four installations",
                         .unit = "m²",
                         .reason = "half a pitch of 2000 rays at each of two walls is 1e-3 at most"});
  for (std::size_t number = 0; number < built_variants().size(); ++number) {
    const Installation& built = built_variants()[number];
    for (const MeasurementPlane& plane : built.planes) {
      const double by_rays = air_area(built.wetted, plane, 2000);
      check.expect_near(place(number, plane.record.name), plane.record.area, by_rays, 1.5e-3 * by_rays);
    }
  }
}

TEST(Patches, OfTheLeftAreAsLargeAsThoseOfTheRight) {
  ValidationCheck check(
      {.id = "shape.left_right",
       .group = "Geometry",
       .title = "Right patch over left patch, area",
       .source = "exact: mirrored dimensions give mirrored surfaces",
       .condition = "four installations",
       .unit = "-",
       .reason = "rounding: both sides are built from the same numbers, only cut into different triangles"});
  for (std::size_t number = 0; number < built_variants().size(); ++number) {
    const Surface& wetted = built_variants()[number].wetted;
    for (const char* patch : {"inlet_", "ring_"}) {
      const double left = surface_area(wetted, std::string(patch) + "left");
      if (left == 0.0) continue;  // no ring
      const double right = surface_area(wetted, std::string(patch) + "right");
      check.expect_near(place(number, std::string(patch) + "*"), right / left, 1.0, 1e-9);
    }
  }
}

TEST(Scaling, OfEveryLengthScalesAreasWithItsSquareAndVolumesWithItsCube) {
  ValidationCheck check(
      {.id = "shape.scaling",
       .group = "Geometry",
       .title = "Installation 1.5 times as large: areas over 1.5², volume over 1.5³",
       .source = "exact: similar shapes",
       .condition = "default installation, every length of the study file times 1.5",
       .unit = "-",
       .reason = "parts of the study file's lengths alone: rounding. Skins and volume: stations "
                 "every 45 mm whatever the size, chords 0.8 mm inside a radius of 0.3 m, 0.2 % of "
                 "it. Decks: walls of fixed thickness too, 15 mm ahead of the cores"});
  ShapeSpec large;
  constexpr double k = 1.5;
  for (const Parameter& parameter : shape_parameters()) {
    if (parameter.dimension == base::Dimension::Length) parameter.value(large) *= k;
  }
  for (const InletParameter& parameter : inlet_parameters()) {
    large.inlets.left.*parameter.value *= k;
    large.inlets.right.*parameter.value *= k;
  }
  const Installation built = build_installation(large);
  const Installation& small = default_installation();
  constexpr std::pair<const char*, double> patches[] = {{"spinner", 1e-9},
                                                        {"inlet_left", 1e-9},
                                                        {"ring_left", 1e-9},
                                                        {"core_wall", 1e-9},
                                                        {"cowl", 2e-3},
                                                        {"upper_deck", 1e-2},
                                                        {"lower_deck", 1e-2}};
  for (const auto& [patch, tolerance] : patches) {
    const double ratio = surface_area(built.wetted, patch) / surface_area(small.wetted, patch);
    check.expect_near(std::string("area of ") + patch, ratio / (k * k), 1.0, tolerance);
  }
  check.expect_near("volume of the solid", built.proof.volume / small.proof.volume / (k * k * k), 1.0, 2e-3);
}

TEST(ExitPlane, GrowsWithTheGapByItsWidth) {
  ValidationCheck check(
      {.id = "shape.exit_gap",
       .group = "Geometry",
       .title = "Change of the exit's area over change of gap times width",
       .source = "exact: dA/dgap = width",
       .condition = "default installation, gap from 75 mm to the one given",
       .unit = "-",
       .reason = "1.1 %: the plane stands 25 mm ahead of the trailing edge, where the fairing, growing "
                 "over 430 mm, still lacks 3 (25/430)² of the gap"});
  const auto area = [](double gap) {
    ShapeSpec spec;
    spec.exit.gap = gap;
    return build_installation(spec).planes.back().record.area;
  };
  const double widest = default_installation().planes.back().record.area;
  for (const auto& [gap, name] : {std::pair{0.060, "60 mm"}, {0.040, "40 mm"}}) {
    check.expect_near(name, (widest - area(gap)) / ((0.075 - gap) * 0.53), 1.0, 0.011);
  }
}

}  // namespace
}  // namespace cowlwright::shape
