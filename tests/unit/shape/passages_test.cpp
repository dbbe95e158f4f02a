// SPDX-License-Identifier: GPL-3.0-or-later
//
// Heads and barrels, oil cooler and leaks: where they lie, how large they are, and that the body built with
// them is proven. Air through their zones is measured by rays elsewhere.
#include "geometry/shape/passages.h"

#include "geometry/shape/boolean.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

namespace cowlwright::shape {
namespace {

using ::testing::ElementsAre;

constexpr double cm2 = 1e-4;

double& leak(ShapeSpec& spec, LeakPlace place) {
  return spec.leaks.effective_area[static_cast<std::size_t>(place)];
}

/// Room for every leak: cylinders 44 mm apart or more, and as much behind the last one.
ShapeSpec roomy_spec() {
  ShapeSpec spec;
  spec.cowl.firewall_station = 1.40;
  spec.engine.core_gap = 0.050;
  spec.plenum.rear_baffle_clearance = 0.060;
  return spec;
}

const Passage& passage_named(const Installation& built, const std::string& name) {
  const auto found = std::find_if(
      built.passages.begin(), built.passages.end(), [&](const Passage& p) { return p.name == name; });
  if (found == built.passages.end()) throw std::out_of_range(name);
  return *found;
}

template <typename Named>
const Named& record_named(const std::vector<Named>& list, const std::string& name) {
  const auto found =
      std::find_if(list.begin(), list.end(), [&](const Named& item) { return item.record.name == name; });
  if (found == list.end()) throw std::out_of_range(name);
  return *found;
}

// 280 mm of fins: 90 mm of head, 15 mm of wall, 175 mm of barrel; 170 mm along the shaft.
TEST(SplitCores, AreABarrelAndAHeadOfTheStatedWidth) {
  ShapeSpec spec;
  spec.engine.head_width = 0.09;
  const Installation built = build_installation(spec);
  EXPECT_EQ(built.passages.size(), 8U);
  const Passage& barrel = passage_named(built, "core_l1_barrel");
  const Passage& head = passage_named(built, "core_l1_head");
  EXPECT_NEAR(barrel.area, 0.17 * 0.175, 1e-12);
  EXPECT_NEAR(head.area, 0.17 * 0.09, 1e-12);
  EXPECT_EQ(barrel.cylinder, "l1");
  EXPECT_EQ(head.cylinder, "l1");
  // The head is further out, and both lie on the pilot's left.
  EXPECT_LT(record_named(built.planes, "core_l1_head").record.origin.y,
            record_named(built.planes, "core_l1_barrel").record.origin.y);
  // 2 inlets, 8 cores, 1 exit; outside and two decks.
  EXPECT_EQ(built.proof.n_tunnels, 2 + 8 + 1 - 3 + 1);
}

// Effective 4 cm²: opening three times as large, square where the room allows.
TEST(Leaks, HaveAnOpeningThreeTimesTheirEffectiveArea) {
  ShapeSpec spec = roomy_spec();
  leak(spec, LeakPlace::CowlSealLeft) = 4.0 * cm2;
  leak(spec, LeakPlace::RearBaffleRight) = 3.0 * cm2;
  leak(spec, LeakPlace::CrankcaseNose) = 2.0 * cm2;
  leak(spec, LeakPlace::BetweenCylindersLeft) = 2.5 * cm2;
  const Installation built = build_installation(spec);
  const auto expect_leak = [&](const std::string& name, double effective) {
    const Passage& passage = passage_named(built, name);
    EXPECT_NEAR(passage.area, 3.0 * effective, 1e-12) << name;
    EXPECT_DOUBLE_EQ(passage.effective_area, effective) << name;
    EXPECT_NEAR(passage.depth, 0.15, 1e-12) << name;  // from deck to deck
    EXPECT_GE(passage.narrowest, 0.024) << name;
    EXPECT_TRUE(passage.joins_decks) << name;
    EXPECT_TRUE(passage.outlet.empty()) << name;
  };
  expect_leak("leak_cowl_seal_left", 4.0 * cm2);
  expect_leak("leak_rear_baffle_right", 3.0 * cm2);
  expect_leak("leak_crankcase_nose", 2.0 * cm2);
  expect_leak("leak_between_cylinders_left", 2.5 * cm2);
  EXPECT_EQ(built.proof.n_tunnels, 2 + 8 + 1 - 3 + 1);
}

TEST(Leaks, KeepTheSmallestOpeningThatCanBeMeshed) {
  ShapeSpec spec = roomy_spec();
  leak(spec, LeakPlace::CowlSealLeft) = 0.5 * cm2;
  const Passage passage = make_passages(spec).back();
  EXPECT_NEAR(passage.area, 0.024 * 0.024, 1e-15);
  EXPECT_NEAR(passage.narrowest, 0.024, 1e-15);
}

TEST(Leaks, GetLongerWhereTheirRoomIsNarrow) {
  ShapeSpec spec = roomy_spec();
  // Behind the last core 60 mm less two walls of 10 mm: 40 mm, so 3 * 10 cm² are 40 mm by 75 mm.
  leak(spec, LeakPlace::RearBaffleLeft) = 10.0 * cm2;
  const PassageBox box = passage_boxes(spec).back();
  EXPECT_NEAR(box.air.high.x - box.air.low.x, 0.040, 1e-12);
  EXPECT_NEAR(box.air.high.y - box.air.low.y, 0.075, 1e-12);
}

TEST(LeakInTheCentreWall, JoinsTheHalvesOfTheUpperDeck) {
  ShapeSpec spec = roomy_spec();
  spec.plenum.kind = PlenumKind::Split;
  leak(spec, LeakPlace::CentreWall) = 3.0 * cm2;
  const Installation built = build_installation(spec);
  const Passage& passage = passage_named(built, "leak_centre_wall");
  EXPECT_FALSE(passage.joins_decks);
  EXPECT_EQ(passage.direction, (base::Vec3{0.0, 1.0, 0.0}));
  EXPECT_NEAR(passage.depth, 0.050, 1e-12);
  EXPECT_NEAR(passage.area, 9.0 * cm2, 1e-12);
  // 2 inlets, 4 cores, the leak, 1 exit; outside, two half decks, lower deck.
  EXPECT_EQ(built.proof.n_tunnels, 2 + 4 + 1 + 1 - 4 + 1);
}

// Under a centre wall the crankcase's leak is one on each side, so that a symmetric bay stays symmetric.
TEST(LeakAtTheCrankcasesNose, IsTwoHalvesUnderACentreWall) {
  ShapeSpec spec = roomy_spec();
  spec.plenum.kind = PlenumKind::Split;
  leak(spec, LeakPlace::CrankcaseNose) = 4.0 * cm2;
  const Installation built = build_installation(spec);
  for (const char* name : {"leak_crankcase_nose_left", "leak_crankcase_nose_right"}) {
    EXPECT_NEAR(passage_named(built, name).area, 6.0 * cm2, 1e-12);
    EXPECT_NEAR(passage_named(built, name).effective_area, 2.0 * cm2, 1e-15);
  }
}

struct CoolerCase {
  const char* name;
  CoolerPlace place;
  base::Vec3 direction;
};

class OilCooler : public ::testing::TestWithParam<CoolerCase> {};

TEST_P(OilCooler, IsOnePassageOfItsFaceAndDepth) {
  ShapeSpec spec = roomy_spec();
  spec.plenum.rear_baffle_clearance = 0.130;
  spec.engine.first_core_station = 0.60;
  spec.cowl.firewall_station = 1.50;
  spec.oil_cooler.place = GetParam().place;
  spec.oil_cooler.side = base::Side::Right;
  const Installation built = build_installation(spec);
  const Passage& cooler = passage_named(built, "oil_cooler");
  EXPECT_NEAR(cooler.area, 0.16 * 0.10, 1e-12);
  EXPECT_NEAR(cooler.depth, 0.05, 1e-12);
  EXPECT_EQ(cooler.direction, GetParam().direction);
  EXPECT_EQ(cooler.outlet, "oil_cooler_outlet");
  const MeasurementPlane& middle = record_named(built.planes, "oil_cooler");
  const MeasurementPlane& outlet = record_named(built.planes, "oil_cooler_outlet");
  EXPECT_GT(middle.record.origin.y, 0.0);
  EXPECT_NEAR(dot(outlet.record.origin - middle.record.origin, cooler.direction), 0.025, 1e-12);
  EXPECT_EQ(built.proof.n_tunnels, 2 + 5 + 1 - 3 + 1);
  EXPECT_GT(surface_area(built.wetted, "oil_cooler_wall"), 0.0);
}

INSTANTIATE_TEST_SUITE_P(InEveryPlace,
                         OilCooler,
                         ::testing::Values(CoolerCase{"Rear", CoolerPlace::Rear, {1.0, 0.0, 0.0}},
                                           CoolerCase{"Front", CoolerPlace::Front, {0.0, 0.0, -1.0}},
                                           CoolerCase{"Below", CoolerPlace::Below, {0.0, 0.0, -1.0}}),
                         [](const auto& each) { return each.param.name; });

// Duct of 160 mm by 100 mm and 50 mm deep, chamber as long as the cooler is high. Walls: duct two sides and
// floor, chamber two sides over 100 mm from 81 mm below the shaft line's ceiling to the cooler's top.
TEST(RearCooler, LeadsDownIntoTheLowerDeck) {
  ShapeSpec spec = roomy_spec();
  spec.oil_cooler.place = CoolerPlace::Rear;
  const Installation built = build_installation(spec);
  // Profile above the lower deck's ceiling: from there (-75) to the top (85 + 100) over 100 mm, and 50 mm of
  // duct 100 mm high. The walls are that profile twice and its border, less both mouths, over the width.
  const double profile = 0.10 * 0.26 + 0.05 * 0.10;
  const double border = 0.05 + 0.16 + 0.26 + 0.15;  // floor, chamber's front, its rear, roof
  const double expected = 2.0 * profile + 0.16 * border;
  EXPECT_NEAR(surface_area(built.wetted, "oil_cooler_wall"), expected, 1e-9);
}

TEST(Passages, HaveNamesOfTheirOwnAndZonesAndPlanesOfThatName) {
  ShapeSpec spec = roomy_spec();
  spec.engine.head_width = 0.09;
  spec.oil_cooler.place = CoolerPlace::Rear;
  for (double& area : spec.leaks.effective_area) area = 2.0 * cm2;
  leak(spec, LeakPlace::CentreWall) = 0.0;
  const Installation built = build_installation(spec);
  std::set<std::string> names;
  for (const Passage& passage : built.passages) {
    EXPECT_TRUE(names.insert(passage.name).second) << passage.name;
    EXPECT_NEAR(record_named(built.zones, passage.name).record.volume, passage.area * passage.depth, 1e-15);
    EXPECT_EQ(record_named(built.planes, passage.name).record.normal, passage.direction);
    EXPECT_NEAR(record_named(built.planes, passage.name).record.area, passage.area, 1e-15);
    if (!passage.outlet.empty()) {
      EXPECT_EQ(record_named(built.planes, passage.outlet).record.role, base::PlaneRole::Outlet);
    }
  }
  EXPECT_EQ(names.size(), 8U + 1U + 7U);
}

}  // namespace
}  // namespace cowlwright::shape
