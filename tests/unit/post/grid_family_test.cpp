// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cases of one variant on several grids become one row; what the row says when a grid is missing or bad; and
// the tables of such rows.
#include "post/quantities/grid_family.h"

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
#include <limits>
#include <sstream>

namespace cowlwright::post {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;
using namespace cowlwright::post::synthetic;

Quantity& quantity_of(VariantResult& result, const std::string& id) {
  return *std::find_if(
      result.quantities.begin(), result.quantities.end(), [&id](const Quantity& q) { return q.id == id; });
}

struct Grid {
  const char* level;
  double cell_size;
  double deck;  ///< deck pressure difference [Pa]
  double band;  ///< its half band [Pa]
};

/// Medium, coarse, draft with ratio 2: 1000 - 4 h² and 1100 - 6 h² (h = 1, 2, 4), half bands of 1 Pa.
constexpr std::array<Grid, 3> base_grids{
    {{"medium", 0.01, 996.0, 1.0}, {"coarse", 0.02, 984.0, 1.0}, {"draft", 0.04, 936.0, 1.0}}};
constexpr std::array<Grid, 3> lip_grids{
    {{"medium", 0.01, 1094.0, 1.0}, {"coarse", 0.02, 1076.0, 1.0}, {"draft", 0.04, 1004.0, 1.0}}};

VariantResult on_grid(const std::string& variant, const Grid& grid) {
  VariantResult result = sample_variant(variant, variant == "base");
  result.manifest.grid_level = grid.level;
  result.manifest.cell_size = grid.cell_size;
  result.manifest.n_grids = 3;
  result.case_dir = variant + "-" + grid.level;
  Quantity& deck = quantity_of(result, "deck_pressure_difference");
  deck.value = grid.deck;
  deck.half_band = grid.band;
  deck.standard_error = 0.41;
  deck.effective_samples = 14.2;
  return result;
}

/// Coarse first, so that the order given does not matter.
std::vector<VariantResult> family(const std::string& variant, const std::array<Grid, 3>& grids) {
  return {on_grid(variant, grids[2]), on_grid(variant, grids[1]), on_grid(variant, grids[0])};
}

std::vector<VariantResult> two_families() {
  std::vector<VariantResult> cases = family("base", base_grids);
  for (VariantResult& result : family("lip", lip_grids)) {
    cases.push_back(std::move(result));
  }
  return cases;
}

VariantResult grouped(std::vector<VariantResult> cases) {
  std::vector<VariantResult> rows = group_grids(std::move(cases));
  EXPECT_THAT(rows, SizeIs(1));
  return std::move(rows.front());
}

std::string statement(const VariantResult& row, const std::string& id = "deck_pressure_difference") {
  const Quantity* quantity = row.find(id);
  return quantity != nullptr && quantity->grids ? quantity->grids->text : "no statement";
}

std::string line_with(const std::string& text, const std::string& words) {
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    if (line.find(words) != std::string::npos) {
      return line;
    }
  }
  return "no line with " + words;
}

// GCI: 1.25 * 12 / (4 - 1) = 5 Pa; with the half band of 1 Pa a band of 6 Pa. Extrapolated 1000 Pa.
TEST(GridFamily, HasTheFinestValuesWithTheSumOfBothBands) {
  const VariantResult row = grouped(family("base", base_grids));
  const Quantity* deck = row.find("deck_pressure_difference");
  EXPECT_NEAR(deck->value, 996.0, 1e-9);
  ASSERT_TRUE(deck->grids && deck->grids->convergence);
  EXPECT_NEAR(deck->grids->convergence->order.value(), 2.0, 1e-6);
  EXPECT_NEAR(deck->grids->convergence->extrapolated.value(), 1000.0, 1e-6);
  EXPECT_NEAR(published_band(*deck).value(), 6.0, 1e-6);
  EXPECT_EQ(band_contents(*deck), BandContents::IterationsAndGrids);
  EXPECT_THAT(row.grids, SizeIs(3));
  EXPECT_THAT(row.discretisation, HasSubstr("3 grids (medium, coarse, draft)"));
  EXPECT_THAT(row.flags, IsEmpty());
}

