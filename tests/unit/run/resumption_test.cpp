// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a run makes of a case's state, and of a folder whose study has changed.
#include "cases/run/resumption.h"

#include "geometry/base/solver_end.h"
#include "tests/unit/run/stand_in_case.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using base::CasePhase;
using base::CaseState;
using foam::Step;
using run::plan_resumption;
using run::RunLength;
using run::WorkLeft;
using testing::HasSubstr;

constexpr int n_mesh_stages = 5;
constexpr int n_before_solver = 7;  // and the two of the start field, on one rank

/// After so many of the stages on one rank, with the next one begun or not.
CaseState state_after(std::size_t n_finished, bool next_was_begun = false) {
  CaseState state;
  const std::vector<foam::Stage> stages = run::stages_of(state);
  for (std::size_t i = 0; i < n_finished; ++i) state.finished.push_back({stages[i].name, 1.0});
  if (next_was_begun) state.begun = stages[n_finished].name;
  return state;
}

TEST(Resumption, MakesTheMeshAnewWhenThatWasBrokenOff) {
  EXPECT_EQ(plan_resumption(state_after(2, true)).redo, Step::Mesh);
  EXPECT_THAT(plan_resumption(state_after(2, true)).reason, HasSubstr("mesh"));
}

TEST(Resumption, MakesTheStartFieldAnewWhenThatWasBrokenOff) {
  EXPECT_EQ(plan_resumption(state_after(n_mesh_stages + 1, true)).redo, Step::Start);
}

TEST(Resumption, GoesOnBetweenTwoStagesEvenInTheMesh) {
  EXPECT_EQ(plan_resumption(state_after(2)).redo, std::nullopt);
  EXPECT_FALSE(plan_resumption(state_after(2)).is_done);
}

TEST(Resumption, GoesOnWithASolverThatWasBrokenOff) {
  const run::Resumption plan = plan_resumption(state_after(n_before_solver, true));
  EXPECT_EQ(plan.redo, std::nullopt);
  EXPECT_EQ(plan.reason, "goes on with solve");
}

TEST(Resumption, StartsASolverOverThatFailedByItself) {
  CaseState state = state_after(n_before_solver, true);
  state.phase = CasePhase::Failed;
  EXPECT_EQ(plan_resumption(state).redo, Step::Start);
}

TEST(Resumption, GoesOnWithASolverThatWasEndedFromOutside) {
  CaseState state = state_after(n_before_solver, true);
  state.phase = CasePhase::Failed;
  state.can_go_on = true;
  EXPECT_EQ(plan_resumption(state).redo, std::nullopt);
}

TEST(Resumption, HasNothingToDoWhenAllStagesAreFinished) {
  EXPECT_TRUE(plan_resumption(state_after(n_before_solver + 1)).is_done);
}

TEST(Resumption, MakesTheMeshAnewWhenTheFinishedStagesAreNotTheFirstOnes) {
  CaseState state = state_after(2);
  state.finished.erase(state.finished.begin());
  EXPECT_EQ(plan_resumption(state).redo, Step::Mesh);
}

/// A solved case of 4 iterations.
class WorkLeftOfCase : public testing::Test {
 protected:
  void SetUp() override {
    study_.place(study_.built("a"));
    study_.solve("a");
  }
  WorkLeft left(const base::StepKeys& keys, const RunLength& length = {4, 0.0, 2}) const {
    return run::work_left(study_.output(), "a", keys, length);
  }
  testing_support::StandInStudy study_;
};

TEST_F(WorkLeftOfCase, IsNothingWhenAllKeysAreEqual) {
  const WorkLeft work = left({"source", "mesh", "solve"});
  EXPECT_FALSE(work.files || work.mesh || work.solve);
  EXPECT_EQ(work.reason, "all done before");
}

