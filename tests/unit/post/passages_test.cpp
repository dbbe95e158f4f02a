// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cylinders, oil cooler and leaks, worked out by hand from the bay's round numbers (sample_bay.h).
#include "post/quantities/passages.h"

#include "geometry/base/error.h"
#include "post/quantities/grid_family.h"
#include "post/tables/writers.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/csv_text.h"
#include "tests/unit/post/expected_values.h"
#include "tests/unit/post/json_schema.h"
#include "tests/unit/post/sample_bay.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace cowlwright::post {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::ThrowsMessage;
using namespace cowlwright::post::synthetic;

constexpr double specific_heat = 1004.685045;  // 3.5 R, ISO 2533
constexpr double six_digits = 1e-6;            // relative; to which the expected numbers are worked out

void expect_close(const VariantResult& result, const std::string& id, double expected) {
  EXPECT_NEAR(value(result, id), expected, six_digits * std::abs(expected)) << id;
}

VariantResult evaluated() {
  RawResults raw = bay_results();
  add_monitors(raw, bay_manifest(), 400);
  return evaluate(bay_manifest(), raw);
}

// A sound bay: what is heated, cooled and leaks adds up, and no limit is passed.
TEST(Bay, RaisesNoFlag) {
  const VariantResult result = evaluated();
  EXPECT_THAT(result.flags, IsEmpty());
  EXPECT_EQ(result.judgement.status, Status::Settled);
}

// Left half 1200 - 150 = 1050 Pa: 6e-4 sqrt(2 * 1.25 * 1050) = 6e-4 * 51.234754 kg/s; right half 1150 Pa:
// 4e-4 * 53.619026; both 1100 Pa: 9e-4 * 52.440442.
TEST(Leaks, AreComparedWithTheirLawAtTheDeckDifferenceOfTheirSide) {
  const VariantResult result = evaluated();
  expect_value(result, "leak_mass_flow_cowl_seal_left", 0.03);
  expect_close(result, "leak_law_flow_cowl_seal_left", 0.030740852);
  expect_close(result, "leak_flow_ratio_cowl_seal_left", 0.03 / 0.030740852);
  expect_close(result, "leak_law_flow_rear_baffle_right", 0.021447610);
  expect_close(result, "leak_law_flow_crankcase_nose", 0.047196398);
  expect_close(result, "leak_flow_ratio_crankcase_nose", 0.05 / 0.047196398);
}

// 100 Pa more on the right: 5e-4 sqrt(2 * 1.25 * 100) = 7.9056942e-3 kg/s to the left, against the intended
// direction.
TEST(Leaks, ThroughTheCentreWallAreDrivenByTheDifferenceOfTheHalves) {
  const VariantResult result = evaluated();
  expect_value(result, "leak_mass_flow_centre_wall", -0.008);
  expect_close(result, "leak_law_flow_centre_wall", -7.9056942e-3);
  expect_close(result, "leak_flow_ratio_centre_wall", 0.008 / 7.9056942e-3);
}

// 0.05 kg/s by the sample, 1.06 of its law; 0.0655 is 1.39 of it.
TEST(Leaks, FarFromTheirLawAreNoted) {
  EXPECT_THAT(evaluated().notes, Each(Not(HasSubstr("leak / law"))));
  RawResults raw = bay_results();
  raw.fluxes[bay_plane("leak_crankcase_nose")].mass_flow = 0.0655;
  EXPECT_THAT(evaluate(bay_manifest(), raw).notes, Contains(HasSubstr("leak / law, crankcase_nose 1.39")));
}

// 0.03 + 0.02 + 0.05 of 0.60 kg/s: the centre wall joins no decks.
TEST(Leaks, BetweenTheDecksAreSummedWithoutTheCentreWall) {
  const VariantResult result = evaluated();
  expect_value(result, "leak_mass_flow_all", 0.10);
  expect_value(result, "leak_flow_share", 100.0 * 0.10 / 0.60);
  EXPECT_EQ(result.find("leak_mass_flow_all")->basis, Basis::WindowMean);
}

