// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a built installation promises: proof, patches, names, records. Areas and volumes are verified
// elsewhere.
#include "geometry/shape/installation.h"

#include "geometry/base/error.h"
#include "geometry/shape/boolean.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace cowlwright::shape {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

const Installation& default_installation() {
  static const Installation built = build_installation(ShapeSpec{});
  return built;
}

ShapeSpec split_six_with_proud_rings_and_bent_lip() {
  ShapeSpec spec;
  spec.engine.n_cylinders = 6;
  spec.plenum.kind = PlenumKind::Split;
  spec.inlets.left.ring = spec.inlets.right.ring = RingStyle::Proud;
  spec.inlets.left.ring_stand = spec.inlets.right.ring_stand = 0.02;
  spec.exit.lip_angle = 45.0 / 180.0 * std::numbers::pi;
  return spec;
}

template <typename Named>
std::vector<std::string> names_of(const std::vector<Named>& list) {
  std::vector<std::string> names;
  for (const Named& item : list) names.push_back(item.record.name);
  return names;
}

TEST(Installation, ByDefaultIsOneProvenBody) {
  const ShapeProof& proof = default_installation().proof;
  EXPECT_TRUE(proof.is_closed);
  EXPECT_TRUE(proof.is_free_of_self_intersections);
  EXPECT_TRUE(proof.bounds_a_volume);
  EXPECT_EQ(proof.n_components, 1U);
  EXPECT_GT(proof.volume, 0.0);
  EXPECT_EQ(proof.n_triangles, default_installation().wetted.triangles.size());
}

// Air path as a graph: outside, upper and lower deck joined by 2 inlets, 4 cores and 1 exit: 7 - 3 + 1 loops.
TEST(Installation, HasAsManyTunnelsAsItsAirPathHasLoops) {
  EXPECT_EQ(default_installation().proof.n_tunnels, 5);
}

// 6 cores, and a split upper deck is two rooms: 2 + 6 + 1 - 4 + 1 loops.
TEST(Installation, CentreWallClosesTheUpperDeckInTwo) {
  EXPECT_EQ(build_installation(split_six_with_proud_rings_and_bent_lip()).proof.n_tunnels, 6);
}

TEST(Installation, KeepsItsInnerWallsOffTheOuterSkin) {
  const double skin = ShapeSpec{}.cowl.skin_thickness;
  EXPECT_GE(default_installation().proof.smallest_clearance, 0.8 * skin);
  EXPECT_LE(default_installation().proof.smallest_clearance, 1.001 * skin);
}

TEST(Installation, HasExactlyTheExpectedPatches) {
  EXPECT_THAT(default_installation().wetted.patch_names,
              ::testing::UnorderedElementsAreArray(expected_patches(ShapeSpec{})));
  for (const std::string& name : expected_patches(ShapeSpec{})) {
    EXPECT_GT(surface_area(default_installation().wetted, name), 1e-3) << name;
  }
}

// Nine digits in the file must not glue neighbouring points together or open a seam.
TEST(Installation, IsStillProvenAfterAnStlFile) {
  const testing_support::ScratchFolder folder;
  write_stl(default_installation().wetted, folder.path() / "wetted.stl");
  const Surface read = read_stl(folder.path() / "wetted.stl");
  const SurfaceProof proof = prove_surface(read);
  EXPECT_EQ(proof.first_fault, "");
  EXPECT_EQ(proof.genus, default_installation().proof.n_tunnels);
  EXPECT_EQ(read.points.size(), default_installation().wetted.points.size());
}

// A case's hash is taken over its files: equal dimensions must give equal points and triangles in equal
// order, also when memory lies differently.
TEST(Installation, IsTheSameWhateverTheHeapLooksLike) {
  const std::vector<double> displaced(12345, 1.0);
  const Installation again = build_installation(ShapeSpec{});
  EXPECT_EQ(again.wetted.points, default_installation().wetted.points);
  EXPECT_EQ(again.wetted.triangles, default_installation().wetted.triangles);
  EXPECT_EQ(again.wetted.patch, default_installation().wetted.patch);
}

TEST(ExpectedPatches, FollowRingPlenumAndLip) {
  ShapeSpec spec;
  EXPECT_THAT(expected_patches(spec), Contains("ring_left"));
  EXPECT_THAT(expected_patches(spec), Contains("exit_lip"));
  EXPECT_THAT(expected_patches(spec), Not(Contains("centre_wall")));
  spec.inlets.left.ring = spec.inlets.right.ring = RingStyle::None;
  spec.plenum.kind = PlenumKind::Split;
  spec.exit.lip_length = 0.0;
  EXPECT_THAT(expected_patches(spec), Not(Contains("ring_left")));
  EXPECT_THAT(expected_patches(spec), Not(Contains("exit_lip")));
  EXPECT_THAT(expected_patches(spec), Contains("centre_wall"));
}