TEST(GridFamily, KeepsVariantsSettingsAndStudiesApart) {
  std::vector<VariantResult> cases = two_families();
  EXPECT_THAT(group_grids(cases), SizeIs(2));
  cases[0].manifest.study_hash = "another";
  cases[5].manifest.settings = {{"exit.gap", "40 mm"}};
  EXPECT_THAT(group_grids(cases), SizeIs(4));
}

TEST(GridFamily, OneGridKeepsTheOldSentence) {
  VariantResult only = on_grid("base", base_grids[0]);
  only.manifest.n_grids = 1;
  EXPECT_EQ(grouped({only}).discretisation, single_grid);
  only.manifest.n_grids = 3;
  EXPECT_THAT(grouped({only}).discretisation,
              AllOf(HasSubstr("1 of 3 grids usable"), HasSubstr(std::string(single_grid))));
  EXPECT_FALSE(grouped({only}).find("deck_pressure_difference")->grids.has_value());
}

TEST(GridFamily, TwoGridsGiveADifferenceInWordsAndTheIterationsBandOnly) {
  const VariantResult row = grouped({on_grid("base", base_grids[1]), on_grid("base", base_grids[0])});
  EXPECT_THAT(row.discretisation, AllOf(HasSubstr("2 of 3 grids usable"), HasSubstr("no order and no band")));
  EXPECT_THAT(statement(row), HasSubstr("medium less coarse: +12 Pa"));
  EXPECT_NEAR(published_band(*row.find("deck_pressure_difference")).value(), 1.0, 1e-9);
}

TEST(GridFamily, AFailedFinestGridFlagsTheRowAndTheNextOneIsPublished) {
  std::vector<VariantResult> cases = family("base", base_grids);
  cases[2].judgement = {Status::Failed, "the solver diverged"};
  cases[2].quantities.clear();
  const VariantResult row = grouped(std::move(cases));
  EXPECT_NEAR(row.find("deck_pressure_difference")->value, 984.0, 1e-9);
  EXPECT_THAT(row.flags,
              Contains(AllOf(HasSubstr("medium grid left out, failed: the solver diverged"),
                             HasSubstr("values are of the coarse grid"))));
  EXPECT_THAT(row.discretisation, AllOf(HasSubstr("2 of 3 grids usable"), HasSubstr("medium failed")));
  EXPECT_FALSE(row.find("deck_pressure_difference")->grids->band().has_value());
}

TEST(GridFamily, AGridThatHasNotSettledOrDoesNotCloseIsLeftOutWithItsReason) {
  std::vector<VariantResult> cases = family("base", base_grids);
  cases[0].judgement = {Status::NotSettled, "still drifting"};
  const VariantResult unsettled = grouped(cases);
  EXPECT_THAT(unsettled.notes, Contains(HasSubstr("draft grid left out, not settled: still drifting")));
  EXPECT_THAT(statement(unsettled), AllOf(HasSubstr("2 of 3"), HasSubstr("draft not settled")));
  EXPECT_THAT(unsettled.flags, IsEmpty());
  cases = family("base", base_grids);
  cases[1].balances.front().flag = "continuity closure +3.00 %: limit 1.00 %";
  EXPECT_THAT(statement(grouped(cases)), HasSubstr("coarse does not close its mass balance"));
}

TEST(GridFamily, WithoutAnyUsableGridTheRowIsFlagged) {
  std::vector<VariantResult> cases = family("base", base_grids);
  for (VariantResult& result : cases) {
    result.judgement = {Status::NotSettled, "still drifting"};
  }
  const VariantResult row = grouped(std::move(cases));
  EXPECT_THAT(row.flags, Contains(HasSubstr("no grid is usable")));
  EXPECT_NEAR(row.find("deck_pressure_difference")->value, 996.0, 1e-9);
}

TEST(GridFamily, AllGridsFailedMakeAFailedRow) {
  std::vector<VariantResult> cases = family("base", base_grids);
  for (VariantResult& result : cases) {
    result.judgement = {Status::Failed, "the solver diverged"};
    result.quantities.clear();
  }
  EXPECT_TRUE(grouped(std::move(cases)).has_failed());
}