// 0.42 through the cores, 0.08 through the cooler, 0.10 through leaks: 0.60 in and out.
TEST(Bay, BalancesWhatEntersAgainstAllThatJoinsTheDecks) {
  const VariantResult result = evaluated();
  for (const char* id : {"continuity_closure", "core_closure", "core_exit_closure"}) {
    EXPECT_NEAR(value(result, id), 0.0, rounding) << id;
  }
}

// 0.03 kg/s more at an outlet and through the centre wall, which no balance counts.
TEST(Bay, OutletsAndTheCentreWallTakePartInNoMassBalance) {
  RawResults raw = bay_results();
  raw.fluxes[bay_plane("outlet_r1")].mass_flow += 0.03;
  raw.fluxes[bay_plane("leak_centre_wall")].mass_flow += 0.03;
  const VariantResult result = evaluate(bay_manifest(), raw);
  for (const char* id : {"continuity_closure", "core_closure", "core_exit_closure"}) {
    EXPECT_NEAR(value(result, id), 0.0, rounding) << id;
  }
}

// 0.012 kg/s of 0.60 go another way: 2 %, limit 1 %.
TEST(Bay, ALeakThatTheManifestDoesNotKnowIsFlagged) {
  RawResults raw = bay_results();
  raw.fluxes[bay_plane("leak_crankcase_nose")].mass_flow -= 0.012;
  EXPECT_THAT(evaluate(bay_manifest(), raw).flags, Contains(HasSubstr("inlets to cores +2.00 %")));
}

// l1 0.15 + 0.05, r1 0.16 + 0.06: spread 0.02 / 0.21.
TEST(Cylinders, AddHeadAndBarrel) {
  const VariantResult result = evaluated();
  expect_value(result, "core_mass_flow_core_l1_head", 0.15);
  expect_value(result, "core_mass_flow_core_r1_barrel", 0.06);
  expect_value(result, "cylinder_mass_flow_l1", 0.20);
  expect_value(result, "cylinder_mass_flow_r1", 0.22);
  expect_value(result, "core_mass_flow_spread", 100.0 * 0.02 / 0.21);
}

TEST(Cylinders, ThatAreNotSplitAreReportedOnce) {
  EXPECT_EQ(evaluate(sample_manifest(), sample_results()).find("cylinder_mass_flow_core_l1"), nullptr);
}

// Free stream 300 + 50²/(2 cp) = 301.244171 K. l1: (0.15 * 40 + 0.05 * 20) / 0.20 = 35 K above it; r1 40 K.
TEST(Cylinders, OutletAirIsWeightedWithTheFlowOfHeadAndBarrel) {
  const VariantResult result = evaluated();
  expect_close(result, "cylinder_outlet_temperature_l1", 301.244171 + 35.0 - 273.15);
  expect_close(result, "cylinder_outlet_temperature_r1", 301.244171 + 40.0 - 273.15);
  expect_close(result, "cylinder_outlet_spread", 5.0);
}

// cp * 0.20 * 35 = 7032.7953 W of 7000; cp * 0.22 * 40 = 8841.2284 W of 9000.
TEST(Cylinders, HeatClosesOneByOne) {
  const VariantResult result = evaluated();
  expect_close(result, "heat_closure_l1", 100.0 * (7000.0 - specific_heat * 7.0) / 7000.0);
  expect_close(result, "heat_closure_r1", 100.0 * (9000.0 - specific_heat * 8.8) / 9000.0);
}

