// SPDX-License-Identifier: GPL-3.0-or-later
//
// Status as people and programs read it.
#include "cases/watch/status_text.h"

#include "tests/unit/watch/study_on_disk.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <sstream>

namespace {

using namespace cowlwright;
using testing::HasSubstr;
using testing::Not;
using testing_support::StudyOnDisk;
using watch::CaseStatus;
using watch::Standing;
using watch::SweepStatus;

std::vector<std::string> lines_of(const std::string& text) {
  std::istringstream stream(text);
  std::vector<std::string> lines;
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

CaseStatus working(const std::string& folder) {
  CaseStatus status{.case_folder = folder, .standing = Standing::Working};
  base::Progress progress{.host = "ridge", .process = 4711, .ranks = 2, .stage = "solve"};
  progress.iteration = 214;
  progress.last_iteration = 400;
  progress.deck_pressure_difference = 996.36;  // 4.00 inH2O of 249.08891 Pa (NIST SP 811 app. B)
  progress.deck_pressure_difference_band = 24.91;
  progress.seconds_left = 100.0;
  status.progress = progress;
  return status;
}

SweepStatus three_cases() {
  SweepStatus status{.study = "Lip sweep"};
  CaseStatus solved = working("lip_0");
  solved.standing = Standing::Solved;
  status.cases = {solved, working("lip_30"), {.case_folder = "lip_45", .note = "for lip_30"}};
  status.left = {.core_seconds = 400.0, .seconds = 200.0, .cores = 2, .n_measured = 1};
  return status;
}

TEST(StatusText, HasAnAlignedRowPerCaseWithPressuresInBothUnitsAndASummary) {
  const std::vector<std::string> lines = lines_of(watch::status_text(three_cases()));
  ASSERT_EQ(lines.size(), 9U);
  EXPECT_EQ(lines[0], "Lip sweep");
  EXPECT_EQ(lines[1], "no driver at work here");
  EXPECT_EQ(lines[2], "case    state    stage  iteration  deck dp [Pa]      [inH2O]        left  on");
  EXPECT_EQ(lines[3], "lip_0   solved                214      996 ± 25  4.00 ± 0.10");
  EXPECT_EQ(lines[4],
            "lip_30  working  solve    214/400      996 ± 25  4.00 ± 0.10  1 min 40 s  ridge (2 ranks)");
  EXPECT_EQ(lines[5], "lip_45  waiting  for lip_30");
  EXPECT_EQ(lines[6], "3 cases: 1 solved, 1 working, 1 waiting.");
  EXPECT_EQ(lines[7], "About 3 min 20 s left on 2 cores (estimate, corrected by 1 solved here).");
  EXPECT_THAT(lines[8], HasSubstr("no results"));
}

TEST(StatusText, NamesWhoDrivesIt) {
  SweepStatus status = three_cases();
  status.has_jobs = true;
  EXPECT_EQ(lines_of(watch::status_text(status))[1], "handed in to a cluster, slurm/jobs.txt lists the jobs");
  status.driver = "cowlwright run lip.toml, process 4711 on ridge";
  EXPECT_EQ(lines_of(watch::status_text(status))[1],
            "driven by cowlwright run lip.toml, process 4711 on ridge");
}

TEST(StatusText, SaysWorkInsteadOfTimeWhereTheCoresAreNotKnown) {
  SweepStatus status = three_cases();
  status.left = {.core_seconds = 7200.0};
  EXPECT_THAT(watch::status_text(status), HasSubstr("Work left: 2 h 00 min on one core (estimate, not yet"));
}

TEST(StatusText, LeavesOutColumnsNobodyFillsAndTheRemarkOnReadingsWhenAllIsSolved) {
  SweepStatus status = three_cases();
  status.cases.resize(1);
  status.cases[0].progress.reset();
  status.left = {};
  const std::string text = watch::status_text(status);
  EXPECT_THAT(text, Not(HasSubstr("iteration")));
  EXPECT_THAT(text, Not(HasSubstr("no results")));
  EXPECT_THAT(text, Not(HasSubstr("left")));
  EXPECT_THAT(text, HasSubstr("1 case: 1 solved."));
}

TEST(StatusText, AFailedCaseShowsWhereAndWhyButNoPressureOfItsFailing) {
  SweepStatus status = three_cases();
  status.cases[1].standing = Standing::Failed;
  status.cases[1].note = "log.solve:88: floating point exception";
  EXPECT_EQ(lines_of(watch::status_text(status))[4],
            "lip_30  failed   solve    214/400  log.solve:88: floating point exception");
}

TEST(StatusText, SaysSoWhenNothingIsAtWork) {
  SweepStatus status = three_cases();
  status.cases[1].standing = Standing::Stopped;
  EXPECT_THAT(watch::status_text(status),
              HasSubstr("Nothing is at work; to be done: about 3 min 20 s on 2 cores (estimate"));
}

TEST(StatusScreen, CutsLinesByCharactersAndKeepsToTheRows) {
  SweepStatus status = three_cases();
  for (int i = 0; i < 50; ++i) status.cases.push_back({.case_folder = "gap_" + std::to_string(i)});
  status.cases.back().standing = Standing::Failed;
  const std::vector<std::string> lines = lines_of(watch::status_screen(status, 46, 12));
  EXPECT_EQ(lines.size(), 12U);
  EXPECT_THAT(lines[3], HasSubstr("gap_49"));  // what went wrong is never among the hidden
  EXPECT_THAT(lines[4], HasSubstr("lip_30"));
  EXPECT_EQ(lines[8], "... and 48 more");
  // 46 characters; the cut falls behind a sign of two bytes.
  EXPECT_EQ(lines[4], "lip_30  working  solve    214/400      996 ± 2");
}

TEST(StatusScreen, ShowsAllCasesInTheirOrderWhenTheyFit) {
  const std::vector<std::string> lines = lines_of(watch::status_screen(three_cases(), 200, 9));
  EXPECT_EQ(lines.size(), 9U);
  EXPECT_THAT(lines[3], testing::StartsWith("lip_0 "));
  EXPECT_THAT(lines[5], testing::StartsWith("lip_45"));
}

TEST(StatusJson, GivesNumbersInSiAndNullForWhatIsNotKnown) {
  const auto json = nlohmann::json::parse(watch::status_json(three_cases()));
  EXPECT_EQ(json["study"], "Lip sweep");
  EXPECT_EQ(json["is_at_rest"], false);
  EXPECT_EQ(json["seconds_left"], 200.0);
  ASSERT_EQ(json["cases"].size(), 3U);
  EXPECT_EQ(json["cases"][1]["state"], "working");
  EXPECT_EQ(json["cases"][1]["progress"]["deck_pressure_difference"], 996.36);
  EXPECT_TRUE(json["cases"][1]["progress"]["inlet_flow"].is_null());
  EXPECT_TRUE(json["cases"][2]["progress"].is_null());
  EXPECT_EQ(json["cases"][2]["note"], "for lip_30");
}

}  // namespace