TEST(GridFamily, RatiosThatAreNotConstantAreRefusedForEveryQuantity) {
  std::array<Grid, 3> grids = base_grids;
  grids[2].cell_size = 0.05;
  const VariantResult row = grouped(family("base", grids));
  EXPECT_THAT(row.discretisation, AllOf(HasSubstr("2.000 and 2.500"), HasSubstr("10 %")));
  EXPECT_FALSE(row.find("deck_pressure_difference")->grids->band().has_value());
}

TEST(GridFamily, AQuantityMissingOnOneGridIsNamedAndTheOthersKeepTheirBands) {
  std::vector<VariantResult> cases = family("base", base_grids);
  std::erase_if(cases[0].quantities, [](const Quantity& q) { return q.id == "temperature_rise"; });
  const VariantResult row = grouped(std::move(cases));
  EXPECT_EQ(statement(row, "temperature_rise"), "no value on the draft grid: no band");
  EXPECT_TRUE(row.find("deck_pressure_difference")->grids->band().has_value());
}

TEST(GridFamily, NamesWhatTheGridsFlag) {
  std::array<Grid, 3> grids = base_grids;
  grids[1].deck = 1020.0;
  const VariantResult row = grouped(family("base", grids));
  EXPECT_THAT(row.notes, Contains(AllOf(HasSubstr("oscillatory"), HasSubstr("deck pressure difference"))));
  EXPECT_THAT(row.flags, IsEmpty());  // the quantity is flagged, not the row
}

TEST(GridFamily, InputsClosuresAndEqualValuesClaimNoBandOfTheGrids) {
  const VariantResult row = grouped(family("base", base_grids));
  EXPECT_FALSE(row.find("heat")->grids.has_value());
  EXPECT_FALSE(row.find("continuity_closure")->grids.has_value());
  EXPECT_EQ(row.find("exit_mass_flow")->grids->behaviour(), "identical");  // the sample's flow on all grids
  EXPECT_FALSE(row.find("exit_mass_flow")->grids->band().has_value());
}

TEST(GridFamily, TwoCasesOfOneLevelStayApart) {
  std::vector<VariantResult> cases = family("base", base_grids);
  cases.push_back(on_grid("base", base_grids[0]));
  const std::vector<VariantResult> rows = group_grids(std::move(cases));
  EXPECT_THAT(rows, SizeIs(4));
  EXPECT_THAT(rows[0].notes, Contains(HasSubstr("not compared as grids")));
}

// Lip less base: 98, 92, 68 on the grids: changes 6 and 24, order 2, GCI 1.25 * 6 / 3 = 2.5 Pa; with 1 + 1 Pa
// of iterations 4.5 Pa, while the two values' own bands are 6 and 8.5 Pa.
TEST(GridDifference, HasItsOwnBandInWhichCommonErrorsCancel) {
  const Comparison comparison(group_grids(two_families()));
  ASSERT_THAT(comparison.variants, SizeIs(2));
  const std::optional<Difference> found = difference(comparison.variants[0].find("deck_pressure_difference"),
                                                     comparison.variants[1].find("deck_pressure_difference"));
  EXPECT_NEAR(found->absolute, 98.0, 1e-9);
  EXPECT_NEAR(found->band.value(), 4.5, 1e-6);
  EXPECT_NEAR(found->relative_band.value(), 4.5 / 996.0, 1e-9);
  EXPECT_EQ(found->contents, BandContents::IterationsAndGrids);
  EXPECT_FALSE(found->within_bands);
}

// Lip less base: 3, 9, 33 Pa: GCI 2.5 Pa, half bands 2 Pa: 3 < 4.5.
TEST(GridDifference, InsideItsBandIsNone) {
  std::vector<VariantResult> cases = family("base", base_grids);
  for (const Grid& grid : {Grid{"medium", 0.01, 999.0, 1.0},
                           Grid{"coarse", 0.02, 993.0, 1.0},
                           Grid{"draft", 0.04, 969.0, 1.0}}) {
    cases.push_back(on_grid("lip", grid));
  }
  const Comparison comparison(group_grids(std::move(cases)));
  EXPECT_TRUE(difference(comparison.variants[0].find("deck_pressure_difference"),
                         comparison.variants[1].find("deck_pressure_difference"))
                  ->within_bands);
  EXPECT_THAT(line_with(screen_table(comparison), "deck pressure difference [Pa]"),
              HasSubstr("(+0.3 ±0.5 %)"));  // 0.30 %; 0.45 rounded up
}

