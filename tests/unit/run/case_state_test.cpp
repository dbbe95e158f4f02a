// SPDX-License-Identifier: GPL-3.0-or-later
//
// The state file and what a second run makes of it.
#include "cases/run/case_state.h"

#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using run::CasePhase;
using run::CaseState;
using run::plan_resumption;
using run::Resumption;
using testing::HasSubstr;
using testing_support::ScratchFolder;

const std::vector<foam::Stage> stages{{"block", {"a"}, "log.block"},
                                      {"snap", {"b"}, "log.snap"},
                                      {"check", {"c"}, "log.check"},
                                      {"solve", {"d"}, "log.solve"}};

CaseState state_after(std::vector<std::string> finished, std::string begun = {}) {
  CaseState state{.input_hash = "abc", .ranks = 2, .begun = std::move(begun)};
  for (std::string& name : finished) state.finished.push_back({std::move(name), 1.0});
  return state;
}

TEST(CaseState, ComesBackFromDiskAsItWasWritten) {
  const ScratchFolder folder;
  CaseState state = state_after({"block", "snap"}, "check");
  state.phase = CasePhase::Failed;
  state.message = "log line with \"quotes\" and a newline\n";
  write_case_state(state, folder.path());
  const auto read = run::read_case_state(folder.path());
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(read->input_hash, "abc");
  EXPECT_EQ(read->ranks, 2);
  EXPECT_EQ(read->phase, CasePhase::Failed);
  ASSERT_EQ(read->finished.size(), 2U);
  EXPECT_EQ(read->finished[1].name, "snap");
  EXPECT_DOUBLE_EQ(read->finished[1].seconds, 1.0);
  EXPECT_EQ(read->begun, "check");
  EXPECT_EQ(read->message, state.message);
}

TEST(CaseState, IsWrittenEvenWhenAMessageIsNotUtf8) {
  const ScratchFolder folder;
  CaseState state = state_after({});
  state.message = "bad byte \xff here";
  write_case_state(state, folder.path());
  const auto read = run::read_case_state(folder.path());
  ASSERT_TRUE(read.has_value());
  EXPECT_THAT(read->message, HasSubstr("here"));
}

TEST(CaseState, CountsAsAbsentWhenItIsMissingCutOffOrOfAnotherFormat) {
  const ScratchFolder folder;
  EXPECT_FALSE(run::read_case_state(folder.path()).has_value());
  folder.write(run::case_state_file_name, R"({"format": 1, "input_)");
  EXPECT_FALSE(run::read_case_state(folder.path()).has_value());
  folder.write(run::case_state_file_name, R"({"format": 99})");
  EXPECT_FALSE(run::read_case_state(folder.path()).has_value());
}

TEST(Resumption, StartsOverWithoutAState) {
  EXPECT_TRUE(plan_resumption(std::nullopt, stages, "abc").start_over);
}

TEST(Resumption, StartsOverWhenTheInputsHaveChangedAndSaysSo) {
  const Resumption plan = plan_resumption(state_after({"block", "snap", "check", "solve"}), stages, "other");
  EXPECT_TRUE(plan.start_over);
  EXPECT_THAT(plan.reason, HasSubstr("inputs have changed"));
}

TEST(Resumption, StartsOverAfterAFailure) {
  CaseState state = state_after({"block", "snap", "check"}, "solve");
  state.phase = CasePhase::Failed;
  EXPECT_TRUE(plan_resumption(state, stages, "abc").start_over);
}

TEST(Resumption, StartsOverWhenTheMeshWasBrokenOff) {
  const Resumption plan = plan_resumption(state_after({"block"}, "snap"), stages, "abc");
  EXPECT_TRUE(plan.start_over);
  EXPECT_THAT(plan.reason, HasSubstr("mesh"));
}

TEST(Resumption, GoesOnWithTheSolverThatWasBrokenOff) {
  const Resumption plan = plan_resumption(state_after({"block", "snap", "check"}, "solve"), stages, "abc");
  EXPECT_FALSE(plan.start_over);
  EXPECT_EQ(plan.first_stage, 3U);
}

TEST(Resumption, GoesOnBetweenTwoStagesEvenInTheMesh) {
  const Resumption plan = plan_resumption(state_after({"block"}), stages, "abc");
  EXPECT_FALSE(plan.start_over);
  EXPECT_EQ(plan.first_stage, 1U);
}

TEST(Resumption, HasNothingToDoWhenAllStagesAreFinished) {
  const Resumption plan = plan_resumption(state_after({"block", "snap", "check", "solve"}), stages, "abc");
  EXPECT_FALSE(plan.start_over);
  EXPECT_EQ(plan.first_stage, stages.size());
}

TEST(Resumption, StartsOverWhenTheFinishedStagesAreNotTheFirstOnes) {
  EXPECT_TRUE(plan_resumption(state_after({"snap"}), stages, "abc").start_over);
}

}  // namespace
