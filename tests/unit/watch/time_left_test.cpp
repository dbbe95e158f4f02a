// SPDX-License-Identifier: GPL-3.0-or-later
//
// Time left of a sweep, each by hand.
#include "cases/watch/sweep_status.h"

#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using base::TaskKind;
using watch::CaseStatus;
using watch::Standing;

base::CaseState solved_in(double mesh, double solve) {
  base::CaseState state;
  state.finished = {{"check", mesh}, {"solve", solve}};
  state.phase = base::CasePhase::Finished;
  return state;
}

CaseStatus waiting(const std::string& folder) {
  return {.case_folder = folder};
}

base::Sweep sweep_of(std::vector<base::Task> tasks, int cores) {
  base::Sweep sweep;
  sweep.cores = cores;
  sweep.tasks = std::move(tasks);
  return sweep;
}

// Work 2 x 100 s + 1 x 60 s = 260 core s over 2 cores: 130 s, longer than either task.
TEST(TimeLeft, IsWorkOverCoresWhenTasksDoNotWaitForOneAnother) {
  const auto sweep = sweep_of({{.case_folder = "a", .ranks = 2, .expected_seconds = 100.0},
                               {.case_folder = "b", .expected_seconds = 60.0}},
                              2);
  const watch::TimeLeft left = watch::time_left(sweep, {waiting("a"), waiting("b")});
  EXPECT_DOUBLE_EQ(left.core_seconds, 260.0);
  ASSERT_TRUE(left.seconds);
  EXPECT_DOUBLE_EQ(*left.seconds, 130.0);
  EXPECT_EQ(left.n_measured, 0);
}

// 64 cores do not make a chain of 100 + 60 s shorter.
TEST(TimeLeft, IsNoShorterThanTheLongestChain) {
  const auto sweep = sweep_of({{.case_folder = "a", .expected_seconds = 100.0},
                               {.case_folder = "b", .after = {0}, .expected_seconds = 60.0}},
                              64);
  EXPECT_DOUBLE_EQ(*watch::time_left(sweep, {waiting("a"), waiting("b")}).seconds, 160.0);
}

// The case solved took 100 + 500 s in place of 50 + 250 s: what is left takes twice the 100 s expected.
TEST(TimeLeft, IsCorrectedByWhatTheSolvedCasesTook) {
  const auto sweep = sweep_of({{.case_folder = "a", .kind = TaskKind::Mesh, .expected_seconds = 50.0},
                               {.case_folder = "a", .after = {0}, .expected_seconds = 250.0},
                               {.case_folder = "b", .expected_seconds = 100.0}},
                              1);
  CaseStatus solved{.case_folder = "a", .standing = Standing::Solved};
  solved.state = solved_in(100.0, 500.0);
  const watch::TimeLeft left = watch::time_left(sweep, {solved, waiting("b")});
  EXPECT_DOUBLE_EQ(*left.seconds, 200.0);
  EXPECT_EQ(left.n_measured, 1);
}

TEST(TimeLeft, LearnsNothingFromStagesTakenOverFromAnEarlierRun) {
  const auto sweep = sweep_of({{.case_folder = "a", .is_done = true, .expected_seconds = 10.0},
                               {.case_folder = "b", .expected_seconds = 100.0}},
                              1);
  CaseStatus solved{.case_folder = "a", .standing = Standing::Solved};
  solved.state = solved_in(100.0, 500.0);
  const watch::TimeLeft left = watch::time_left(sweep, {solved, waiting("b")});
  EXPECT_DOUBLE_EQ(*left.seconds, 100.0);
  EXPECT_EQ(left.n_measured, 0);
}

// The solver at work says 40 s; its mesh is made, so that only the other case's 100 s come on top.
TEST(TimeLeft, TakesTheWordOfTheSolverAtWork) {
  const auto sweep = sweep_of({{.case_folder = "a", .kind = TaskKind::Mesh, .expected_seconds = 50.0},
                               {.case_folder = "a", .after = {0}, .expected_seconds = 250.0},
                               {.case_folder = "b", .expected_seconds = 100.0}},
                              1);
  CaseStatus working{.case_folder = "a", .standing = Standing::Working};
  working.state = base::CaseState{};
  working.state->finished = {{"check", 50.0}};
  working.progress = base::Progress{};
  working.progress->iteration = 120;
  working.progress->seconds_left = 40.0;
  EXPECT_DOUBLE_EQ(*watch::time_left(sweep, {working, waiting("b")}).seconds, 140.0);
}

TEST(TimeLeft, CountsOnTheRanksAtWorkWhereTheCoresAreNotKnownAndSaysNothingWithoutAny) {
  const auto sweep = sweep_of({{.case_folder = "a", .ranks = 4, .expected_seconds = 100.0},
                               {.case_folder = "b", .ranks = 4, .expected_seconds = 100.0}},
                              0);
  CaseStatus working{.case_folder = "a", .standing = Standing::Working};
  working.state = base::CaseState{};
  working.state->finished = {{"check", 50.0}};
  const watch::TimeLeft left = watch::time_left(sweep, {working, waiting("b")});
  EXPECT_EQ(left.cores, 4);
  EXPECT_DOUBLE_EQ(*left.seconds, 200.0);
  const watch::TimeLeft unknown = watch::time_left(sweep, {waiting("a"), waiting("b")});
  EXPECT_FALSE(unknown.seconds.has_value());
  EXPECT_DOUBLE_EQ(unknown.core_seconds, 800.0);
}

TEST(TimeLeft, IsNothingWhenAllHasEnded) {
  const auto sweep = sweep_of({{.case_folder = "a", .expected_seconds = 100.0}}, 2);
  CaseStatus failed{.case_folder = "a", .standing = Standing::Failed};
  EXPECT_DOUBLE_EQ(*watch::time_left(sweep, {failed}).seconds, 0.0);
}

}  // namespace