// All other values of the sample are alike: no difference, and no band made of rounding.
TEST(GridDifference, OfEqualValuesClaimsNoBandOfTheGrids) {
  const Comparison comparison(group_grids(two_families()));
  const std::optional<Difference> found = difference(comparison.variants[0].find("upper_deck_pressure"),
                                                     comparison.variants[1].find("upper_deck_pressure"));
  EXPECT_EQ(found->grids->behaviour(), "identical");
  EXPECT_EQ(found->contents, BandContents::Iterations);
}

TEST(GridDifference, NeedsBothVariantsOnThreeGrids) {
  std::vector<VariantResult> cases = family("base", base_grids);
  cases.push_back(on_grid("lip", lip_grids[0]));
  cases.push_back(on_grid("lip", lip_grids[1]));
  const Comparison comparison(group_grids(std::move(cases)));
  const std::optional<Difference> found = difference(comparison.variants[0].find("deck_pressure_difference"),
                                                     comparison.variants[1].find("deck_pressure_difference"));
  EXPECT_EQ(found->contents, BandContents::Iterations);
  EXPECT_THAT(found->grids->text, HasSubstr("2 of 3 grids"));
  EXPECT_THAT(comparison.variants[1].discretisation, HasSubstr("2 of 3 grids usable"));
}

TEST(GridDifference, BetweenUnlikeGridsStandsInParentheses) {
  std::vector<VariantResult> cases = family("base", base_grids);
  cases.push_back(on_grid("lip", lip_grids[1]));
  cases.push_back(on_grid("lip", lip_grids[2]));
  const Comparison comparison(group_grids(std::move(cases)));
  const auto row = std::find_if(comparison.rows.begin(), comparison.rows.end(), [](const ComparisonRow& r) {
    return r.heading.id == "deck_pressure_difference";
  });
  const std::optional<Difference> found = comparison.difference_in(*row, 1);
  EXPECT_TRUE(found->on_unlike_grids);
  EXPECT_TRUE(found->within_bands);
  EXPECT_THAT(comparison.notes, Contains(HasSubstr("grid levels differ")));
}

TEST(GridTables, ScreenShowsBandsOrderAndIndexWithin110Columns) {
  const std::string text = screen_table(Comparison(group_grids(two_families())));
  EXPECT_THAT(line_with(text, "deck pressure difference [Pa]"),
              AllOf(HasSubstr("996.0 ±6.0"), HasSubstr("1094.0 ±8.5"), HasSubstr("+9.8 ±0.5 %")));
  // 5 / 996 = 0.50 %; behind the table of values
  const std::string grids = text.substr(text.find("Grids of base"));
  EXPECT_THAT(grids, HasSubstr("medium     coarse      draft"));
  EXPECT_THAT(
      line_with(grids, "deck pressure difference [Pa]"),
      AllOf(HasSubstr("996.0      984.0      936.0"), HasSubstr("2.00    0.50     1000.0      monotone")));
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    const auto n_continuation = std::count_if(
        line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; });
    EXPECT_LE(line.size() - static_cast<std::size_t>(n_continuation), 110U) << line;
  }
}

TEST(GridTables, AnIterationsOnlyBandAndAFlaggedBehaviourAreMarked) {
  std::array<Grid, 3> grids = base_grids;
  grids[1].deck = 1020.0;  // range 84 Pa
  const std::string text = screen_table(Comparison(group_grids(family("base", grids))));
  EXPECT_THAT(line_with(text, "deck pressure difference [Pa]"), HasSubstr("996.0 ±85.0~"));
  EXPECT_THAT(line_with(text, "exit mass flow [kg/s]"), HasSubstr("±0.0000i"));
}

