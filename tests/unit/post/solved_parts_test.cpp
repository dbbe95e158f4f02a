// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a case hands to the quick estimate, worked out by hand from the bay's round numbers (sample_bay.h),
// and the file it goes into.
#include "post/quantities/solved_parts.h"

#include "geometry/base/text_file.h"
#include "post/report/embedded.h"
#include "post/tables/solved_flow_file.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/json_schema.h"
#include "tests/unit/post/sample_bay.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::post {
namespace {

using namespace cowlwright::post::synthetic;
using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing_support::ScratchFolder;

constexpr double rounding = 1e-9;

base::Manifest surveyed_manifest() {
  base::Manifest manifest = bay_manifest();
  for (const base::Side side : {base::Side::Left, base::Side::Right}) {
    base::PlaneRecord& disc = manifest.surveys.emplace_back();
    disc.name = side == base::Side::Left ? "ahead_of_inlet_left" : "ahead_of_inlet_right";
    disc.side = side;
    disc.area = 0.01;
  }
  return manifest;
}

/// +1500 Pa ahead of the left inlet, +1600 Pa ahead of the right one.
RawResults surveyed_results() {
  RawResults raw = bay_results();
  for (const double pressure : {91500.0, 91600.0}) {
    SurveyMean mean;
    mean.survey = "disc";
    mean.n_points = 100;
    mean.axial_velocity = 50.0;
    mean.total_pressure = pressure;
    raw.fields.surveys.push_back(mean);
  }
  return raw;
}

VariantResult bay(const RawResults& raw = surveyed_results()) {
  return evaluate(surveyed_manifest(), raw);
}

const base::SolvedPassage& passage(const base::SolvedCase& one, const std::string& name) {
  return *std::find_if(
      one.passages.begin(), one.passages.end(), [&](const base::SolvedPassage& p) { return p.name == name; });
}

// v = 0.24 / (1.25 x 0.02) = 9.6 m/s, 0.192 of 50 m/s; head 57.6 Pa; 1500 - 1200 = 300 Pa lost.
TEST(SolvedParts, InletLossIsOnTheThroatsDynamicPressure) {
  const base::SolvedCase one = bay().solved.parts.value();
  ASSERT_EQ(one.inlets.size(), 2U);
  EXPECT_EQ(one.inlets[0].side, base::Side::Left);
  EXPECT_NEAR(one.inlets[0].mass_flow, 0.24, rounding);
  EXPECT_NEAR(one.inlets[0].velocity_ratio, 0.192, rounding);
  EXPECT_NEAR(one.inlets[0].total_pressure_ahead, 1500.0, rounding);
  EXPECT_NEAR(one.inlets[0].deck_pressure, 1200.0, rounding);
  EXPECT_NEAR(one.inlets[0].loss, 300.0 / 57.6, rounding);
  EXPECT_NEAR(one.inlets[0].recovery, 1230.0 / 1500.0, rounding);
  EXPECT_EQ(one.inlets[1].side, base::Side::Right);
  // v = 0.36 / 0.025 = 14.4 m/s, head 129.6 Pa, 1600 - 1300 Pa.
  EXPECT_NEAR(one.inlets[1].loss, 300.0 / 129.6, rounding);
}

TEST(SolvedParts, PassagesHaveTheDropOfTheirSide) {
  const base::SolvedCase one = bay().solved.parts.value();
  EXPECT_NEAR(passage(one, "l1_head").mass_flow, 0.15, rounding);
  EXPECT_NEAR(passage(one, "l1_head").pressure_drop, 1050.0, rounding);
  EXPECT_NEAR(passage(one, "r1_barrel").pressure_drop, 1150.0, rounding);
  EXPECT_NEAR(passage(one, "oil_cooler").mass_flow, 0.08, rounding);
  EXPECT_NEAR(passage(one, "leak_crankcase_nose").pressure_drop, 1100.0, rounding);
}

// 0.03 / sqrt(2 x 1.25 x 1050); through the centre wall -0.008 kg/s under 1200 - 1300 = -100 Pa.
TEST(SolvedParts, LeaksHaveTheAreaTheyWereFoundToHave) {
  const base::SolvedCase one = bay().solved.parts.value();
  EXPECT_NEAR(passage(one, "leak_cowl_seal_left").effective_area, 0.03 / std::sqrt(2625.0), rounding);
  EXPECT_NEAR(passage(one, "leak_centre_wall").pressure_drop, -100.0, rounding);
  EXPECT_NEAR(passage(one, "leak_centre_wall").effective_area, 0.008 / std::sqrt(250.0), rounding);
  EXPECT_FALSE(passage(one, "leak_centre_wall").joins_decks);
  EXPECT_DOUBLE_EQ(passage(one, "oil_cooler").effective_area, 0.0);
}

// 150 - (-300) = 450 Pa; q + thrust / disk = 1500 + 1000 / pi.
TEST(SolvedParts, ExitHasItsDischargeAndPressureOverTheSlipstream) {
  const base::SolvedCase one = bay().solved.parts.value();
  EXPECT_NEAR(one.disk_loading, 1000.0 / std::numbers::pi, 1e-6);
  EXPECT_NEAR(one.exit.discharge, 0.6 / (0.05 * std::sqrt(2.0 * 1.25 * 450.0)), rounding);
  EXPECT_NEAR(one.exit.pressure_coefficient, -300.0 / (1500.0 + 1000.0 / std::numbers::pi), rounding);
  EXPECT_NEAR(one.exit.temperature_rise, 18.2 / 0.6, rounding);
  EXPECT_NEAR(one.deck_pressure_difference, 1100.0, rounding);
}

TEST(SolvedParts, NameWhatACaseLacks) {
  RawResults raw = surveyed_results();
  raw.fields.surveys[1].n_outside = 3;
  raw.fields.planes[bay_plane("exit")].static_pressure = 90200.0;  // above the lower deck's
  const VariantResult result = bay(raw);
  EXPECT_FALSE(result.solved.parts.has_value());
  EXPECT_THAT(result.solved.missing,
              AllOf(Contains("whole survey disc ahead of the right inlet"),
                    Contains("fall of pressure from the lower deck to the exit plane")));
  EXPECT_THAT(result.solved.missing, Not(Contains(HasSubstr("left inlet"))));
}

TEST(SolvedParts, CarryStatusFlagsAndBands) {
  VariantResult result = bay();
  result.judgement.status = Status::NotSettled;
  result.flags = {"something is wrong"};
  set_value(result, "inlet_mass_flow_left", 0.24, 0.0024);
  set_value(result, "upper_deck_pressure_left", 1200.0, 6.0);
  set_value(result, "deck_pressure_difference", 1100.0, 7.0);
  const base::SolvedCase one = complete_case(result);
  EXPECT_EQ(one.status, "not settled");
  EXPECT_THAT(one.flags, testing::ElementsAre("something is wrong"));
  EXPECT_NEAR(one.inlets[0].mass_flow_band, 0.01, rounding);
  // Twice 1 % of the flow, and 6 of the 300 Pa lost.
  EXPECT_NEAR(one.inlets[0].loss_band, one.inlets[0].loss * (0.02 + 0.02), rounding);
  EXPECT_NEAR(one.deck_pressure_band, 7.0, rounding);
  EXPECT_FALSE(one.bands_hold_grids);
}

class SolvedFlowFile : public testing::Test {
 protected:
  static VariantResult named(const std::string& name) {
    VariantResult result = bay();
    result.manifest.variant = name;
    result.provenance.study_text = "[study]\n";
    result.manifest.study_hash = base::sha256("[study]\n");
    return result;
  }
  static Comparison comparison(std::vector<VariantResult> results) { return Comparison(std::move(results)); }
  std::filesystem::path file() const { return folder_.path() / base::solved_flow_file_name; }