TEST(Installation, NamesZonesAndPlanesFromFrontToRear) {
  EXPECT_THAT(
      names_of(default_installation().zones),
      ElementsAre(
          "upper_deck_left", "upper_deck_right", "lower_deck", "core_l1", "core_l2", "core_r1", "core_r2"));
  EXPECT_THAT(names_of(default_installation().planes),
              ElementsAre("inlet_left",
                          "inlet_right",
                          "core_l1",
                          "core_l2",
                          "core_r1",
                          "core_r2",
                          "core_l1_outlet",
                          "core_l2_outlet",
                          "core_r1_outlet",
                          "core_r2_outlet",
                          "exit"));
}

TEST(Installation, PutsTheLeftOnThePilotsLeft) {
  const auto sign = [](base::Side side) { return side == base::Side::Left ? -1.0 : 1.0; };
  for (const Zone& zone : default_installation().zones) {
    if (zone.record.side == base::Side::Centre) continue;
    for (const base::Vec3& p : zone.surface.points) {
      EXPECT_GE(sign(zone.record.side) * p.y, 0.0) << zone.record.name;
    }
  }
  for (const MeasurementPlane& plane : default_installation().planes) {
    if (plane.record.side == base::Side::Centre) continue;
    EXPECT_GT(sign(plane.record.side) * plane.record.origin.y, 0.0) << plane.record.name;
  }
}

TEST(Installation, ZonesAreClosedBodiesLargerThanTheirAir) {
  for (const Zone& zone : default_installation().zones) {
    const SurfaceProof proof = prove_surface(zone.surface);
    EXPECT_TRUE(proof.is_closed && proof.is_free_of_self_intersections && proof.bounds_a_volume)
        << zone.record.name;
    EXPECT_GT(proof.volume, zone.record.volume) << zone.record.name;
  }
}

TEST(Installation, CoreZonesEndExactlyAtTheDecks) {
  for (const Zone& zone : default_installation().zones) {
    if (zone.record.role != base::ZoneRole::Core) continue;
    EXPECT_DOUBLE_EQ(bounding_box(zone.surface).high.z, 0.075);
    EXPECT_DOUBLE_EQ(bounding_box(zone.surface).low.z, -0.075);
    EXPECT_NEAR(zone.record.volume, 0.17 * 0.28 * 0.15, 1e-15);
  }
}

TEST(Installation, PlanesFaceAlongTheFlowAndHoldTheirOrigin) {
  for (const MeasurementPlane& plane : default_installation().planes) {
    base::Vec3 sum;
    for (const auto& t : plane.surface.triangles) {
      const base::Vec3& a = plane.surface.points[t[0]];
      sum = sum + 0.5 * cross(plane.surface.points[t[1]] - a, plane.surface.points[t[2]] - a);
    }
    EXPECT_NEAR(dot(sum, plane.record.normal), norm(sum), 1e-12) << plane.record.name;
    EXPECT_GT(norm(sum), plane.record.area) << plane.record.name;
    for (const base::Vec3& p : plane.surface.points) {
      EXPECT_NEAR(dot(p - plane.record.origin, plane.record.normal), 0.0, 1e-12) << plane.record.name;
      EXPECT_LE(norm(p - plane.record.origin), 1.001 * plane.record.radius) << plane.record.name;
    }
  }
}

TEST(Installation, ThatIsImpossibleIsRefusedWithEveryConflict) {
  ShapeSpec spec;
  spec.inlets.spacing = 0.30;
  spec.exit.lip_thickness = 0.02;
  EXPECT_THAT([&] { build_installation(spec); },
              ::testing::ThrowsMessage<base::InputError>(
                  ::testing::AllOf(HasSubstr("inlets.spacing"), HasSubstr("exit.lip_thickness"))));
}

// Both throats pi/4 0.133²; cores 4 * 0.17 * 0.28; gap times width to 1 %.
TEST(DerivedSizes, AgreeWithHandFormulas) {
  const DerivedSizes sizes = derived_sizes(ShapeSpec{});
  EXPECT_NEAR(sizes.inlet_area, 2.0 * 0.25 * std::numbers::pi * 0.133 * 0.133, 1e-12);
  EXPECT_NEAR(sizes.core_area, 4.0 * 0.17 * 0.28, 1e-12);
  EXPECT_NEAR(sizes.exit_area, 0.075 * 0.53, 0.01 * 0.075 * 0.53);
  EXPECT_NEAR(sizes.exit_to_inlet, sizes.exit_area / sizes.inlet_area, 1e-12);
  EXPECT_NEAR(sizes.core_to_inlet, sizes.core_area / sizes.inlet_area, 1e-12);
  EXPECT_NEAR(sizes.trailing_edge_station, 1.35, 1e-12);
}

}  // namespace
}  // namespace cowlwright::shape
