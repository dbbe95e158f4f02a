// SPDX-License-Identifier: GPL-3.0-or-later
//
// The four forms of the summary: what they must say, in all of them, and how they are laid out.
#include "post/tables/statements.h"
#include "post/tables/writers.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/csv_text.h"
#include "tests/unit/post/json_schema.h"
#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <sstream>

namespace cowlwright::post {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing_support::ScratchFolder;
using namespace cowlwright::post::synthetic;

VariantResult failed_variant() {
  VariantResult result;
  result.manifest = sample_manifest();
  result.manifest.variant = "broken";
  result.manifest.is_baseline = false;
  result.manifest.variant_index = 2;
  result.case_dir = "broken";
  result.judgement = {Status::Failed, "no results yet"};
  return result;
}

/// Baseline at 1100 +- 10 Pa; a lip at 1210 +- 20 Pa, flagged for closure.
std::vector<VariantResult> two_variants() {
  std::vector<VariantResult> results{sample_variant("none", true), sample_variant("30 deg", false)};
  set_value(results[0], "deck_pressure_difference", 1100.0, 10.0);
  set_value(results[1], "deck_pressure_difference", 1210.0, 20.0);
  return results;
}

std::string line_with(const std::string& text, const std::string& words) {
  for (const std::string& line : lines_of(text)) {
    if (line.find(words) != std::string::npos) {
      return line;
    }
  }
  return "no line with " + words;
}

// 1210 - 1100 = 110 Pa, 10 %.
TEST(Difference, IsAbsoluteAndRelativeToTheBaseline) {
  const std::vector<VariantResult> results = two_variants();
  const auto found =
      difference(results[0].find("deck_pressure_difference"), results[1].find("deck_pressure_difference"));
  ASSERT_TRUE(found.has_value());
  EXPECT_NEAR(found->absolute, 110.0, 1e-9);
  EXPECT_NEAR(found->relative.value(), 0.1, 1e-12);
  EXPECT_FALSE(found->within_bands);
}

TEST(Difference, SmallerThanBothBandsTogetherIsNone) {
  std::vector<VariantResult> results = two_variants();
  set_value(results[1], "deck_pressure_difference", 1125.0, 20.0);  // 25 < 10 + 20
  EXPECT_TRUE(
      difference(results[0].find("deck_pressure_difference"), results[1].find("deck_pressure_difference"))
          ->within_bands);
}

TEST(Difference, OfSharesIsInPointsOnly) {
  const std::vector<VariantResult> results = two_variants();
  EXPECT_FALSE(difference(results[0].find("inlet_imbalance"), results[1].find("inlet_imbalance"))
                   ->relative.has_value());
}

TEST(Comparison, PutsVariantsOfOneStudyIntoItsOrder) {
  std::vector<VariantResult> results = two_variants();
  std::swap(results[0], results[1]);
  const Comparison comparison(std::move(results));
  EXPECT_THAT(comparison.labels, ElementsAre("none", "30 deg"));
  EXPECT_EQ(comparison.baseline, 0U);
}

TEST(Comparison, WithoutBaselineTheFirstGivenIsIt) {
  std::vector<VariantResult> results = two_variants();
  results[0].manifest.is_baseline = false;
  results[0].manifest.study_hash = "another";
  std::swap(results[0], results[1]);
  const Comparison comparison(std::move(results));
  EXPECT_EQ(comparison.labels[comparison.baseline], "30 deg");
  EXPECT_THAT(comparison.notes, Contains(HasSubstr("not of one and the same study file")));
}

TEST(Comparison, NotesUnequalGrids) {
  std::vector<VariantResult> results = two_variants();
  results[1].manifest.grid_level = "fine";
  EXPECT_THAT(Comparison(std::move(results)).notes, Contains(HasSubstr("grid levels differ")));
}

TEST(Comparison, NotesAFailedBaselineAndShowsNoDifferences) {
  std::vector<VariantResult> results;
  results.push_back(failed_variant());
  results.back().manifest.is_baseline = true;
  results.back().manifest.variant_index = 0;
  results.push_back(sample_variant("30 deg", false));
  const Comparison comparison(std::move(results));
  EXPECT_THAT(comparison.notes, Contains(HasSubstr("baseline broken has failed")));
  EXPECT_FALSE(comparison.difference_in(comparison.rows.front(), 1).has_value());
}

TEST(Comparison, TellsVariantsOfOneNameApartByTheirFolder) {
  std::vector<VariantResult> results = two_variants();
  results[1].manifest.variant = "none";
  EXPECT_THAT(Comparison(std::move(results)).labels, ElementsAre("none (none)", "none (30 deg)"));
}

struct Form {
  std::string name;
  std::function<std::string(const Comparison&)> write;
};

class EveryForm : public ::testing::TestWithParam<Form> {};

TEST_P(EveryForm, CarriesAllCautionsAndTheGridStatement) {
  // Line breaks of the terminal's table are taken out: the words count.
  const std::string text = unwrapped(GetParam().write(Comparison(two_variants())));
  for (const std::string_view caution : cautions) {
    EXPECT_THAT(text, HasSubstr(std::string(caution)));
  }
  EXPECT_THAT(text, HasSubstr("discretisation error unknown"));
}

TEST_P(EveryForm, FlagsARowWhoseClosureExceedsItsTolerance) {
  std::vector<VariantResult> results = two_variants();
  EXPECT_THAT(GetParam().write(Comparison(results)), Not(HasSubstr("continuity closure +2.00 %")));
  results[1].flags.emplace_back("continuity closure +2.00 %: limit 1.00 %; the flows do not balance");
  EXPECT_THAT(GetParam().write(Comparison(std::move(results))), HasSubstr("continuity closure +2.00 %"));
}

TEST_P(EveryForm, ShowsAFailedVariantWithItsReason) {
  std::vector<VariantResult> results = two_variants();
  results.push_back(failed_variant());
  EXPECT_THAT(GetParam().write(Comparison(std::move(results))),
              AllOf(HasSubstr("failed"), HasSubstr("no results yet")));
}

TEST_P(EveryForm, NamesStatusOfEveryVariant) {
  std::vector<VariantResult> results = two_variants();
  results[1].judgement = {Status::Oscillating, "widest half band 3.00 %"};
  EXPECT_THAT(GetParam().write(Comparison(std::move(results))),
              AllOf(HasSubstr("settled"), HasSubstr("oscillating"), HasSubstr("widest half band 3.00 %")));
}

INSTANTIATE_TEST_SUITE_P(Tables,
                         EveryForm,
                         ::testing::Values(Form{"csv", summary_csv},
                                           Form{"markdown", summary_markdown},
                                           Form{"json", results_json},
                                           Form{"screen", screen_table}),
                         [](const auto& form) { return form.param.name; });

TEST(Csv, HasOneRowPerVariantAndAUnitInEveryNumbersHeader) {
  const std::string csv = summary_csv(Comparison(two_variants()));
  EXPECT_EQ(lines_of(csv).size(), 3U);
  EXPECT_EQ(csv_field(csv, 1, "variant"), "none");
  EXPECT_EQ(csv_field(csv, 2, "deck pressure difference [Pa]"), "1210");
  EXPECT_EQ(csv_field(csv, 2, "deck pressure difference half band [Pa]"), "20");
  EXPECT_EQ(csv_field(csv, 1, "inlet mass flow, left [kg/s]"), "0.4");
  EXPECT_EQ(csv_field(csv, 2, "is baseline"), "no");
  EXPECT_EQ(csv_field(csv, 1, "flagged"), "no");
}

TEST(Csv, NamesWhatIsOfTheLastIterationOnly) {
  const std::string csv = summary_csv(Comparison(two_variants()));
  EXPECT_THAT(
      csv_field(csv, 1, "last iteration only"),
      AllOf(
          HasSubstr("exit pressure coefficient"), Not(HasSubstr("exit mass flow")), Not(HasSubstr("heat"))));
}

TEST(Csv, FailedVariantHasEmptyNumbersAndIsFlagged) {
  std::vector<VariantResult> results = two_variants();
  results.push_back(failed_variant());
  const std::string csv = summary_csv(Comparison(std::move(results)));
  EXPECT_EQ(csv_field(csv, 3, "deck pressure difference [Pa]"), "");
  EXPECT_EQ(csv_field(csv, 3, "status"), "failed");
  EXPECT_EQ(csv_field(csv, 3, "flagged"), "yes");
}

TEST(Csv, QuotesCommasAndDoublesQuotes) {
  std::vector<VariantResult> results = two_variants();
  results[0].manifest.study = "Lips, \"long\" and short";
  EXPECT_THAT(summary_csv(Comparison(std::move(results))), HasSubstr("\n\"Lips, \"\"long\"\" and short\","));
}

TEST(Screen, NeedsNoMoreThan110ColumnsForThreeVariants) {
  std::vector<VariantResult> results = two_variants();
  results.push_back(sample_variant("45 deg", false));
  set_value(results[2], "upper_deck_pressure", -12345.6, 1234.5);
  results[2].notes.push_back(std::string(40, 'x') + " " + std::string(40, 'y') + " " + std::string(60, 'z'));
  for (const std::string& line : lines_of(screen_table(Comparison(std::move(results))))) {
    const auto n_continuation = std::count_if(
        line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; });
    EXPECT_LE(line.size() - static_cast<std::size_t>(n_continuation), 110U) << line;
  }
}