// Air that comes in 1 K warmer carries off 0.20 kg/s * 1 K less.
TEST(Cylinders, HeatIsCountedFromTheInletsMean) {
  RawResults raw = bay_results();
  raw.fields.planes[bay_plane("inlet_left")].temperature_excess_flow = 0.24;
  raw.fields.planes[bay_plane("inlet_right")].temperature_excess_flow = 0.36;
  expect_close(
      evaluate(bay_manifest(), raw), "heat_closure_l1", 100.0 * (7000.0 - specific_heat * 6.8) / 7000.0);
}

// 2 % of energy allowed on the whole, 4 % on a cylinder: 9000 W stated, 8.8 kg K/s carry 8841 W; 8.5 carry
// 8540 W, 5.1 % less.
TEST(Cylinders, HeatThatDoesNotArriveBehindOneIsFlagged) {
  RawResults raw = bay_results();
  raw.fields.planes[bay_plane("outlet_r1")].upwind_excess_flow = 8.5;
  EXPECT_THAT(evaluate(bay_manifest(), raw).flags,
              Contains(AllOf(HasSubstr("heat closure, r1 +5.11 %: limit 4.00 %"), HasSubstr("behind it"))));
}

TEST(Cylinders, WithoutOutletPlaneThereIsNoOutletTemperature) {
  base::Manifest manifest = bay_manifest();
  for (base::PassageRecord& passage : manifest.passages) {
    passage.outlet = passage.cylinder == "l1" ? passage.outlet : "";
  }
  const VariantResult result = evaluate(manifest, bay_results());
  EXPECT_NE(result.find("cylinder_outlet_temperature_l1"), nullptr);
  for (const char* id : {"cylinder_outlet_temperature_r1",
                         "cylinder_outlet_spread",
                         "heat_closure_r1",
                         "cooler_outlet_temperature",
                         "cooler_temperature_rise"}) {
    EXPECT_EQ(result.find(id), nullptr) << id;
  }
}

// The barrel's outlet alone would be of a part of the air.
TEST(Cylinders, OfWhichOnlyAPartHasAnOutletHaveNoOutletTemperature) {
  base::Manifest manifest = bay_manifest();
  manifest.passages[0].outlet.clear();
  EXPECT_EQ(evaluate(manifest, bay_results()).find("cylinder_outlet_temperature_l1"), nullptr);
}

// On balance 0.01 kg/s come back through the outlet: a mean weighted with that means nothing.
TEST(Cylinders, ThroughWhichAirComesBackHaveNoOutletTemperatureAndANote) {
  RawResults raw = bay_results();
  raw.fluxes[bay_plane("outlet_r1")].mass_flow = -0.01;
  const VariantResult result = evaluate(bay_manifest(), raw);
  EXPECT_EQ(result.find("cylinder_outlet_temperature_r1"), nullptr);
  EXPECT_EQ(result.find("cylinder_outlet_spread"), nullptr);
  EXPECT_THAT(result.notes, Contains(HasSubstr("outlet air, r1 cannot be formed")));
  EXPECT_THAT(result.flags, Contains(HasSubstr("heat closure, r1 cannot be formed")));
}

// 0.08 kg/s of 0.60, 30 K warmer; cp * 0.08 * 30 = 2411.2441 W of 2400.
TEST(OilCooler, ReportsFlowShareRiseAndOutletTemperature) {
  const VariantResult result = evaluated();
  expect_value(result, "cooler_mass_flow", 0.08);
  expect_value(result, "cooler_flow_share", 100.0 * 0.08 / 0.60);
  expect_value(result, "cooler_heat", 2.4);
  expect_close(result, "cooler_temperature_rise", 30.0);
  expect_close(result, "cooler_outlet_temperature", 301.244171 + 30.0 - 273.15);
  expect_close(result, "heat_closure_oil_cooler", 100.0 * (2400.0 - specific_heat * 2.4) / 2400.0);
}