TEST(GridTables, MarkdownHasTheGridsAndWhatTheBandsContain) {
  const std::string text = summary_markdown(Comparison(group_grids(two_families())));
  EXPECT_THAT(text, AllOf(HasSubstr("## Grids"), HasSubstr("## What the bands contain")));
  const std::string grids = text.substr(text.find("## Grids"));
  EXPECT_THAT(grids, HasSubstr("| medium | base-medium | 10.00 | 88000 |"));
  EXPECT_THAT(
      line_with(grids, "| deck pressure difference [Pa]"),
      HasSubstr("| 996.0 | 984.0 | 936.0 | 2.00 | 0.50 | 2.03 | 1000.0 | ±5.0 | monotone, order 2.00 |"));
  const std::string differences = grids.substr(grids.find("| less the baseline"));
  EXPECT_THAT(line_with(differences, "| deck pressure difference [Pa]"),
              HasSubstr("| 98.0 | 92.0 | 68.0 | 2.00 |"));
  const std::string bands = text.substr(text.find("## What the bands contain"));
  EXPECT_THAT(
      line_with(bands, "| deck pressure difference [Pa]"),
      HasSubstr("| 1.0 (standard error 0.5, worth 14 samples) + 5.0 | 1.0 (standard error 0.5, worth 14 "
                "samples) + 7.5 |"));
  EXPECT_THAT(text, HasSubstr(std::string(not_in_bands)));
}

TEST(GridTables, CsvHasColumnsForBandsGridsAndDifferences) {
  const std::string csv = summary_csv(Comparison(group_grids(two_families())));
  EXPECT_THAT(csv,
              HasSubstr("deck pressure difference [Pa],deck pressure difference half band [Pa],deck pressure "
                        "difference standard error [Pa],deck pressure difference effective samples [-],deck "
                        "pressure difference band [Pa],deck pressure difference band contains,"));
  for (const char* what : {"discretisation band [Pa]",
                           "grid behaviour",
                           "observed order [-]",
                           "GCI [%]",
                           "extrapolated [Pa]",
                           "on medium [Pa]",
                           "on draft [Pa]",
                           "difference band [Pa]"}) {
    EXPECT_THAT(csv, HasSubstr(std::string("deck pressure difference ") + what)) << what;
  }
  // value, half band, standard error, samples, band, contents, discretisation band, behaviour, flagged
  EXPECT_THAT(csv, HasSubstr("996,1,0.41,14.2,6,iterations + grids,5,monotone,no,2,"));
  EXPECT_THAT(csv, HasSubstr("996,984,936,\"monotone, order 2.00\""));
  EXPECT_THAT(csv, HasSubstr(",98,4.5,iterations + grids,no,monotone,"));
}

TEST(GridTables, JsonKeepsToItsSchemaAndCarriesTheVerdict) {
  std::vector<VariantResult> cases = two_families();
  cases[0].judgement = {Status::Failed, "the solver diverged"};  // base on draft
  cases[0].quantities.clear();
  const auto document = nlohmann::json::parse(results_json(Comparison(group_grids(std::move(cases)))));
  EXPECT_THAT(schema_violations(document), IsEmpty());
  EXPECT_EQ(document["variants"][0]["grids"][2]["left_out"], "failed");
  for (const auto& quantity : document["variants"][1]["quantities"]) {
    if (quantity["id"] == "deck_pressure_difference") {
      EXPECT_NEAR(quantity["band"].get<double>(), 8.5, 1e-6);
      EXPECT_EQ(quantity["band_contains"], "iterations + grids");
      EXPECT_NEAR(quantity["grids"]["observed_order"].get<double>(), 2.0, 1e-6);
      EXPECT_NEAR(quantity["grids"]["gci_fine"].get<double>(), 7.5 / 1094.0, 1e-9);
      EXPECT_EQ(quantity["grids"]["values"][1]["value"], 1076.0);
      EXPECT_EQ(quantity["difference"]["band_contains"], "iterations");
      EXPECT_EQ(quantity["difference"]["grids"]["behaviour"], "no estimate");
      return;
    }
  }
  FAIL() << "no deck_pressure_difference";
}

TEST(GridTables, EveryFormSaysWhyThereIsNoBand) {
  std::vector<VariantResult> cases = family("base", base_grids);
  cases[2].judgement = {Status::NotSettled, "still drifting"};
  const Comparison comparison(group_grids(std::move(cases)));
  for (const auto& write : {summary_csv, summary_markdown, results_json, screen_table}) {
    const std::string text = unwrapped(write(comparison));
    EXPECT_THAT(
        text,
        AllOf(HasSubstr("2 of 3 grids usable (medium not settled)"),
              HasSubstr("medium grid left out, not settled: still drifting; values are of the coarse")));
  }
}

}  // namespace
}  // namespace cowlwright::post