TEST(Screen, ShowsValueBandAndDifference) {
  EXPECT_THAT(line_with(screen_table(Comparison(two_variants())), "deck pressure difference [Pa]"),
              AllOf(HasSubstr("1100.0 ±10.0"), HasSubstr("1210.0 ±20.0"), HasSubstr("+10.0 %")));
}

TEST(Screen, PutsADifferenceWithinTheBandsIntoParentheses) {
  std::vector<VariantResult> results = two_variants();
  set_value(results[1], "deck_pressure_difference", 1111.0, 20.0);
  EXPECT_THAT(line_with(screen_table(Comparison(std::move(results))), "deck pressure difference [Pa]"),
              HasSubstr("(+1.0 %)"));
}

TEST(Screen, MarksLastIterationValuesAndFlaggedVariants) {
  std::vector<VariantResult> results = two_variants();
  results[1].flags.emplace_back("something");
  const std::string line =
      line_with(screen_table(Comparison(std::move(results))), "exit pressure coefficient [-]");
  EXPECT_THAT(line, AllOf(HasSubstr("-0.200* "), HasSubstr("-0.200*!")));
}

TEST(Screen, ShowsDifferencesOfSharesInPoints) {
  std::vector<VariantResult> results = two_variants();
  set_value(results[0], "inlet_imbalance", 5.0, 0.1);
  set_value(results[1], "inlet_imbalance", 7.5, 0.1);
  EXPECT_THAT(line_with(screen_table(Comparison(std::move(results))), "inlet imbalance [%]"),
              HasSubstr("+2.50 pt"));
}

