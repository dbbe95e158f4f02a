// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every passage of a shape gets its own law, heat and resistance, along its own direction.
#include "cases/foam/passages.h"

#include "cases/foam/parts.h"
#include "cases/starter.h"
#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::foam {
namespace {

using base::PassageKind;
using base::PassageRecord;
using shape::Passage;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using testing::ThrowsMessage;

VariantSpec starter() {
  return parse_study(starter_study_text(), "starter.toml").variants.front();
}

Passage passage(std::string name, PassageKind kind, std::string cylinder, double area) {
  Passage made;
  made.name = std::move(name);
  made.kind = kind;
  made.cylinder = std::move(cylinder);
  made.direction = {0.0, 0.0, -1.0};
  made.area = area;
  made.depth = 0.15;
  return made;
}

/// Mass flow at which a passage takes this pressure drop: the positive root of a mu v + b rho v² = dp.
double flow_at(const PassageRecord& record, double drop, const base::AirState& air) {
  const double linear = record.viscous * base::dynamic_viscosity(air.temperature);
  const double square = record.inertial * air.density;
  const double speed = (std::sqrt(linear * linear + 4.0 * square * drop) - linear) / (2.0 * square);
  return air.density * speed * record.area;
}

TEST(PassageRecords, HeadAndBarrelTogetherAreTheWholeCylinder) {
  VariantSpec spec = starter();
  spec.core.head_flow_share = 0.35;
  spec.core.head_heat_share = 0.7;
  const Passage whole = passage("core_l2", PassageKind::Core, "l2", 0.0476);
  const Passage head = passage("core_l2_head", PassageKind::Core, "l2", 0.0136);
  const Passage barrel = passage("core_l2_barrel", PassageKind::Core, "l2", 0.0300);  // a wall stands between
  const std::vector<PassageRecord> records = passage_records(spec, {whole, barrel, head});
  for (const double drop : {150.0, 600.0, 1500.0}) {
    const double all = flow_at(records[0], drop, spec.flight.air);
    EXPECT_NEAR(flow_at(records[1], drop, spec.flight.air), 0.65 * all, 1e-9 * all);
    EXPECT_NEAR(flow_at(records[2], drop, spec.flight.air), 0.35 * all, 1e-9 * all);
  }
  // A quarter of half of 75 kW.
  EXPECT_NEAR(records[2].heat, 0.7 * 9375.0, 1e-9);
  EXPECT_NEAR(records[1].heat + records[2].heat, 9375.0, 1e-9);
}

TEST(PassageRecords, ACylinderHasItsOwnLawAndHeatWhateverTheOrderOfThePassages) {
  VariantSpec spec = starter();
  spec.core.law[2] = core::Law{core::LawKind::Table, {{0.1, 900.0}, {0.2, 3600.0}}, {0.2, 3600.0}};
  spec.core.heat = {1.0, 2.0, 3.0, 4.0};
  const std::vector<PassageRecord> records = passage_records(
      spec,
      {passage("core_r1", PassageKind::Core, "r1", 0.05), passage("core_l1", PassageKind::Core, "l1", 0.05)});
  EXPECT_EQ(records[0].heat, 3.0);
  EXPECT_EQ(records[1].heat, 1.0);
  // sigma*dp = 900 Pa (m / 0.1)² is purely inertial: b rho v² with v = m/(rho A) gives b = 900 * 1.225 A² /
  // 0.01, at any density.
  EXPECT_NEAR(records[0].viscous, 0.0, 1.0);
  EXPECT_NEAR(records[0].inertial, 900.0 * 1.225 * 0.05 * 0.05 / 0.01, 1e-6);
}

TEST(PassageRecords, CoolerAndLeakHaveTheirs) {
  VariantSpec spec = starter();
  spec.oil_cooler =
      core::CoolerSpec{{core::LawKind::Table, {{0.1, 400.0}, {0.2, 1600.0}}, {0.2, 1600.0}}, 6000.0};
  Passage leak = passage("leak_cowl_seal_left", PassageKind::Leak, "", 9e-4);
  leak.effective_area = 3e-4;
  Passage cooler = passage("oil_cooler", PassageKind::Cooler, "", 0.016);
  cooler.direction = {1.0, 0.0, 0.0};
  const std::vector<PassageRecord> records = passage_records(spec, {cooler, leak});
  EXPECT_EQ(records[0].heat, 6000.0);
  EXPECT_NEAR(records[0].inertial, 400.0 * 1.225 * 0.016 * 0.016 / 0.01, 1e-6);
  EXPECT_EQ(records[1].heat, 0.0);
  EXPECT_EQ(records[1].viscous, 0.0);
  EXPECT_EQ(records[1].effective_area, 3e-4);
  EXPECT_EQ(records[1].transverse_ratio, 1.0);
  EXPECT_EQ(records[0].transverse_ratio, 100.0);

  base::Manifest manifest;
  manifest.flight.temperature = 288.15;
  manifest.passages = records;
  const std::string text = sources(manifest, {}, 0).body();
  EXPECT_THAT(text, AllOf(HasSubstr("e1 (1 0 0);"), HasSubstr("e2 (0 1 0);"), HasSubstr("heat_oil_cooler")));
  EXPECT_THAT(text, HasSubstr("resistance_leak_cowl_seal_left"));
  EXPECT_THAT(text, Not(HasSubstr("heat_leak")));
}

TEST(PassageRecords, RefuseALeakWiderThanItsTunnelNamingBoth) {
  Passage leak = passage("leak_cowl_seal_left", PassageKind::Leak, "", 9e-4);
  leak.effective_area = 9e-4;
  EXPECT_THAT([&] { passage_records(starter(), {leak}); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("effective area = 9 cm2"), HasSubstr("at most 6.903 cm2"))));
}

}  // namespace
TEST(StartSpeeds, AreWhatTheResistanceLetsThrough) {
  base::Manifest manifest;
  manifest.flight.temperature = 288.15;
  manifest.flight.density = 1.2;
  PassageRecord core;
  core.zone = "core_l1";
  core.viscous = 2.0e6;
  core.inertial = 100.0;
  manifest.passages = {core};
  // a mu v + b rho v² at 4 m/s.
  const double drop = 2.0e6 * base::dynamic_viscosity(288.15) * 4.0 + 100.0 * 1.2 * 16.0;
  EXPECT_NEAR(start_speeds(manifest, drop).at("core_l1"), 4.0, 1e-3);  // they are rounded to mm/s
  EXPECT_EQ(start_speeds(manifest, 0.0).at("core_l1"), 0.0);
  manifest.passages[0].inertial = 0.0;
  EXPECT_NEAR(
      start_speeds(manifest, 100.0).at("core_l1"), 100.0 / (2.0e6 * base::dynamic_viscosity(288.15)), 1e-3);
}