TEST_F(WorkLeftOfCase, IsAllForANewCaseButAMeshThatTheStoreHas) {
  const WorkLeft other = run::work_left(study_.output(), "b", {"s", "other", "v"}, {4, 0.0, 2});
  EXPECT_TRUE(other.files && other.mesh && other.solve);
  EXPECT_EQ(other.reason, "new");
  EXPECT_FALSE(run::work_left(study_.output(), "b", {"s", "mesh", "v"}, {4, 0.0, 2}).mesh);
}

TEST_F(WorkLeftOfCase, IsOnlyTheFilesWhenTheyAreJudgedOtherwise) {
  const WorkLeft work = left({"other", "mesh", "solve"});
  EXPECT_TRUE(work.files);
  EXPECT_FALSE(work.mesh || work.solve);
}

TEST_F(WorkLeftOfCase, IsTheSolverAndNotTheMeshWhenTheSolveKeyIsAnother) {
  const WorkLeft work = left({"other", "mesh", "other"});
  EXPECT_TRUE(work.solve);
  EXPECT_FALSE(work.mesh);
}

TEST_F(WorkLeftOfCase, IsTheSolverWhenMoreIterationsAreWanted) {
  EXPECT_TRUE(left({"other", "mesh", "solve"}, {6, 0.0, 2}).solve);
  EXPECT_FALSE(left({"other", "mesh", "solve"}, {2, 0.0, 2}).solve);
}

// Stopped at 0.5 % over 150 iterations, long before its ceiling of 4.
TEST_F(WorkLeftOfCase, IsTheSolverWhenAStricterRuleWouldNotHaveStoppedIt) {
  CaseState state = study_.state("a");
  state.stop_tolerance = 0.005;
  state.window = 150;
  write_case_state(state, study_.case_dir("a"));
  base::write_solver_end({base::EndedBy::Held, 2, "held"}, study_.case_dir("a"));
  const auto is_left = [&](const RunLength& length) { return left({"s", "mesh", "solve"}, length).solve; };
  EXPECT_FALSE(is_left({4, 0.005, 150}));
  EXPECT_FALSE(is_left({4, 0.01, 100}));
  EXPECT_FALSE(is_left({800, 0.005, 150}));
  EXPECT_TRUE(is_left({4, 0.002, 150}));
  EXPECT_TRUE(is_left({4, 0.005, 200}));
  EXPECT_TRUE(is_left({4, 0.0, 150}));   // always to the ceiling
  EXPECT_FALSE(is_left({2, 0.0, 150}));  // which it has reached
}

TEST_F(WorkLeftOfCase, IsTheSolverWhenTheResultIsDamaged) {
  study_.scratch().write("study/a/4/U", "half");
  EXPECT_TRUE(left({"source", "mesh", "solve"}).solve);
  EXPECT_THAT(left({"source", "mesh", "solve"}).reason, HasSubstr("damaged"));
}

TEST_F(WorkLeftOfCase, OfTidiedFieldsBeginsWithTheMeshWhenMoreIsWanted) {
  CaseState state = study_.state("a");
  state.kept = "tables";
  write_case_state(state, study_.case_dir("a"));
  EXPECT_FALSE(left({"source", "mesh", "solve"}).solve);
  const WorkLeft more = left({"source", "mesh", "solve"}, {6, 0.0, 2});
  EXPECT_TRUE(more.files && more.solve);
}

TEST_F(WorkLeftOfCase, PlacingKeepsTheLockWhoeverHoldsIt) {
  study_.scratch().write("study/a/case.lock", "me\n");
  foam::Case other = study_.built("a");
  other.keys.mesh = "other";
  study_.place(other);
  EXPECT_EQ(study_.file("a", "case.lock"), "me\n");
  EXPECT_FALSE(std::filesystem::exists(study_.case_dir("a") / "4"));
}

TEST_F(WorkLeftOfCase, PlacingAsFreshThrowsAwayWhatIsThere) {
  study_.place(study_.built("a"), true);
  EXPECT_FALSE(std::filesystem::exists(study_.case_dir("a") / "4"));
  EXPECT_TRUE(study_.state("a").finished.empty());
}

}  // namespace
