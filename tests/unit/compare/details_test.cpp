// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/details.h"

#include "geometry/shape/parameters.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <random>

namespace cowlwright::compare {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

VariantSpec minimal() {
  return read_study(std::filesystem::path(COWLWRIGHT_TEST_DATA) / "studies/minimal.toml").variants.front();
}

/// With everything there that an installation can have, so that every dimension has an effect.
VariantSpec complete() {
  VariantSpec spec = minimal();
  spec.shape.plenum.kind = shape::PlenumKind::Split;
  spec.shape.plenum.roof = shape::PlenumRoof::Lid;
  spec.shape.alternator.side = base::Side::Left;
  spec.shape.oil_cooler.place = shape::CoolerPlace::Rear;
  spec.oil_cooler = core::CoolerSpec{spec.core.law.front(), 5000.0};
  spec.shape.exit.exhaust_diameter = 0.03;
  spec.shape.exit.strut_diameter = 0.04;
  spec.shape.engine.head_width = 0.09;
  for (shape::InletSpec* in : {&spec.shape.inlets.left, &spec.shape.inlets.right}) {
    in->diffuser_length = 0.05;
    in->diffuser_area_ratio = 1.4;
  }
  return spec;
}

std::vector<std::string> labels(const VariantSpec& good, const VariantSpec& mine) {
  std::vector<std::string> all;
  for (const Detail& detail : differing_details(good, mine)) all.push_back(detail.label);
  return all;
}

TEST(Details, OfOneInstallationWithItselfAreNone) {
  EXPECT_THAT(labels(minimal(), minimal()), IsEmpty());
  EXPECT_THAT(labels(complete(), complete()), IsEmpty());
}

TEST(Details, HoldEveryDimensionOfTheShapeOnce) {
  for (const shape::Parameter& parameter : shape::shape_parameters()) {
    const std::string name = std::string(parameter.section) + "." + std::string(parameter.key);
    const VariantSpec good = complete();
    VariantSpec mine = good;
    double& value = parameter.value(mine.shape);
    value = value * 0.9 + 0.0013;
    const std::vector<Detail> details = differing_details(good, mine);
    ASSERT_EQ(details.size(), 1U) << name;
    VariantSpec mended = good;
    details.front().copy(mine, mended);
    EXPECT_EQ(parameter.value(mended.shape), value) << name;
    const auto n_named = std::count_if(details.front().keys.begin(),
                                       details.front().keys.end(),
                                       [&](const Key& key) { return key.name == name; });
    EXPECT_EQ(n_named, 1) << name;
    const Wordings words = wordings(details.front(), good, mine);
    EXPECT_NE(words.good, words.mine) << name;
  }
}

TEST(Details, HoldEveryDimensionOfEachInlet) {
  for (const shape::InletParameter& parameter : shape::inlet_parameters()) {
    for (const bool is_left : {true, false}) {
      VariantSpec good = complete();
      shape::InletSpec& old = is_left ? good.shape.inlets.left : good.shape.inlets.right;
      for (const shape::OpeningShape opening :
           {shape::OpeningShape::Rectangular, shape::OpeningShape::Round}) {
        old.opening = opening;
        if (parameter.applies(old)) break;
      }
      VariantSpec mine = good;
      shape::InletSpec& in = is_left ? mine.shape.inlets.left : mine.shape.inlets.right;
      in.*parameter.value = in.*parameter.value * 0.9 + 0.001;
      const std::vector<Detail> details = differing_details(good, mine);
      ASSERT_EQ(details.size(), 1U) << parameter.key;
      EXPECT_THAT(details.front().label, HasSubstr(is_left ? "left inlet" : "right inlet"));
      VariantSpec mended = good;
      details.front().copy(mine, mended);
      EXPECT_EQ(mended.shape.inlets.left, mine.shape.inlets.left) << parameter.key;
      EXPECT_EQ(mended.shape.inlets.right, mine.shape.inlets.right) << parameter.key;
    }
  }
}

/// One change of everything that is no dimension of the shape.
const std::vector<std::pair<std::string, void (*)(VariantSpec&)>>& other_changes() {
  static const std::vector<std::pair<std::string, void (*)(VariantSpec&)>> changes{
      {"airspeed", [](VariantSpec& s) { s.flight.true_airspeed *= 1.1; }},
      {"pressure altitude",
       [](VariantSpec& s) {
         s.flight.air.pressure *= 0.9;
         s.flight.air.density *= 0.9;
       }},
      {"outside temperature",
       [](VariantSpec& s) {
         s.flight.air.temperature *= 1.05;
         s.flight.air.density /= 1.05;
       }},
      {"incidence", [](VariantSpec& s) { s.flight.incidence += 0.05; }},
      {"sideslip", [](VariantSpec& s) { s.flight.sideslip += 0.05; }},
      {"turbulence of the air ahead", [](VariantSpec& s) { s.flight.turbulence_intensity = 0.05; }},
      {"rotational speed", [](VariantSpec& s) { s.propeller.rotational_speed *= 0.9; }},
      {"heat of the cylinders",
       [](VariantSpec& s) {
         for (double& heat : s.core.heat) heat *= 1.2;
       }},
      {"heat of the oil", [](VariantSpec& s) { s.oil_cooler->heat *= 1.2; }},
      {"grid", [](VariantSpec& s) { s.grid.level = meshing::GridLevel::Fine; }},
      {"propeller model", [](VariantSpec& s) { s.propeller.is_uniform = true; }},
      {"propeller diameter", [](VariantSpec& s) { s.propeller.diameter = 1.7; }},
      {"number of blades", [](VariantSpec& s) { s.propeller.n_blades = 3; }},
      {"propeller rotation",
       [](VariantSpec& s) { s.propeller.rotation = propeller::Rotation::Anticlockwise; }},
      {"shape of the blades", [](VariantSpec& s) { s.propeller.blade.back().chord_ratio *= 1.1; }},
      {"section of the blades",
       [](VariantSpec& s) {
         s.propeller.polar = {{0.0, 0.4, 0.01}};
       }},
      {"pitch", [](VariantSpec& s) { s.propeller.pitch_mode = propeller::PitchMode::Fixed; }},
      {"cowl corner exponent", [](VariantSpec& s) { s.shape.cowl.corner_exponent = 2.5; }},
      {"exit side plates", [](VariantSpec& s) { s.shape.exit.side_plates = true; }},
      {"roof of the upper deck", [](VariantSpec& s) { s.shape.plenum.roof = shape::PlenumRoof::Cowl; }},
      {"centre wall of the upper deck",
       [](VariantSpec& s) { s.shape.plenum.kind = shape::PlenumKind::Shared; }},
      {"alternator", [](VariantSpec& s) { s.shape.alternator.side = base::Side::Right; }},
      {"oil cooler, place", [](VariantSpec& s) { s.shape.oil_cooler.side = base::Side::Right; }},
      {"pressure drop of cylinder R1",
       [](VariantSpec& s) { s.core.law[2].points.back().pressure_drop *= 1.2; }},
      {"pressure drop of the oil cooler",
       [](VariantSpec& s) { s.oil_cooler->law.points.back().pressure_drop *= 1.2; }},
      {"head and barrel of the cylinders", [](VariantSpec& s) { s.core.head_heat_share = 0.6; }},
      {"resistance across the fins", [](VariantSpec& s) { s.core.transverse_ratio = 50.0; }},
      {"temperature limits", [](VariantSpec& s) { s.temperatures.limits[1] = 500.0; }},
      {"fuel and mixture", [](VariantSpec& s) { s.temperatures.fuel.fuel_air_ratio = 0.07; }},
      {"constants of the temperatures",
       [](VariantSpec& s) { s.temperatures.correlations[0].charge_exponent.value *= 1.1; }},
      {"oil cooler, heat it can give off", [](VariantSpec& s) { s.temperatures.oil_flow = 0.2; }},
      {"where the coefficients come from", [](VariantSpec& s) { s.estimate.solved_flow = "flow.json"; }}};
  return changes;
}

TEST(Details, NameEveryOtherChange) {
  for (const auto& [label, change] : other_changes()) {
    VariantSpec mine = complete();
    change(mine);
    EXPECT_THAT(labels(complete(), mine), ElementsAre(label));
  }
}

TEST(Details, AllCarriedOverMakeTheOtherInstallationInAnyOrder) {
  std::mt19937 engine(1);
  for (int round = 0; round < 20; ++round) {
    VariantSpec good = complete(), mine = complete();
    for (VariantSpec* spec : {&good, &mine}) {
      for (const auto& [label, change] : other_changes()) {
        if (engine() % 2 == 0) change(*spec);
      }
      for (const shape::Parameter& parameter : shape::shape_parameters()) {
        if (engine() % 4 == 0) parameter.value(spec->shape) *= 0.95;
      }
      if (engine() % 2 == 0) spec->propeller.shaft_power *= 0.8;
      spec->core.heat_is_stated = engine() % 2 == 0;
      if (engine() % 4 == 0) spec->propeller.present = false;
      if (engine() % 4 == 0) spec->shape.exit.lip_length = 0.0;
      if (engine() % 4 == 0) {
        spec->shape.oil_cooler.place = shape::CoolerPlace::None;
        spec->oil_cooler.reset();
      }
    }
    std::vector<Detail> details = differing_details(good, mine);
    std::shuffle(details.begin(), details.end(), engine);
    const VariantSpec same = hybrid(good, mine, details, std::vector<bool>(details.size(), true));
    EXPECT_THAT(labels(same, mine), IsEmpty()) << "round " << round;
    EXPECT_EQ(same.oil_cooler.has_value(), mine.oil_cooler.has_value());
    for (std::size_t i = 0; i < mine.core.heat.size(); ++i) {
      EXPECT_NEAR(same.core.heat[i], mine.core.heat[i], 1e-6);
    }
    EXPECT_NEAR(same.flight.air.density, mine.flight.air.density, 1e-6);
  }
}

TEST(Details, ThatMeanNothingWithoutAnotherAreNone) {
  VariantSpec mine = minimal();
  mine.shape.alternator.diameter = 0.15;       // there is none
  mine.shape.plenum.wall_height = 0.5;         // shared
  mine.shape.plenum.lid_height = 0.2;          // no lid
  mine.shape.inlets.left.opening_width = 0.2;  // round
  mine.shape.oil_cooler.width = 0.2;
  mine.shape.exit.exhaust_spacing = 0.3;
  EXPECT_THAT(labels(minimal(), mine), IsEmpty());
}

TEST(Details, AreOneForBothInletsThatDifferAlike) {
  VariantSpec mine = minimal();
  for (shape::InletSpec* in : {&mine.shape.inlets.left, &mine.shape.inlets.right}) {
    in->ring = shape::RingStyle::None;
    in->lip_radius = 0.0;
  }
  EXPECT_THAT(labels(minimal(), mine), ElementsAre("both inlets, edge"));
  mine.shape.inlets.right = minimal().shape.inlets.right;
  EXPECT_THAT(labels(minimal(), mine), ElementsAre("left inlet, edge"));
}

TEST(Details, AreOneForALeakThatDiffersAlikeOnBothSides) {
  VariantSpec mine = minimal();
  const auto leak = [&](shape::LeakPlace place) -> double& {
    return mine.shape.leaks.effective_area[static_cast<std::size_t>(place)];
  };
  leak(shape::LeakPlace::CowlSealLeft) = leak(shape::LeakPlace::CowlSealRight) = 8e-4;
  leak(shape::LeakPlace::RearBaffleLeft) = 2e-4;
  EXPECT_THAT(labels(minimal(), mine), ElementsAre("leak cowl seal, both sides", "leak rear baffle, left"));
  const std::vector<Detail> details = differing_details(minimal(), mine);
  EXPECT_EQ(details[0].words(mine), "8 cm2 (1.24 in2) each");
}

TEST(Details, SayAnInletsEdgeInWords) {
  VariantSpec bare = minimal();
  bare.shape.inlets.left.ring = shape::RingStyle::None;
  bare.shape.inlets.left.lip_radius = 0.0;
  const std::vector<Detail> details = differing_details(minimal(), bare);
  ASSERT_EQ(details.size(), 1U);
  EXPECT_EQ(details[0].words(bare), "a bare hole");
  EXPECT_EQ(details[0].words(minimal()), "a flush ring with 20 mm (0.7874 in) lip radius");
}

TEST(Details, SayNumbersInBothSystemsOfUnits) {
  VariantSpec mine = minimal();
  mine.shape.exit.gap = 0.0508;
  const std::vector<Detail> details = differing_details(minimal(), mine);
  ASSERT_EQ(details.size(), 1U);
  EXPECT_EQ(details[0].label, "exit gap");
  EXPECT_EQ(details[0].words(mine), "50.8 mm (2 in)");
  EXPECT_EQ(details[0].keys[0].toml(mine), "\"50.8 mm\"");
}

TEST(Details, OfALipThatOneOfThemHasNotAreOne) {
  VariantSpec mine = minimal();
  mine.shape.exit.lip_length = 0.0;
  mine.shape.exit.lip_angle = 0.3;
  EXPECT_THAT(labels(minimal(), mine), ElementsAre("exit lip"));
  mine.shape.exit.lip_length = 0.03;
  EXPECT_THAT(labels(minimal(), mine), ElementsAre("exit lip length", "exit lip angle"));
}

TEST(Details, OfPowerTakeTheHeatAlongWhenItIsAShare) {
  VariantSpec mine = minimal();
  mine.propeller.shaft_power *= 2.0;
  for (double& heat : mine.core.heat) heat *= 2.0;
  EXPECT_THAT(labels(minimal(), mine), ElementsAre("shaft power"));
  const VariantSpec same = hybrid(minimal(), mine, differing_details(minimal(), mine), {true});
  EXPECT_NEAR(same.core.heat[0], mine.core.heat[0], 1e-9);
}

TEST(Details, OfPowerLeaveStatedHeatAlone) {
  VariantSpec good = minimal();
  good.core.heat_is_stated = true;
  VariantSpec mine = good;
  mine.propeller.shaft_power *= 2.0;
  EXPECT_THAT(labels(good, mine), ElementsAre("shaft power"));
  const VariantSpec same = hybrid(good, mine, differing_details(good, mine), {true});
  EXPECT_NEAR(same.core.heat[0], good.core.heat[0], 1e-9);
}

TEST(Details, OfAnOilCoolerThatOneOfThemHasNotAreOne) {
  VariantSpec mine = complete();
  mine.shape.oil_cooler.place = shape::CoolerPlace::None;
  mine.oil_cooler.reset();
  EXPECT_THAT(labels(complete(), mine), ElementsAre("oil cooler"));
  EXPECT_THAT(labels(mine, complete()), ElementsAre("oil cooler"));
}

TEST(Details, ForgiveTheRoundingOfUnits) {
  EXPECT_TRUE(is_same(5.25 * 0.0254, 0.13335));
  EXPECT_FALSE(is_same(0.1333, 0.13335));
  EXPECT_TRUE(is_same(0.0, 0.0));
  EXPECT_FALSE(is_same(0.0, 1e-6));
}

}  // namespace
}  // namespace cowlwright::compare