  ScratchFolder folder_;
};

TEST_F(SolvedFlowFile, HoldsTheCasesAndKeepsToItsSchema) {
  std::vector<VariantResult> results;
  results.push_back(named("base"));
  results.push_back(named("lip"));
  results.back().manifest.is_baseline = false;
  const std::string said = write_solved_flow(comparison(std::move(results)), folder_.path());
  EXPECT_THAT(said, HasSubstr("solved_flow.json"));
  const base::SolvedFlow flow = base::read_solved_flow(file());
  ASSERT_EQ(flow.cases.size(), 2U);
  EXPECT_EQ(flow.study_text, "[study]\n");
  EXPECT_NEAR(flow.cases[0].exit.mass_flow, 0.6, rounding);
  const auto document = nlohmann::json::parse(base::read_text(file()));
  EXPECT_THAT(schema_violations(document, COWLWRIGHT_SOLVED_FLOW_SCHEMA), IsEmpty());
  auto damaged = document;
  damaged["cases"][0]["exit"].erase("density");
  EXPECT_THAT(schema_violations(damaged, COWLWRIGHT_SOLVED_FLOW_SCHEMA), Not(IsEmpty()));
}

TEST_F(SolvedFlowFile, SaysWhichCasesAreLeftOutAndLeavesOutClosedOnesSilently) {
  std::vector<VariantResult> results;
  results.push_back(named("base"));
  results.push_back(named("broken"));
  results.back().solved = {std::nullopt, {"left inlet"}};
  results.push_back(named("shut"));
  results.back().manifest.is_reference = true;
  const std::string said = write_solved_flow(comparison(std::move(results)), folder_.path());
  EXPECT_THAT(said, HasSubstr("leaves out broken: lacks left inlet"));
  EXPECT_THAT(said, Not(HasSubstr("shut")));
  EXPECT_EQ(base::read_solved_flow(file()).cases.size(), 1U);
}

TEST_F(SolvedFlowFile, IsNotWrittenWithoutTheStudysTextAndAnOldOneGoes) {
  base::write_text(file(), "old");
  std::vector<VariantResult> results;
  results.push_back(named("base"));
  results.back().provenance.study_text.clear();
  EXPECT_THAT(write_solved_flow(comparison(std::move(results)), folder_.path()),
              AllOf(HasSubstr("No solved_flow.json"), HasSubstr("has changed since")));
  EXPECT_FALSE(std::filesystem::exists(file()));
}

TEST_F(SolvedFlowFile, IsNotWrittenOfUnlikeStudiesOrWithoutAnyWholeCase) {
  std::vector<VariantResult> results;
  results.push_back(named("base"));
  results.push_back(named("other"));
  results.back().manifest.study_hash = "another";
  EXPECT_THAT(write_solved_flow(comparison(std::move(results)), folder_.path()), HasSubstr("unlike studies"));
  std::vector<VariantResult> lacking;
  lacking.push_back(named("base"));
  lacking.back().solved = {std::nullopt, {"exit"}};
  EXPECT_THAT(write_solved_flow(comparison(std::move(lacking)), folder_.path()),
              HasSubstr("base: lacks exit"));
  EXPECT_FALSE(std::filesystem::exists(file()));
}

TEST(Embedded, HasTheSchemaOfSolvedFlowsWhole) {
  EXPECT_EQ(solved_flow_schema(), base::read_text(COWLWRIGHT_SOLVED_FLOW_SCHEMA));
}

}  // namespace
}  // namespace cowlwright::post
