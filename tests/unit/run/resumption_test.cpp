// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a second run makes of a case's state.
#include "cases/run/resumption.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using base::CasePhase;
using base::CaseState;
using run::plan_resumption;
using run::Resumption;
using testing::HasSubstr;

const std::vector<foam::Stage> stages{{"block", {"a"}, "log.block"},
                                      {"snap", {"b"}, "log.snap"},
                                      {"check", {"c"}, "log.check"},
                                      {"solve", {"d"}, "log.solve"}};

CaseState state_after(std::vector<std::string> finished, std::string begun = {}) {
  CaseState state{.input_hash = "abc", .ranks = 2, .begun = std::move(begun)};
  for (std::string& name : finished) state.finished.push_back({std::move(name), 1.0});
  return state;
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