TEST(StartSpeeds, LeaksBeginSlowlyAndLeaksBetweenTheHalvesNotAtAll) {
  base::Manifest manifest;
  manifest.flight.temperature = 288.15;
  manifest.flight.density = 1.2;
  PassageRecord leak;
  leak.zone = "leak_cowl_seal_left";
  leak.kind = PassageKind::Leak;
  leak.inertial = 0.5;
  manifest.passages = {leak, leak};
  manifest.passages[1].zone = "leak_centre_wall";
  manifest.passages[1].joins_decks = false;
  const auto speeds = start_speeds(manifest, 1500.0);  // 50 m/s
  ASSERT_EQ(speeds.size(), 1U);
  EXPECT_DOUBLE_EQ(speeds.at("leak_cowl_seal_left"), 3.0);
}

TEST(ExpectedDeckDifference, IsOfTheOrderOfTheDynamicPressureInTheClimb) {
  const VariantSpec spec = starter();
  const double q = flight::dynamic_pressure(spec.flight);
  EXPECT_GT(expected_deck_difference(spec, 1.0), 0.5 * q);
  EXPECT_LT(expected_deck_difference(spec, 1.0), 2.0 * q);
}

TEST(ExpectedDeckDifference, IsTheReferencePressureWhereTheEstimateFindsNothing) {
  VariantSpec spec = starter();
  spec.flight.true_airspeed = 0.0;
  spec.propeller.present = false;
  EXPECT_DOUBLE_EQ(expected_deck_difference(spec, 321.0), 321.0);
}

}  // namespace cowlwright::foam
