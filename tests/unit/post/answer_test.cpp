// SPDX-License-Identifier: GPL-3.0-or-later
//
// The sentences made from a comparison: what they may claim, and what they must not.
#include "post/tables/answer.h"

#include "post/quantities/grid_family.h"
#include "post/tables/varied.h"
#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::post {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;
using testing::StartsWith;
using namespace cowlwright::post::synthetic;

struct Lip {
  const char* angle;
  double flow;       ///< through the cylinders [kg/s]
  double half_band;  ///< of it [kg/s]
};

/// Settled variants that differ in their flow through the cylinders alone; the first is the baseline.
std::vector<VariantResult> lips(const std::vector<Lip>& list) {
  std::vector<VariantResult> results;
  for (const Lip& lip : list) {
    VariantResult& result = results.emplace_back(sample_variant(lip.angle, results.empty()));
    result.manifest.variant_index = static_cast<int>(results.size());
    result.flags.clear();
    set_value(result, "cylinders_mass_flow", lip.flow, lip.half_band);
  }
  return results;
}

Answer answer_to(std::vector<VariantResult> results) {
  return answer_of(Comparison(std::move(results)));
}

// 0.98 / 0.90: 8.9 % more; bands 0.004 + 0.005 of 0.90: 1.0 %.
TEST(Answer, ClaimsADifferenceLargerThanItsBandWithTheBand) {
  const Answer answer = answer_to(lips({{"0 deg", 0.90, 0.004}, {"30 deg", 0.98, 0.005}}));
  EXPECT_EQ(answer.sentences.front(),
            "exit lip angle 30 deg: 8.9 % (± 1.0 %, without the grid's error) more air goes through the "
            "cylinders than with exit lip "
            "angle 0 deg.");
}

TEST(Answer, SaysLessWhenItIsLess) {
  const Answer answer = answer_to(lips({{"0 deg", 0.90, 0.004}, {"30 deg", 0.80, 0.005}}));
  EXPECT_THAT(answer.sentences.front(), HasSubstr("11.1 % (± 1.0 %, without the grid's error) less air"));
}

// 0.908 - 0.900 = 0.008 lies inside 0.004 + 0.005 = 0.009.
TEST(Answer, ClaimsNothingInsideTheBand) {
  const Answer answer = answer_to(lips({{"0 deg", 0.900, 0.004}, {"30 deg", 0.908, 0.005}}));
  EXPECT_EQ(
      answer.sentences.front(),
      "exit lip angle 30 deg and exit lip angle 0 deg cannot be told apart in the air through the cylinders: "
      "their difference, 0.9 % (± 1.0 %, without the grid's error), lies inside the band.");
  EXPECT_THAT(answer.sentences, Each(AllOf(Not(HasSubstr("more air")), Not(HasSubstr("less air")))));
}

TEST(Answer, ClaimsNothingWithoutABand) {
  std::vector<VariantResult> results = lips({{"0 deg", 0.90, 0.004}, {"30 deg", 0.98, 0.005}});
  set_value(results[0], "cylinders_mass_flow", 0.90, std::nullopt);
  const Answer answer = answer_to(std::move(results));
  EXPECT_THAT(answer.sentences.front(), HasSubstr("their difference has no known band"));
}

// 45 and 60 deg: 0.002 apart, bands 0.003 + 0.003.
TEST(Answer, NamesTheBestAndWhatCannotBeToldFromIt) {
  const Answer answer = answer_to(lips(
      {{"0 deg", 0.90, 0.003}, {"15 deg", 0.93, 0.003}, {"45 deg", 0.982, 0.003}, {"60 deg", 0.980, 0.003}}));
  EXPECT_THAT(answer.sentences[0], StartsWith("exit lip angle 45 deg: 9.11 %"));
  EXPECT_THAT(answer.sentences[1],
              StartsWith("exit lip angle 45 deg and exit lip angle 60 deg cannot be told apart"));
  EXPECT_THAT(answer.sentences, Not(Contains(HasSubstr("15 deg"))));
}

