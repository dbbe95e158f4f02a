// SPDX-License-Identifier: GPL-3.0-or-later
//
// Lid, part-height wall, leaks and oil cooler in finished surfaces: recorded volumes and areas against rays
// that know nothing of how the surfaces were made, and against hand formulas.
#include "geometry/shape/installation.h"
#include "tests/support/validation.h"
#include "tests/verification/shape/ray_measure.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace cowlwright::shape {
namespace {

using testing_support::ValidationCheck;

constexpr double cm2 = 1e-4;

double& leak(ShapeSpec& spec, LeakPlace place) {
  return spec.leaks.effective_area[static_cast<std::size_t>(place)];
}

ShapeSpec roomy_spec() {
  ShapeSpec spec;
  spec.cowl.firewall_station = 1.50;
  spec.engine.core_gap = 0.050;
  spec.plenum.rear_baffle_clearance = 0.060;
  return spec;
}

/// Two halves under a lid, with every way between and out of them.
ShapeSpec split_bay_with_a_lid() {
  ShapeSpec spec = roomy_spec();
  spec.engine.head_width = 0.09;
  spec.plenum.kind = PlenumKind::Split;
  spec.plenum.roof = PlenumRoof::Lid;
  spec.plenum.lid_height = 0.15;
  spec.plenum.wall_height = 0.80;
  spec.oil_cooler.place = CoolerPlace::Rear;
  spec.oil_cooler.height = 0.09;
  leak(spec, LeakPlace::CentreWall) = 2.5 * cm2;
  leak(spec, LeakPlace::CrankcaseNose) = 4.0 * cm2;
  leak(spec, LeakPlace::CowlSealLeft) = 4.0 * cm2;
  return spec;
}

/// One upper deck against the cowl, an oil cooler ahead of the cores.
ShapeSpec shared_bay_with_a_front_cooler() {
  ShapeSpec spec = roomy_spec();
  spec.engine.first_core_station = 0.62;
  spec.oil_cooler.place = CoolerPlace::Front;
  spec.oil_cooler.side = base::Side::Right;
  for (double& area : spec.leaks.effective_area) area = 3.0 * cm2;
  leak(spec, LeakPlace::CentreWall) = 0.0;
  return spec;
}

ShapeSpec bay_with_a_cooler_below() {
  ShapeSpec spec = roomy_spec();
  spec.plenum.rear_baffle_clearance = 0.125;
  spec.oil_cooler.place = CoolerPlace::Below;
  leak(spec, LeakPlace::RearBaffleLeft) = 3.0 * cm2;
  leak(spec, LeakPlace::RearBaffleRight) = 3.0 * cm2;
  return spec;
}

struct Bay {
  std::string name;
  Installation built;
};

const std::vector<Bay>& bays() {
  static const std::vector<Bay> built = [] {
    std::vector<Bay> all;
    all.push_back({"split under a lid", build_installation(split_bay_with_a_lid())});
    all.push_back({"cooler ahead", build_installation(shared_bay_with_a_front_cooler())});
    all.push_back({"cooler behind", build_installation(bay_with_a_cooler_below())});
    return all;
  }();
  return built;
}

TEST(BayZones, HoldTheVolumeOfAirTheyAreRecordedWith) {
  ValidationCheck check({.id = "shape.bay_zone_volumes",
                         .group = "Geometry",
                         .title = "Recorded volume of each zone with leaks, oil cooler, lid and part wall",
                         .source = "rays through the finished surface, which know nothing of how it was made",
                         .condition = "three installations",
                         .unit = "m³",
                         .reason = "walls along the rays are found to half a pitch; four half pitches of 300 "
                                   "rays across an opening of 24 mm in a zone of 34 mm are 0.95 %"});
  for (const Bay& bay : bays()) {
    for (const Zone& zone : bay.built.zones) {
      const double by_rays = air_volume(bay.built.wetted, zone.surface, Axis::Z, 300);
      check.expect_near(bay.name + ": " + zone.record.name, zone.record.volume, by_rays, 0.0095 * by_rays);
    }
  }
}

TEST(BayPlanes, CutThePassageTheyAreRecordedWithAndNoOther) {
  ValidationCheck check({.id = "shape.bay_plane_areas",
                         .group = "Geometry",
                         .title = "Recorded area of each measurement plane with leaks and oil cooler",
                         .source = "rays through the finished surface, which know nothing of how it was made",
                         .condition = "three installations",
                         .unit = "m²",
                         .reason = "half a pitch of 2000 rays at each of two walls is 1e-3 at most"});
  for (const Bay& bay : bays()) {
    for (const MeasurementPlane& plane : bay.built.planes) {
      const double by_rays = air_area(bay.built.wetted, plane, 2000);
      check.expect_near(bay.name + ": " + plane.record.name, plane.record.area, by_rays, 1.5e-3 * by_rays);
    }
  }
}

double simpson(double from, double to, const std::function<double(double)>& f) {
  constexpr int n = 2000;
  double sum = f(from) + f(to);
  for (int i = 1; i < n; ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * f(from + (to - from) * i / n);
  return sum * (to - from) / (3.0 * n);
}

// From the floor at 75 mm to the lid 120 mm above it, the sides a superellipse of half axes 498 and 258 mm;
// 435 mm long; less the crankcase of 220 by 40 mm. Eleven chords along a side of 0.13 m and radius of
// curvature above 0.3 m: 0.1 mm of sagitta on 490 mm.
TEST(UpperDeckUnderALid, HasTheVolumeOfItsCutPrism) {
  ShapeSpec spec;
  spec.plenum.roof = PlenumRoof::Lid;
  spec.plenum.lid_height = 0.12;
  ValidationCheck check({.id = "shape.lid_volume",
                         .group = "Geometry",
                         .title = "Volume of the upper deck under a lid",
                         .source = "exact: prism over a superellipse cut at the lid, less the crankcase",
                         .condition = "default installation, lid 120 mm above the floor",
                         .unit = "m³",
                         .reason = "eleven chords on either side lie 0.1 mm at most inside 490 mm"});
  const double section =
      simpson(0.075, 0.195, [](double z) { return 2.0 * 0.498 * std::cbrt(1.0 - std::pow(z / 0.258, 3.0)); });
  const double expected = 0.435 * (section - 0.22 * 0.04);
  check.expect_near("", derived_sizes(spec).upper_deck_volume, expected, 4e-4 * expected);
}

// 12 mm thick, 435 mm long, from the crankcase's top at 115 mm to 60 % of the deck's 183 mm.
TEST(CentreWallOfPartHeight, TakesItsOwnVolumeFromTheDeck) {
  ShapeSpec shared;
  ShapeSpec split;
  split.plenum.kind = PlenumKind::Split;
  split.plenum.wall_height = 0.60;
  const double taken = derived_sizes(shared).upper_deck_volume - derived_sizes(split).upper_deck_volume;
  EXPECT_NEAR(taken, 0.012 * 0.435 * (0.60 * 0.183 - 0.040), 1e-9);
  // Air passes over it: outside, one upper deck, lower deck; 2 inlets, 4 cores, 1 exit.
  EXPECT_EQ(build_installation(split).proof.n_tunnels, 2 + 4 + 1 - 3 + 1);
}

}  // namespace
}  // namespace cowlwright::shape
