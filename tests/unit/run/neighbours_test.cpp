// SPDX-License-Identifier: GPL-3.0-or-later
//
// Distances and starts of small studies, worked out by hand.
#include "cases/run/neighbours.h"

#include "cases/starter.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <string>

namespace {

using namespace cowlwright;
using run::CaseStart;
using run::choose_starts;
using run::StartQuestion;
using testing::ElementsAre;
using testing::IsEmpty;

/// The starter study with another [vary] and another start.
Study study_with(const std::string& vary, const std::string& start = "nearest") {
  std::string text = starter_study_text();
  text.erase(text.find("[vary]"));
  const std::string line = "start = \"nearest\"";
  text.replace(text.find(line), line.size(), "start = \"" + start + "\"");
  return parse_study(text + "[vary]\nmode = \"factorial\"\n" + vary + "\n", "starter.toml");
}

StartQuestion all_of(const Study& study, int at_a_time) {
  StartQuestion question{.variants = {}, .at_a_time = at_a_time};
  question.variants.resize(study.variants.size());
  std::iota(question.variants.begin(), question.variants.end(), std::size_t{0});
  return question;
}

std::map<std::string, std::string> sources(const std::vector<CaseStart>& starts) {
  std::map<std::string, std::string> result;
  for (const CaseStart& start : starts) result[start.folder] = start.from;
  return result;
}

/// Starts that hang on one another, at most.
int longest_chain(const std::vector<CaseStart>& starts) {
  std::map<std::string, int> depth;
  int longest = 0;
  for (const CaseStart& start : starts) {
    depth[start.folder] = start.from.empty() ? 0 : 1 + depth.at(start.from);
    longest = std::max(longest, depth[start.folder]);
  }
  return longest;
}

const char* const five_lips = R"("exit.lip_angle" = ["0 deg", "60 deg", "15 deg", "45 deg", "30 deg"])";

TEST(Distance, IsTheShareOfTheRangeAndInfiniteForWords) {
  const Study study = study_with(R"("exit.lip_angle" = ["0 deg", "10 deg", "40 deg"]
"exit.gap" = ["60 mm", "70 mm"]
"plenum.kind" = ["shared", "split"])");
  ASSERT_EQ(study.variants.size(), 12U);  // (0, 60, shared), (0, 60, split), (0, 70, shared), ...
  EXPECT_DOUBLE_EQ(run::distance(study, 0, 0), 0.0);
  EXPECT_DOUBLE_EQ(run::distance(study, 0, 2), 1.0);
  EXPECT_DOUBLE_EQ(run::distance(study, 0, 4), 0.25);
  EXPECT_DOUBLE_EQ(run::distance(study, 6, 0), std::sqrt(1.0 + 0.0625));
  EXPECT_DOUBLE_EQ(run::distance(study, 9, 5), 0.75);
  EXPECT_TRUE(std::isinf(run::distance(study, 0, 1)));
  EXPECT_TRUE(std::isinf(run::distance(study, 8, 1)));
}

TEST(Distance, OfNumbersInDifferentUnitsIsOne) {
  const Study study = study_with(R"("exit.gap" = ["60 mm", "0.06 m", "80 mm"])");
  EXPECT_DOUBLE_EQ(run::distance(study, 0, 1), 1.0);
  EXPECT_DOUBLE_EQ(run::distance(study, 0, 2), 1.0);
}

TEST(ChooseStarts, OneAtATimeEachStartsFromTheNearestThatIsSolved) {
  const Study study = study_with(five_lips);
  const std::vector<CaseStart> starts = choose_starts(study, all_of(study, 1));
  ASSERT_EQ(starts.size(), 5U);
  const auto from = sources(starts);
  EXPECT_EQ(from.at("lip_angle_0_deg"), "");
  EXPECT_EQ(from.at("lip_angle_15_deg"), "lip_angle_0_deg");
  EXPECT_EQ(from.at("lip_angle_30_deg"), "lip_angle_15_deg");
  EXPECT_EQ(from.at("lip_angle_45_deg"), "lip_angle_30_deg");
  EXPECT_EQ(from.at("lip_angle_60_deg"), "lip_angle_45_deg");
}

TEST(ChooseStarts, NoneStartsFromAnotherWord) {
  const Study study = study_with(R"("exit.lip_angle" = ["0 deg", "10 deg", "20 deg"]
"plenum.kind" = ["shared", "split"])");
  for (const int at_a_time : {1, 2, 6}) {
    const std::vector<CaseStart> starts = choose_starts(study, all_of(study, at_a_time));
    ASSERT_EQ(starts.size(), 6U);
    const auto from = sources(starts);
    const auto n_still =
        std::count_if(from.begin(), from.end(), [](const auto& start) { return start.second.empty(); });
    if (at_a_time == 1)
      EXPECT_EQ(n_still, 2);
    else
      EXPECT_GE(n_still, 2) << at_a_time;
    for (const auto& [folder, source] : from) {
      if (source.empty()) continue;
      EXPECT_EQ(folder.ends_with("split"), source.ends_with("split"))
          << folder << " from " << source << " with " << at_a_time;
    }
  }
}

TEST(ChooseStarts, EverySourceStandsBeforeTheCaseThatNeedsIt) {
  const Study study =
      study_with(std::string(five_lips) + "\n\"exit.gap\" = [\"60 mm\", \"75 mm\", \"90 mm\"]");
  for (const int at_a_time : {1, 2, 3, 7, 100}) {
    const std::vector<CaseStart> starts = choose_starts(study, all_of(study, at_a_time));
    ASSERT_EQ(starts.size(), 15U);
    for (auto start = starts.begin(); start != starts.end(); ++start) {
      if (start->from.empty()) continue;
      EXPECT_NE(
          std::find_if(
              starts.begin(), start, [&](const CaseStart& other) { return other.folder == start->from; }),
          start)
          << start->folder << " from " << start->from << " with " << at_a_time;
    }
  }
}

TEST(ChooseStarts, CoresForAllCasesWaitForNobody) {
  const Study study = study_with(five_lips);
  for (const CaseStart& start : choose_starts(study, all_of(study, 5)))
    EXPECT_THAT(start.from, IsEmpty()) << start.folder;
}

TEST(ChooseStarts, MoreSideBySideMeansShorterChains) {
  std::string angles = "\"exit.lip_angle\" = [";
  for (int angle = 0; angle < 24; ++angle) angles += "\"" + std::to_string(2 * angle) + " deg\", ";
  const Study study = study_with(angles + "]");
  EXPECT_EQ(longest_chain(choose_starts(study, all_of(study, 1))), 23);
  // Eight at a time: three rounds are the fewest, so no more than two starts can hang on one another.
  EXPECT_LE(longest_chain(choose_starts(study, all_of(study, 8))), 2);
}

TEST(ChooseStarts, ASolvedCaseIsStartedFromAndStartsFromNothing) {
  const Study study = study_with(five_lips);
  StartQuestion question = all_of(study, 1);
  question.is_solved = [](const std::string& folder) { return folder == "lip_angle_45_deg"; };
  const auto from = sources(choose_starts(study, question));
  EXPECT_EQ(from.at("lip_angle_45_deg"), "");
  EXPECT_EQ(from.at("lip_angle_60_deg"), "lip_angle_45_deg");
  EXPECT_EQ(from.at("lip_angle_30_deg"), "lip_angle_45_deg");
  EXPECT_EQ(from.at("lip_angle_0_deg"), "lip_angle_15_deg");
}

TEST(ChooseStarts, OnlyVariantsAskedForTakePart) {
  const Study study = study_with(five_lips);
  const auto starts = choose_starts(study, {.variants = {1, 3}, .at_a_time = 1});
  ASSERT_EQ(starts.size(), 2U);
  EXPECT_EQ(starts[0].folder, "lip_angle_60_deg");
  EXPECT_EQ(starts[1].from, "lip_angle_60_deg");
  EXPECT_THAT(choose_starts(study, {}), IsEmpty());
}

TEST(ChooseStarts, StillMeansStillAir) {
  const Study study = study_with(five_lips, "still");
  for (const CaseStart& start : choose_starts(study, all_of(study, 1)))
    EXPECT_THAT(start.from, IsEmpty()) << start.folder;
}

TEST(ChooseStarts, FinerGridsStartFromTheirOwnCoarserOnesAndReferencesFromReferences) {
  std::string text = starter_study_text();
  text.erase(text.find("[vary]"));
  const auto set = [&](const std::string& line, const std::string& other) {
    text.replace(text.find(line), line.size(), other);
  };
  set("level = \"coarse\"", "level = \"medium\"");
  set("compare = 1", "compare = 3");
  set("# cooling_drag = true", "cooling_drag = true");
  const Study study =
      parse_study(text + "[vary]\n\"exit.lip_angle\" = [\"0 deg\", \"30 deg\"]\n", "starter.toml");
  const auto from = sources(choose_starts(study, all_of(study, 1)));
  ASSERT_EQ(from.size(), 12U);
  EXPECT_EQ(from.at("lip_angle_0_deg-draft"), "");
  EXPECT_EQ(from.at("lip_angle_0_deg-draft-closed"), "");
  EXPECT_EQ(from.at("lip_angle_30_deg-draft"), "lip_angle_0_deg-draft");
  EXPECT_EQ(from.at("lip_angle_30_deg-coarse"), "lip_angle_30_deg-draft");
  EXPECT_EQ(from.at("lip_angle_30_deg-medium"), "lip_angle_30_deg-coarse");
  EXPECT_EQ(from.at("lip_angle_30_deg-draft-closed"), "lip_angle_0_deg-draft-closed");
  EXPECT_EQ(from.at("lip_angle_30_deg-medium-closed"), "lip_angle_30_deg-coarse-closed");
}

}  // namespace