TEST(Answer, SaysOfManyThatNoneDiffers) {
  const Answer answer =
      answer_to(lips({{"0 deg", 0.90, 0.01}, {"15 deg", 0.905, 0.01}, {"30 deg", 0.895, 0.01}}));
  EXPECT_EQ(answer.sentences.front(),
            "None of the 2 others differs from exit lip angle 0 deg in the air through the cylinders by more "
            "than its "
            "band.");
}

TEST(Answer, SaysNothingAboutVariantsThatAreUnsettledFlaggedOrFailed) {
  std::vector<VariantResult> results = lips({{"0 deg", 0.90, 0.003},
                                             {"15 deg", 1.1, 0.003},
                                             {"30 deg", 1.2, 0.003},
                                             {"45 deg", 1.3, 0.003},
                                             {"60 deg", 0.98, 0.003}});
  results[1].judgement = {Status::NotSettled, "flow drifts"};
  results[2].flags = {"mass balance open"};
  results[3].judgement = {Status::Failed, "the solver diverged"};
  results[3].quantities.clear();
  const Answer answer = answer_to(std::move(results));
  EXPECT_THAT(answer.sentences.front(), StartsWith("exit lip angle 60 deg: 8.89 %"));
  for (const char* angle : {"15 deg", "30 deg", "45 deg"}) {
    EXPECT_THAT(answer.sentences, Not(Contains(HasSubstr(angle))));
  }
  EXPECT_THAT(answer.reasons, Contains(AllOf(HasSubstr("15 deg"), HasSubstr("flow drifts"))));
  EXPECT_THAT(answer.reasons, Contains(AllOf(HasSubstr("30 deg"), HasSubstr("mass balance open"))));
  EXPECT_THAT(answer.reasons, Contains(AllOf(HasSubstr("45 deg"), HasSubstr("diverged"))));
  EXPECT_EQ(answer.standing, Standing::WithReservations);
}

TEST(Answer, IsNoneWithoutASoundBaseline) {
  std::vector<VariantResult> results = lips({{"0 deg", 0.90, 0.003}, {"30 deg", 0.98, 0.003}});
  results[0].judgement = {Status::NotSettled, "flow drifts"};
  const Answer answer = answer_to(std::move(results));
  EXPECT_EQ(answer.standing, Standing::None);
  EXPECT_THAT(answer.sentences, Contains(HasSubstr("The baseline cannot be used")));
  EXPECT_THAT(answer.sentences, Not(Contains(HasSubstr("more air"))));
}

TEST(Answer, IsNoneWhenNothingIsSound) {
  std::vector<VariantResult> results = lips({{"0 deg", 0.90, 0.003}, {"30 deg", 0.98, 0.003}});
  for (VariantResult& result : results) result.judgement = {Status::NotSettled, "flow drifts"};
  const Answer answer = answer_to(std::move(results));
  EXPECT_EQ(answer.standing, Standing::None);
  EXPECT_THAT(answer.sentences, ElementsAre("None of the variants can be used as it stands."));
  EXPECT_THAT(answer.reasons,
              ElementsAre(AllOf(HasSubstr("0 deg; exit lip angle 30 deg"), HasSubstr("flow drifts"))));
}

TEST(Answer, TellsTheStateOfASingleVariantAndComparesNothing) {
  const Answer answer = answer_to(lips({{"0 deg", 0.90, 0.003}}));
  ASSERT_THAT(answer.sentences, SizeIs(2));
  EXPECT_THAT(answer.sentences[0], HasSubstr("mass flow, all cylinders 0.9000 ±0.0030 kg/s"));
  EXPECT_THAT(answer.sentences[1], HasSubstr("nothing is compared"));
}

TEST(Answer, HasReservationsOnOneGrid) {
  const Answer answer = answer_to(lips({{"0 deg", 0.90, 0.004}, {"30 deg", 0.98, 0.005}}));
  EXPECT_EQ(answer.standing, Standing::WithReservations);
  EXPECT_THAT(answer.reasons, Contains(HasSubstr("one grid")));
}