// 16 kW in the cores, 2.4 kW in the cooler; the exit carries 18.2 kg K/s * cp = 18.2853 kW.
TEST(Bay, ClosesItsEnergyWithTheOilCoolersHeat) {
  const VariantResult result = evaluated();
  expect_value(result, "heat", 16.0);
  expect_close(result, "energy_closure", 100.0 * (18400.0 - specific_heat * 18.2) / 18400.0);
}

// 50 * 1.25 * 4² = 1000 Pa in every core, of 1100; the cooler's and the leaks' laws would give far more.
TEST(Bay, TheCoreLawsShareIsOfTheCoresAlone) {
  const VariantResult result = evaluated();
  expect_value(result, "core_law_pressure_drop", 1000.0);
  expect_value(result, "core_law_share", 100.0 / 1.1);
}

TEST(Passages, WithoutTheirPlanesAreRefusedTogether) {
  base::Manifest manifest = bay_manifest();
  EXPECT_NO_THROW(check_passages(manifest));
  manifest.passages[0].plane = "core_l9";
  manifest.passages[4].outlet = "exit";  // not an outlet of a passage
  EXPECT_THAT([&] { check_passages(manifest); },
              ThrowsMessage<base::ResultError>(AllOf(HasSubstr("passage core_l1_head: its plane 'core_l9'"),
                                                     HasSubstr("passage oil_cooler: its outlet 'exit'"),
                                                     HasSubstr("Prepare the case again"))));
}

// Each grid is held to its own closures; temperatures converge.
TEST(Bay, ClosuresOfHeatAreNotComparedOverGrids) {
  std::vector<VariantResult> results(3, evaluated());
  for (std::size_t i = 0; i < results.size(); ++i) {
    results[i].manifest.grid_level = std::array{"medium", "coarse", "draft"}[i];
    results[i].manifest.cell_size = std::array{0.01, 0.02, 0.04}[i];
    results[i].manifest.n_grids = 3;
  }
  const std::vector<VariantResult> rows = group_grids(std::move(results));
  ASSERT_EQ(rows.size(), 1U);
  EXPECT_TRUE(rows[0].find("cylinder_outlet_temperature_l1")->grids.has_value());
  EXPECT_FALSE(rows[0].find("heat_closure_l1")->grids.has_value());
}

// 301.244171 + 35 - 273.15 = 63.094171 degC; 0.03 kg/s.
TEST(Bay, IsInTheSpreadsheetWithUnitsAndLimits) {
  const std::string csv = summary_csv(Comparison({evaluated()}));
  EXPECT_EQ(csv_field(csv, 1, "leak, cowl_seal_left [kg/s]"), "0.03");
  EXPECT_EQ(csv_field(csv, 1, "outlet air, l1 [degC]"), "63.094171");
  EXPECT_EQ(csv_field(csv, 1, "heat closure, l1 limit [%]"), "4");
  EXPECT_EQ(csv_field(csv, 1, "heat closure, l1 exceeded"), "no");
}

TEST(Bay, KeepsToTheSchemaOfResults) {
  const auto document = nlohmann::json::parse(results_json(Comparison({evaluated()})));
  EXPECT_THAT(schema_violations(document), IsEmpty());
}

TEST(Bay, FitsTheTerminalWithEveryLeakInIt) {
  std::vector<VariantResult> results(3, evaluated());
  for (std::size_t i = 0; i < results.size(); ++i) {
    results[i].manifest.variant = "variant_" + std::to_string(i);
    results[i].manifest.variant_index = static_cast<int>(i);
    results[i].manifest.is_baseline = i == 0;
  }
  const std::string text = screen_table(Comparison(std::move(results)));
  for (const std::string& line : lines_of(text)) {
    EXPECT_LE(line.size() - static_cast<std::size_t>(std::count(line.begin(), line.end(), '\xC2')), 110U)
        << line;
  }
  EXPECT_THAT(lines_of(text), Contains("Leak mass flow"));
  EXPECT_THAT(lines_of(text), Contains("Cylinders"));
}

}  // namespace
}  // namespace cowlwright::post