TEST(Screen, RepeatsTheBaselineInEveryBlockOfColumns) {
  std::vector<VariantResult> results = two_variants();
  for (const char* name : {"b", "c", "d"}) {
    results.push_back(sample_variant(name, false));
  }
  const std::string text = screen_table(Comparison(std::move(results)));
  std::size_t n_baselines = 0;
  for (std::size_t at = text.find("(baseline)"); at != std::string::npos;
       at = text.find("(baseline)", at + 1)) {
    ++n_baselines;
  }
  EXPECT_EQ(n_baselines, 2U);  // four others, two in a block
}

TEST(Markdown, HasAsManyCellsInEveryRowOfItsTable) {
  const std::string text = summary_markdown(Comparison(two_variants()));
  const std::size_t start = text.find("## All quantities");
  ASSERT_NE(start, std::string::npos);
  for (const std::string& line :
       lines_of(text.substr(start, text.find("## What the bands contain") - start))) {
    if (line.rfind('|', 0) == 0) {
      EXPECT_EQ(std::count(line.begin(), line.end(), '|'), 6)
          << line;  // quantity, baseline, value, two differences
    }
  }
  EXPECT_THAT(line_with(text.substr(start), "| deck pressure difference [Pa]"),
              HasSubstr("| 1100.0 ±10.0 | 1210.0 ±20.0 | +110.0 | +10.0 |"));
}

TEST(Markdown, HasAShortTableOfWhatTheAnswerRestsOn) {
  const std::string text = summary_markdown(Comparison(two_variants()));
  const std::string line =
      line_with(text.substr(0, text.find("## All quantities")), "| exit lip angle 30 deg |");
  EXPECT_THAT(line, HasSubstr("1210.0 ±20.0"));
  EXPECT_THAT(line, HasSubstr("+10.0 %"));
}

TEST(Json, KeepsToItsSchema) {
  std::vector<VariantResult> results = two_variants();
  results.push_back(failed_variant());
  const auto document = nlohmann::json::parse(results_json(Comparison(std::move(results))));
  EXPECT_THAT(schema_violations(document), IsEmpty());
}

TEST(Json, SchemaCheckSeesMissingExtraAndWrongMembers) {
  auto document = nlohmann::json::parse(results_json(Comparison(two_variants())));
  document.erase("cautions");
  document["surprise"] = 1;
  document["variants"][0]["status"] = "fine";
  document["variants"][1]["quantities"][0]["value"] = "1100";
  EXPECT_THAT(schema_violations(document),
              testing::UnorderedElementsAre(HasSubstr("cautions"),
                                            HasSubstr("surprise"),
                                            HasSubstr("/variants/0/status"),
                                            HasSubstr("/variants/1/quantities/0/value")));
}