TEST(Answer, ClaimsNothingBetweenUnlikeGrids) {
  std::vector<VariantResult> results = lips({{"0 deg", 0.90, 0.004}, {"30 deg", 0.98, 0.005}});
  results[1].manifest.grid_level = "fine";
  const Answer answer = answer_to(std::move(results));
  EXPECT_THAT(answer.sentences, Not(Contains(HasSubstr("more air"))));
  EXPECT_THAT(answer.reasons, Contains(HasSubstr("grid levels differ")));
}

/// Of second order over three grids of ratio 2.
std::vector<VariantResult> on_three_grids() {
  std::vector<VariantResult> cases;
  for (const auto& [level, size] :
       {std::pair("medium", 0.01), std::pair("coarse", 0.02), std::pair("draft", 0.04)}) {
    const double h = size / 0.01;
    for (VariantResult& result :
         lips({{"0 deg", 0.90 - 0.0005 * h * h, 0.002}, {"30 deg", 0.98 - 0.0008 * h * h, 0.002}})) {
      const double deck = result.manifest.variant == "0 deg" ? 1100.0 : 1200.0;
      set_value(result, "deck_pressure_difference", deck - 0.004 * deck * h * h, 1.0);
      result.manifest.grid_level = level;
      result.manifest.cell_size = size;
      result.manifest.n_grids = 3;
      result.case_dir = result.manifest.variant + "-" + level;
      cases.push_back(std::move(result));
    }
  }
  return group_grids(std::move(cases));
}

TEST(Answer, StandsWithSoundVariantsAndGridsInEveryBand) {
  const Answer answer = answer_to(on_three_grids());
  EXPECT_THAT(answer.reasons, IsEmpty());
  EXPECT_EQ(answer.standing, Standing::Stands);
  EXPECT_THAT(answer.sentences.front(), HasSubstr("more air goes through the cylinders"));
}

TEST(Answer, NamesARowThatMisbehavesOverTheGrids) {
  std::vector<VariantResult> rows = on_three_grids();
  for (Quantity& quantity : rows[1].quantities) {
    if (quantity.id == "cylinders_mass_flow") {
      quantity.grids->convergence->behaviour = GridBehaviour::Diverging;
    }
  }
  const Answer answer = answer_to(std::move(rows));
  EXPECT_EQ(answer.standing, Standing::WithReservations);
  EXPECT_THAT(answer.reasons, Contains(AllOf(HasSubstr("mass flow, all cylinders"), HasSubstr("diverging"))));
}

TEST(VariedKeys, AreNumbersWhenAllValuesShareAUnit) {
  const Comparison comparison(lips({{"0 deg", 0.9, 0.0}, {"12.5 deg", 0.9, 0.0}}));
  const std::vector<VariedKey> keys = varied_keys(comparison.variants);
  ASSERT_THAT(keys, SizeIs(1));
  EXPECT_EQ(keys[0].label, "exit lip angle");
  EXPECT_EQ(keys[0].unit, "deg");
  EXPECT_THAT(keys[0].numbers.value(), ElementsAre(0.0, 12.5));
}

TEST(VariedKeys, AreWordsWhenOneIsNoNumberOrUnitsDiffer) {
  for (const char* other : {"none", "0.5 rad"}) {
    const Comparison comparison(lips({{"0 deg", 0.9, 0.0}, {other, 0.9, 0.0}}));
    const std::vector<VariedKey> keys = varied_keys(comparison.variants);
    ASSERT_THAT(keys, SizeIs(1));
    EXPECT_FALSE(keys[0].numbers.has_value()) << other;
    EXPECT_THAT(keys[0].texts, ElementsAre("0 deg", other));
  }
}

TEST(VariedKeys, LeaveOutWhatAllVariantsShare) {
  std::vector<VariantResult> results = lips({{"0 deg", 0.9, 0.0}, {"30 deg", 0.9, 0.0}});
  for (VariantResult& result : results) result.manifest.settings.push_back({"plenum.kind", "shared"});
  const Comparison comparison(std::move(results));
  ASSERT_THAT(varied_keys(comparison.variants), SizeIs(1));
}

}  // namespace
}  // namespace cowlwright::post
