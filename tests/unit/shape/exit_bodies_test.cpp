// SPDX-License-Identifier: GPL-3.0-or-later
//
// Side plates, strut and exhaust pipes in the exit, and the closed reference: volumes and areas by hand,
// tunnels, patches, refusals.
#include "geometry/shape/installation.h"
#include "tests/verification/shape/ray_measure.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>
#include <string>

namespace cowlwright::shape {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::UnorderedElementsAreArray;

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;

const Installation& default_installation() {
  static const Installation built = build_installation(ShapeSpec{});
  return built;
}

ShapeSpec with_side_plates() {
  ShapeSpec spec;
  spec.exit.side_plates = true;
  return spec;
}

/// The trailing edge so far aft that the whole strut stands behind the firewall's rounding.
ShapeSpec long_channel() {
  ShapeSpec spec;
  spec.exit.overhang = 0.20;
  return spec;
}

ShapeSpec with_strut() {
  ShapeSpec spec = long_channel();
  spec.exit.strut_diameter = 0.040;
  return spec;
}

ShapeSpec with_pipes() {
  ShapeSpec spec;
  spec.exit.exhaust_diameter = 0.036;
  spec.exit.exhaust_spacing = 0.24;
  return spec;
}

ShapeSpec with_all_bodies() {
  ShapeSpec spec = with_pipes();
  spec.exit.side_plates = true;
  spec.exit.strut_diameter = 0.045;
  spec.exit.lip_angle = 35.0 * degree;
  return spec;
}

const base::PlaneRecord& exit_of(const Installation& built) {
  return std::find_if(
             built.planes.begin(),
             built.planes.end(),
             [](const MeasurementPlane& plane) { return plane.record.role == base::PlaneRole::Exit; })
      ->record;
}

// The strut's axis is at x = 1.25 + 0.20 - 0.025 (plane) - 0.009375 (play) - 0.005 - 0.020 = 1.3906 m. There
// the belly has 0.97017 of its way from 0.42 to 0.36 m behind it (cubic step at 0.8976), so that the floor is
// at -(0.36179 - 0.012 + 0.97017 * 0.087) = -0.43420 m; the ceiling is the belly of the trailing edge, -0.36.
// The belly's arch across 40 mm and the floor's slope along 40 mm cancel or are below 0.1 %.
TEST(Strut, FillsItsCylinderOfTheChannel) {
  const double volume = build_installation(with_strut()).proof.volume;
  const double bare = build_installation(long_channel()).proof.volume;
  const double expected = pi * 0.02 * 0.02 * (0.43420 - 0.36);
  EXPECT_NEAR(volume - bare, expected, 3e-3 * expected);
}

// Side of the cylinder: circumference of its 44-sided polygon of equal area is (step²/24 = 8.5e-4) longer.
TEST(Strut, HasTheWallOfItsCylinder) {
  const double area = surface_area(build_installation(with_strut()).wetted, "strut");
  const double expected = pi * 0.04 * (0.43420 - 0.36);
  EXPECT_NEAR(area, expected, 4e-3 * expected);
}

// A thread can be tied round the strut: one more loop than the default's five.
TEST(Strut, AddsOneTunnel) {
  EXPECT_EQ(build_installation(with_strut()).proof.n_tunnels, 6);
  EXPECT_EQ(build_installation(with_all_bodies()).proof.n_tunnels, 6);
}

TEST(Strut, StandsAheadOfTheMeasurementPlaneWhichKeepsItsArea) {
  const Installation built = build_installation(with_strut());
  const base::PlaneRecord& exit = exit_of(built);
  double rear = 0.0;
  const auto strut = std::find(built.wetted.patch_names.begin(), built.wetted.patch_names.end(), "strut");
  const auto index = static_cast<std::uint16_t>(strut - built.wetted.patch_names.begin());
  for (std::size_t i = 0; i < built.wetted.triangles.size(); ++i) {
    if (built.wetted.patch[i] != index) continue;
    for (const std::uint32_t p : built.wetted.triangles[i]) rear = std::max(rear, built.wetted.points[p].x);
  }
  // Half a cell of the draft grid: gap / 6 * 1.5 / 2.
  EXPECT_GT(exit.origin.x, rear + 0.075 / 8.0);
  EXPECT_NEAR(exit.area, exit_of(build_installation(long_channel())).area, 1e-12);
}

// Pappus: cross section times the centre line in air. Leg at x = 1.25 - 0.040 - 0.018 = 1.192 m, bend of
// radius 1.6 * 0.018 = 0.0288 m, then from 1.2208 aft to 1.38 m. Height at y = 0.12 m, superellipses of
// exponent 3: belly at the trailing edge -0.36 * 0.995639 = -0.358430 m; floor where the run begins, 0.821653
// of its way aft, -(0.370701 - 0.012) * 0.995314 - 0.821653 * 0.087 = -0.428504 m (at the edge -0.433369,
// lower); middle -0.393467 m. Nine lofts of 10 degrees round the bend hold sin(10)/10 of their arcs: 5e-3 of
// a tenth of the whole.
constexpr double leg_and_bend = (0.393467 - 0.0288 - 0.075) + 0.5 * pi * 0.0288;

TEST(ExhaustPipes, HaveTheVolumeOfTheirCentreLines) {
  const double volume = build_installation(with_pipes()).proof.volume - default_installation().proof.volume;
  const double expected = 2.0 * pi * 0.018 * 0.018 * (leg_and_bend + 1.38 - 1.2208);
  EXPECT_NEAR(volume, expected, 6e-4 * expected);
}

TEST(ExhaustPipes, BlockTwoCirclesOfTheExitPlane) {
  const Installation built = build_installation(with_pipes());
  const base::PlaneRecord& exit = exit_of(built);
  EXPECT_NEAR(exit.area, exit_of(default_installation()).area - 2.0 * pi * 0.018 * 0.018, 1e-9);
  // Rays that know nothing of the construction; half a pitch of 600 at the circles is 0.3 % of the plane.
  EXPECT_NEAR(air_area(built.wetted, built.planes.back().surface, Axis::X, 600), exit.area, 3e-3 * exit.area);
}

TEST(ExhaustPipes, HangFreeSoThatNoTunnelIsAdded) {
  EXPECT_EQ(build_installation(with_pipes()).proof.n_tunnels, 5);
}

// What the pipes take from the lower deck: their centre lines up to the firewall at 1.25 m.
TEST(ExhaustPipes, TakeTheirRoomFromTheLowerDeck) {
  const auto deck_of = [](const Installation& built) {
    return std::find_if(built.zones.begin(),
                        built.zones.end(),
                        [](const Zone& zone) { return zone.record.role == base::ZoneRole::LowerDeck; })
        ->record.volume;
  };
  EXPECT_NEAR(deck_of(default_installation()) - deck_of(build_installation(with_pipes())),
              2.0 * pi * 0.018 * 0.018 * (leg_and_bend + 1.25 - 1.2208),
              1e-7);
}

// Each plate: 10 mm thick, from the trailing edge's sloping face (on average 2.5 mm behind the edge) to the
// lip's end 51.5 mm behind it, and from the lip's underside up to the belly: gap and skin, 87 mm, less
// the 1.4 mm by which a lip of 10 mm lies inside a skin that is 12.8 mm thick along z there. The belly behind
// the edge has not begun to rise: below 0.1 mm.
TEST(SidePlates, FillThePlatesBetweenLipAndBelly) {
  const double volume =
      build_installation(with_side_plates()).proof.volume - default_installation().proof.volume;
  const double expected = 2.0 * 0.010 * 0.049 * (0.087 - 0.0014);
  // 1 mm of lip beside the channel at each end is 1.2 % more; the corners at the sloping face are below 1 %.
  EXPECT_NEAR(volume, expected, 0.02 * expected);
}

TEST(SidePlates, CloseTheEndsOfABentLipUpToTheBelly) {
  ShapeSpec spec = with_side_plates();
  spec.exit.lip_angle = 45.0 * degree;
  const Installation built = build_installation(spec);
  EXPECT_EQ(built.proof.n_tunnels, 5);
  // A ray across the aircraft, 15 mm behind the trailing edge and 20 mm below the belly, meets both plates.
  const RayGrid ray{Axis::Y, {-0.37}, {1.365}};
  const std::vector<double> crossings = ray_crossings(built.wetted, ray).front();
  ASSERT_EQ(crossings.size(), 4U);
  EXPECT_NEAR(crossings[0], -0.276, 1e-9);  // 0.265 + 0.001 + 0.010
  EXPECT_NEAR(crossings[1], -0.266, 1e-9);
  EXPECT_NEAR(crossings[2], 0.266, 1e-9);
  EXPECT_NEAR(crossings[3], 0.276, 1e-9);
}

TEST(ExitBodies, HaveExactlyTheExpectedPatches) {
  const ShapeSpec spec = with_all_bodies();
  const Installation built = build_installation(spec);
  EXPECT_THAT(built.wetted.patch_names, UnorderedElementsAreArray(expected_patches(spec)));
  for (const char* name : {"side_plate", "strut", "exhaust"}) {
    EXPECT_THAT(built.wetted.patch_names, Contains(name));
    EXPECT_THAT(default_installation().wetted.patch_names, Not(Contains(name)));
  }
}

TEST(ClosedReference, HasNoAirInside) {
  for (ShapeSpec spec : {ShapeSpec{}, with_all_bodies()}) {
    spec.is_closed = true;
    const Installation closed = build_installation(spec);
    EXPECT_EQ(closed.proof.n_tunnels, 0);
    EXPECT_EQ(closed.proof.n_components, 1U);
    EXPECT_THAT(closed.zones, IsEmpty());
    EXPECT_THAT(closed.planes, IsEmpty());
    EXPECT_THAT(closed.passages, IsEmpty());
    EXPECT_THAT(closed.wetted.patch_names, UnorderedElementsAreArray(expected_patches(spec)));
    EXPECT_THAT(closed.wetted.patch_names, Not(Contains("upper_deck")));
  }
}

// The two differ by the air inside (decks, cores, two ducts of pi/4 0.133² * 0.22 m² less what the front ramp
// already counts, the channel of 0.53 by about 0.1 by 0.1 m) and by the fairing behind the exit: half of 10
// times its depth of 87 mm long, up to 0.53 + 0.024 m wide and two flanks of 130 mm.
TEST(ClosedReference, IsTheOpenBodyWithItsAirFilledAndItsExitFaired) {
  ShapeSpec spec;
  spec.is_closed = true;
  spec.exit.lip_length = 0.0;
  const Installation closed = build_installation(spec);
  const Box open_box = bounding_box(default_installation().wetted);
  const Box closed_box = bounding_box(closed.wetted);
  EXPECT_EQ(open_box.low.x, closed_box.low.x);
  EXPECT_EQ(open_box.high, closed_box.high);
  const DerivedSizes sizes = derived_sizes(ShapeSpec{});
  const double known = sizes.upper_deck_volume + sizes.lower_deck_volume + sizes.core_area * 0.15;
  const double fairing = 0.5 * 0.87 * 0.087 * (0.554 + 0.13);
  const double filled = closed.proof.volume - default_installation().proof.volume;
  EXPECT_GT(filled, known + 0.9 * fairing);
  // Front part of the deck ahead of its ramp's end (0.125 m long, up to 0.9 by 0.25 m), ducts and channel.
  EXPECT_LT(filled, known + 1.1 * fairing + 0.125 * 0.9 * 0.25 + 0.0062 + 0.0060);
}

// The nose face is flat where the inlets were: along a ray through an inlet's centre the solid begins there
// and has no air in it. Behind the trailing edge at 1.35 m the fairing runs out over 0.87 m: at 1.778 m,
// 0.492 of it, 87 mm times 1 - 0.488 are left, 44.5 mm, below a belly of 0.3505 m (the afterbody, 0.1223 of
// its 3.5 m long, has 0.9736 of its section left). Right behind the edge the skin is still that of the edge,
// -0.447 m.
TEST(ClosedReference, IsFlushWithTheNoseFaceAndFairedIntoTheBelly) {
  ShapeSpec spec;
  spec.is_closed = true;
  const Installation closed = build_installation(spec);
  const std::vector<double> inlet = ray_crossings(closed.wetted, {Axis::X, {0.28}, {0.02}}).front();
  ASSERT_EQ(inlet.size(), 2U);
  EXPECT_NEAR(inlet.front(), 0.14, 1e-12);
  const std::vector<double> gap = ray_crossings(closed.wetted, {Axis::X, {0.05}, {-0.395}}).front();
  ASSERT_EQ(gap.size(), 2U);
  EXPECT_NEAR(gap.back(), 1.778, 0.005);  // chords of 45 mm along a bent line
  const std::vector<double> skin = ray_crossings(closed.wetted, {Axis::Z, {1.36}, {0.05}}).front();
  ASSERT_EQ(skin.size(), 2U);
  EXPECT_NEAR(skin.front(), -0.447, 0.001);
}

TEST(ClosedReference, KeepsTheShapeOfProudRings) {
  ShapeSpec spec;
  for (InletSpec* inlet : {&spec.inlets.left, &spec.inlets.right}) {
    inlet->ring = RingStyle::Proud;
    inlet->ring_stand = 0.02;
  }
  spec.is_closed = true;
  const Installation closed = build_installation(spec);
  EXPECT_THAT(closed.wetted.patch_names, Contains("ring_left"));
  EXPECT_NEAR(ray_crossings(closed.wetted, {Axis::X, {0.28}, {0.02}}).front().front(), 0.12, 1e-12);
}

}  // namespace
}  // namespace cowlwright::shape
