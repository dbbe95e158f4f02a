// SPDX-License-Identifier: GPL-3.0-or-later
//
// A sweep run with a shell script in place of `cowlwright task` and `cowlwright tables`.
#include "cases/run/sweep_run.h"

#include "cases/run/process.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>

namespace cowlwright::run {
namespace {

using base::TaskKind;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing_support::ScratchFolder;
using testing_support::text_of;

/// The program's script gets the verb as $1, the output folder as $2, the task's index as $3.
class SweepRunTest : public testing::Test {
 protected:
  void TearDown() override { std::fclose(printed_); }

  std::size_t add(const std::string& folder, TaskKind kind, std::vector<std::size_t> after = {}) {
    std::filesystem::create_directories(output() / folder);
    base::write_case_state({}, output() / folder);
    sweep_.tasks.push_back({.case_folder = folder, .kind = kind, .after = std::move(after), .reason = "new"});
    return sweep_.tasks.size() - 1;
  }
  std::filesystem::path output() const { return scratch_.path() / "study"; }

  /// @param body  of `task`, for each index "0) ...;;".
  std::vector<CaseOutcome> run(const std::string& body) {
    SweepRun run{.output = output(),
                 .sweep = sweep_,
                 .machine = {.cores = 1, .memory = 1e9},
                 .environment = {"PATH=/usr/bin:/bin"}};
    run.program = scratch_.write_program(
        "program", "echo $1 $3 >> $2/trace\n[ $1 = tables ] && exit 0\ncase $3 in\n" + body + "\nesac\n");
    for (std::size_t i = 0; i < sweep_.tasks.size(); ++i) run.schedule.slots.push_back({.task = i});
    ProgressPrinter printer(printed_, 0);
    return run_sweep(run, printer);
  }
  std::string printed() const {
    std::fflush(printed_);
    std::rewind(printed_);
    std::string text;
    for (int c = std::fgetc(printed_); c != EOF; c = std::fgetc(printed_)) text += static_cast<char>(c);
    return text;
  }
  std::string trace() const { return text_of(output() / "trace"); }

  ScratchFolder scratch_;
  base::Sweep sweep_;
  std::FILE* printed_ = std::tmpfile();
};

TEST_F(SweepRunTest, RunsMeshThenSolveAndTellsWhatTheTaskToldOfThem) {
  add("a", TaskKind::Mesh);
  add("a", TaskKind::Solve, {0});
  const auto outcomes = run("0) echo '  mesh: 71 cells';;\n1) echo '  solver held: 0.4 %'; echo chatter;;");
  ASSERT_EQ(outcomes.size(), 1U);
  EXPECT_EQ(outcomes[0].outcome, Outcome::Finished);
  EXPECT_EQ(exit_code_of(outcomes), 0);
  EXPECT_THAT(printed(),
              AllOf(HasSubstr("[1/1] a: meshed"),
                    HasSubstr("mesh: 71 cells"),
                    HasSubstr("[1/1] a: solved"),
                    HasSubstr("solver held: 0.4 %"),
                    Not(HasSubstr("chatter"))));
}

TEST_F(SweepRunTest, WritesTheTablesAgainWhenACaseHasEnded) {
  add("a", TaskKind::Solve);
  add("b", TaskKind::Solve);
  run("0) ;;\n1) for i in $(seq 500); do grep -q tables $2/trace && exit 0; sleep 0.01; done; exit 3;;");
  EXPECT_EQ(trace(), "task 0\ntask 1\ntables\n");
}

TEST_F(SweepRunTest, GoesOnWithTheOthersAndHasTheExitCodeOfTheFirstThatFailed) {
  add("a", TaskKind::Solve);
  add("b", TaskKind::Solve);
  add("c", TaskKind::Solve);
  base::CaseState failed;
  failed.phase = base::CasePhase::Failed;
  failed.message = "mass imbalance";
  base::write_case_state(failed, output() / "a");
  const auto outcomes = run("0) exit 4;;\n1) echo 'no such thing'; exit 3;;\n2) ;;");
  EXPECT_EQ(outcomes[0].message, "mass imbalance");
  EXPECT_THAT(outcomes[1].message, AllOf(HasSubstr("no such thing"), HasSubstr("logs/b.log")));
  EXPECT_EQ(outcomes[2].outcome, Outcome::Finished);
  EXPECT_EQ(exit_code_of(outcomes), 4);
  EXPECT_THAT(printed(), HasSubstr("[1/3] a: FAILED\n  mass imbalance"));
}

TEST_F(SweepRunTest, ACaseWhoseMeshFailedInAnothersFolderHasFailedOnDiskToo) {
  add("a", TaskKind::Mesh);
  add("a", TaskKind::Solve, {0});
  add("b", TaskKind::Solve, {0});
  const auto outcomes = run("0) echo 'a leak'; exit 4;;\n*) touch $2/solved;;");
  EXPECT_EQ(outcomes[0].outcome, Outcome::Failed);
  EXPECT_EQ(outcomes[1].outcome, Outcome::Failed);
  EXPECT_EQ(outcomes[1].exit_code, 4);
  EXPECT_FALSE(std::filesystem::exists(output() / "solved"));
  const auto state = base::read_case_state(output() / "b");
  ASSERT_TRUE(state.has_value());
  EXPECT_EQ(state->phase, base::CasePhase::Failed);
  EXPECT_THAT(state->message, AllOf(HasSubstr("its mesh, made for a, failed"), HasSubstr("a leak")));
}

TEST_F(SweepRunTest, TellsOfWhatWasDoneBeforeAndDoesNotRunIt) {
  add("a", TaskKind::Solve);
  sweep_.tasks[0].is_done = true;
  sweep_.tasks[0].reason = "all done before";
  const auto outcomes = run("*) exit 3;;");
  EXPECT_EQ(outcomes[0].outcome, Outcome::Finished);
  EXPECT_EQ(trace(), "");
  EXPECT_THAT(printed(), HasSubstr("[1/1] a: all done before"));
}

TEST_F(SweepRunTest, StopsOnRequestWithTheTablesUpToDate) {
  add("a", TaskKind::Solve);
  add("b", TaskKind::Solve);
  add("c", TaskKind::Solve);
  const auto outcomes =
      run("0) ;;\n1) trap 'exit 130' TERM; kill -TERM $PPID; while true; do sleep 0.02; done;;");
  EXPECT_EQ(outcomes[0].outcome, Outcome::Finished);
  EXPECT_EQ(outcomes[1].outcome, Outcome::Stopped);
  EXPECT_EQ(outcomes[2].outcome, Outcome::NotBegun);
  EXPECT_EQ(exit_code_of(outcomes), interrupted_exit_code);
  EXPECT_THAT(trace(), testing::EndsWith("tables\n"));
  EXPECT_THAT(printed(), HasSubstr("[2/3] b: stopped on request; the same command goes on from here"));
}

TEST(TimeTable, HasOneLineACaseAndBracketsReusedMeshes) {
  CaseOutcome fresh{.name = "lip_0",
                    .stages = {{"snap", 40.0}, {"check", 2.0}, {"solve", 300.0}, {"join", 3.0}}};
  CaseOutcome reused{.name = "fast", .stages = {{"snap", 40.0, true}, {"solve", 200.0}}};
  EXPECT_EQ(time_table({fresh, reused}),
            "case     mesh [s]   solve [s]   other [s]\n"
            "lip_0        42.0       300.0         3.0\n"
            "fast       (40.0)       200.0         0.0\n");
}

}  // namespace
}  // namespace cowlwright::run