TEST(Json, CarriesValuesBandsAndDifferences) {
  const auto document = nlohmann::json::parse(results_json(Comparison(two_variants())));
  for (const auto& quantity : document["variants"][1]["quantities"]) {
    if (quantity["id"] == "deck_pressure_difference") {
      EXPECT_EQ(quantity["unit"], "Pa");
      EXPECT_EQ(quantity["value"], 1210.0);
      EXPECT_EQ(quantity["half_band"], 20.0);
      EXPECT_EQ(quantity["basis"], "window mean");
      EXPECT_NEAR(quantity["difference"]["relative"].get<double>(), 0.1, 1e-12);
      return;
    }
  }
  FAIL() << "no deck_pressure_difference";
}

TEST(TidyCsv, HasARowForEachValueWithTheVariedKeyAsANumber) {
  std::vector<VariantResult> results{sample_variant("0 deg", true), sample_variant("30 deg", false)};
  set_value(results[0], "deck_pressure_difference", 1100.0, 10.0);
  set_value(results[1], "deck_pressure_difference", 1210.0, 20.0);
  const std::size_t n_values = results[0].quantities.size() + results[1].quantities.size();
  const std::string csv = summary_tidy_csv(Comparison(std::move(results)));
  EXPECT_THAT(lines_of(csv).front(), HasSubstr("study,variant,exit.lip_angle [deg],"));
  EXPECT_EQ(lines_of(csv).size(), n_values + 1);
  EXPECT_THAT(line_with(csv, "30 deg,30,no,settled,no,Deck pressures,deck_pressure_difference,"),
              HasSubstr(",Pa,1210,20,0,20,iterations,window mean,110,Pa,10,30,no,"));
}

TEST(TidyCsv, LeavesFailedVariantsOut) {
  std::vector<VariantResult> results = two_variants();
  results.push_back(failed_variant());
  EXPECT_THAT(summary_tidy_csv(Comparison(std::move(results))), Not(HasSubstr("broken")));
}

TEST(Answer, StandsInEveryFormForReaders) {
  std::vector<VariantResult> results = two_variants();
  for (VariantResult& result : results) result.flags.clear();
  const Comparison comparison(std::move(results));
  const std::string sentence =
      "exit lip angle 30 deg: 10.0 % (± 2.8 %, without the grid's error) more pressure difference between "
      "the decks";
  for (const std::string& text :
       {summary_markdown(comparison), screen_table(comparison), results_json(comparison)}) {
    EXPECT_THAT(text, HasSubstr(sentence));
    EXPECT_THAT(text, HasSubstr("An answer with reservations"));
    EXPECT_THAT(text, HasSubstr("one grid"));
  }
}

TEST(Summary, WritesItsFilesIntoANewFolder) {
  const ScratchFolder folder;
  const std::filesystem::path target = folder.path() / "deep" / "tables";
  write_summary(Comparison(two_variants()), target);
  for (const char* name : {"summary.csv", "summary_tidy.csv", "summary.md", "results.json"}) {
    EXPECT_FALSE(testing_support::text_of(target / name).empty()) << name;
  }
}

/// An estimate of one coefficient.
Quantity estimated(double value, double coefficient, double shift, const std::string& source) {
  Quantity quantity = empty_quantity("deck_pressure_difference");
  quantity.value = value;
  quantity.basis = Basis::Estimate;
  quantity.half_band = std::abs(shift);
  quantity.shifts = {{"exit discharge (" + source + ")", coefficient, shift}};
  return quantity;
}

TEST(EstimatedDifference, SharesTheErrorOfOneCoefficient) {
  const Quantity baseline = estimated(1000.0, 0.9, 50.0, "a handbook");
  const Quantity other = estimated(1100.0, 0.9, 60.0, "a handbook");
  const auto change = difference(&baseline, &other);
  ASSERT_TRUE(change && change->band);
  EXPECT_NEAR(*change->band, 10.0, 1e-9);
  EXPECT_FALSE(change->within_bands);
}

TEST(EstimatedDifference, SharesHalfOfTheVarianceOfTwoValuesFromOneSource) {
  const Quantity baseline = estimated(1000.0, 0.9, 50.0, "a handbook");
  const Quantity other = estimated(1100.0, 0.8, 60.0, "a handbook");
  const auto change = difference(&baseline, &other);
  ASSERT_TRUE(change && change->band);
  EXPECT_NEAR(*change->band, std::sqrt(50.0 * 50.0 + 60.0 * 60.0 - 50.0 * 60.0), 1e-9);
}

TEST(EstimatedDifference, TakesTwoSourcesAsIndependent) {
  const Quantity baseline = estimated(1000.0, 0.9, 50.0, "a handbook");
  const Quantity other = estimated(1100.0, 0.9, 60.0, "from CFD");
  const auto change = difference(&baseline, &other);
  ASSERT_TRUE(change && change->band);
  EXPECT_NEAR(*change->band, std::hypot(50.0, 60.0), 1e-9);
}

}  // namespace
}  // namespace cowlwright::post
