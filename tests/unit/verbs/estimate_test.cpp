// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/starter.h"
#include "cases/verbs/estimate_values.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "post/quantities/pressure_budget.h"
#include "post/tables/answer.h"
#include "post/tables/writers.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <fstream>

namespace cowlwright::verbs {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

std::string starter_with(const std::string& more) {
  return starter_study_text() + more;
}

post::VariantResult estimated(const Study& study, std::size_t index) {
  const VariantSpec& spec = study.variants.at(index);
  const network::Model model(spec, network::default_coefficients(spec));
  return estimate_result(
      study,
      index,
      model,
      network::estimate(model, network::stated_condition(spec), network::Route::Tabulated));
}

/// The starter study's first two variants: another lip angle, all else alike.
const post::Comparison& comparison() {
  static const post::Comparison both = [] {
    const Study study = parse_study(starter_study_text(), "starter.toml");
    std::vector<post::VariantResult> results;
    results.push_back(estimated(study, 0));
    results.push_back(estimated(study, 1));
    return post::Comparison(std::move(results));
  }();
  return both;
}

double value(std::string_view id) {
  const post::Quantity* found = comparison().variants.front().find(id);
  EXPECT_NE(found, nullptr) << id;
  return found == nullptr ? std::nan("") : found->value;
}

TEST(EstimateResult, IsAnEstimateAndNeverSettled) {
  const post::VariantResult& variant = comparison().variants.front();
  EXPECT_EQ(base::status_name(variant.judgement.status), "estimate");
  EXPECT_EQ(variant.discretisation, "no grid: lumped network");
  EXPECT_TRUE(variant.flags.empty());
}

TEST(EstimateResult, FollowsTheVocabularysDefinitions) {
  EXPECT_NEAR(
      value("deck_pressure_difference"), value("upper_deck_pressure") - value("lower_deck_pressure"), 1e-9);
  EXPECT_NEAR(
      value("inlet_mass_flow"), value("inlet_mass_flow_left") + value("inlet_mass_flow_right"), 1e-12);
  EXPECT_NEAR(value("inlet_mass_flow"), value("exit_mass_flow"), 1e-9);
  EXPECT_NEAR(value("cylinders_mass_flow"), 4.0 * value("core_mass_flow_core_l1"), 1e-9);
  // 37.5 kW of the study, c_p 1004.685 J/(kg K).
  EXPECT_NEAR(value("temperature_rise"), 37.5e3 / (1004.685 * value("exit_mass_flow")), 0.01);
  EXPECT_NEAR(value("heat"), 37.5, 1e-9);
}

TEST(EstimateResult, GivesEveryFlowABandOfItsCoefficients) {
  for (const post::Quantity& quantity : comparison().variants.front().quantities) {
    if (quantity.basis != post::Basis::Estimate) continue;
    if (quantity.id == "propeller_thrust") continue;  // of the blade elements alone
    EXPECT_EQ(post::contents_name(post::band_contents(quantity)), "coefficients") << quantity.id;
    EXPECT_GT(quantity.half_band.value_or(0.0), 0.0) << quantity.id;
  }
  EXPECT_GT(*comparison().variants.front().find("deck_pressure_difference")->half_band, 1.0);
}

TEST(EstimateResult, BudgetAddsUpToNothing) {
  const auto steps = post::pressure_budget(comparison().variants.front());
  ASSERT_TRUE(steps.has_value());
  double sum = 0.0;
  for (const post::BudgetStep& step : *steps) sum += step.change;
  EXPECT_NEAR(sum, 0.0, 1e-9);
}

// The variants share all coefficients but those of the exit, so their difference is surer than the plain sum
// of both bands.
TEST(EstimateComparison, SharedCoefficientsCancelInTheDifference) {
  const post::ComparisonRow* row = comparison().find("deck_pressure_difference");
  ASSERT_NE(row, nullptr);
  const auto difference = comparison().difference_in(*row, 1);
  ASSERT_TRUE(difference && difference->band);
  EXPECT_EQ(difference->contents, post::BandContents::Coefficients);
  EXPECT_LT(*difference->band, *row->values[0]->half_band + *row->values[1]->half_band);
}

TEST(EstimateComparison, SentencesSayThatTheyRestOnAnEstimate) {
  const post::Answer answer = post::answer_of(comparison());
  EXPECT_EQ(answer.standing, post::Standing::WithReservations);
  EXPECT_THAT(answer.reasons, testing::Contains(HasSubstr("rest on an estimate")));
}

TEST(EstimateTables, CarryStatusBandsCoefficientsAndCautions) {
  const std::string markdown = post::summary_markdown(comparison());
  EXPECT_THAT(markdown,
              AllOf(HasSubstr("estimate"),
                    HasSubstr("no grid: lumped network"),
                    HasSubstr("## Coefficients"),
                    HasSubstr("exit pressure coefficient"),
                    HasSubstr("Idelchik, diagram 3-4 b"),
                    HasSubstr("not an approval")));
  EXPECT_THAT(post::screen_table(comparison()),
              AllOf(HasSubstr("deck pressure difference [Pa]"), HasSubstr("±")));
  EXPECT_THAT(post::summary_csv(comparison()), HasSubstr("difference band contains"));
  EXPECT_THAT(post::summary_tidy_csv(comparison()), HasSubstr(",coefficients,estimate,"));
}

TEST(EstimateTables, JsonNamesTheProgramAndHasNoIterations) {
  const auto json = nlohmann::json::parse(post::results_json(comparison()));
  EXPECT_THAT(json.at("written_by").get<std::string>(), HasSubstr("cowlwright "));
  const auto& variant = json.at("variants").at(0);
  EXPECT_EQ(variant.at("status"), "estimate");
  EXPECT_TRUE(variant.at("fields_iteration").is_null());
  EXPECT_TRUE(variant.at("cells").is_null());
  EXPECT_GT(variant.at("coefficients").size(), 4u);
}

TEST(EstimateSection, NamesAnUnknownKeyAndAMissingFile) {
  EXPECT_THAT([] { parse_study(starter_with("\n[estimate]\nsolved_flux = \"a.json\"\n"), "s.toml"); },
              ThrowsMessage<base::InputError>(
                  HasSubstr("unknown key [estimate] solved_flux. Did you mean solved_flow?")));
  EXPECT_THAT(
      [] { parse_study(starter_with("\n[estimate]\nsolved_flow = \"none.json\"\n"), "s.toml"); },
      ThrowsMessage<base::InputError>(HasSubstr("[estimate] solved_flow = \"none.json\": no such file")));
}

TEST(EstimateVerb, WritesTheFourFilesOfASummary) {
  const testing_support::ScratchFolder scratch;
  std::ofstream(scratch.path() / "study.toml") << starter_study_text();
  testing::internal::CaptureStdout();
  const int code = estimate_study({(scratch.path() / "study.toml").string(),
                                   "-o",
                                   (scratch.path() / "out").string(),
                                   "--variant",
                                   "lip_angle_0_deg"});
  const std::string printed = testing::internal::GetCapturedStdout();
  EXPECT_EQ(code, 0);
  EXPECT_THAT(printed, HasSubstr("Written: "));
  for (const char* name : {"summary.md", "summary.csv", "summary_tidy.csv", "results.json"}) {
    EXPECT_TRUE(std::filesystem::is_regular_file(scratch.path() / "out" / name)) << name;
  }
}

}  // namespace
}  // namespace cowlwright::verbs
