// SPDX-License-Identifier: GPL-3.0-or-later
//
// The driver ends a solver whose monitors have held, and says how it ended. A shell script stands in for the
// solver: it gives the tables that the test prepared and goes on until it is asked to stop, as the real one
// does.
#include "cases/run/stages.h"
#include "geometry/base/solver_end.h"
#include "tests/support/synthetic_series.h"
#include "tests/unit/run/monitor_tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using namespace cowlwright::testing_support;
using base::EndedBy;
using testing::HasSubstr;

class HeldRun : public testing::Test {
 protected:
  /// Solves a case of 300 iterations whose exit flow is `exit_flow`.
  base::CaseState solve(const std::vector<double>& exit_flow) {
    scratch_.write_program("solve",
                           "cp -r tables postProcessing\n"
                           "echo 'Time = 1'; echo 'Time = 300'\n"
                           "for i in $(seq " +
                               std::to_string(patience_tenths_) +
                               "); do\n"
                               "  if [ -e STOP ]; then echo 'stopped at 301'; exit 0; fi; sleep 0.1\n"
                               "done\n"
                               "echo 'Time = " +
                               std::to_string(manifest_.last_iteration) + "'\n");
    run::CaseRun run{.directory = scratch_.path() / "a", .environment = {"PATH=/usr/bin:/bin"}};
    run.stages = {
        {foam::solve_stage, {(scratch_.path() / "solve").string()}, "log.solve", foam::Step::Solve}};
    std::filesystem::create_directories(run.directory);
    base::write_manifest(manifest_, run.directory);
    for (const base::MonitorRecord& monitor : manifest_.monitors) {
      const bool is_pressure = monitor.quantity == "mean_pressure";
      write_table(run.directory,
                  monitor,
                  monitor.subject == "exit" ? exit_flow
                                            : std::vector<double>(exit_flow.size(),
                                                                  monitor.subject == "lower_deck" ? 90100.0
                                                                  : is_pressure                   ? 91100.0
                                                                                                  : 0.2));
    }
    std::filesystem::rename(run.directory / "postProcessing", run.directory / "tables");
    return run_stages(run, base::CaseState{}, run.stages.size());
  }
  std::optional<base::SolverEnd> end() const { return base::read_solver_end(scratch_.path() / "a"); }
  std::string log() const { return text_of(scratch_.path() / "a" / "log.solve"); }

  ScratchFolder scratch_;
  base::Manifest manifest_ = monitored_case();
  int patience_tenths_ = 300;  // the script gives up after 30 s, ten times what a judgement needs
};

TEST_F(HeldRun, IsStoppedAndCountsAsFinished) {
  const base::CaseState outcome = solve(swing(-0.4, 0.0012, 300));  // 0.3 %
  EXPECT_EQ(outcome.phase, base::CasePhase::Finished);
  EXPECT_THAT(log(), HasSubstr("stopped at 301"));
  ASSERT_TRUE(end().has_value());
  EXPECT_EQ(end()->ended_by, EndedBy::Held);
  EXPECT_EQ(end()->iteration, 300);
  EXPECT_THAT(end()->reason, HasSubstr("widest half band 0.30 % (exit flow)"));
  EXPECT_THAT(base::solver_end_text(*end()), HasSubstr("held: widest half band 0.30 %"));
  const auto state = base::read_case_state(scratch_.path() / "a");
  ASSERT_TRUE(state.has_value());
  EXPECT_EQ(state->phase, base::CasePhase::Finished);
}

TEST_F(HeldRun, GoesOnWhenAFlowSwingsTooWide) {
  manifest_.last_iteration = 300;
  patience_tenths_ = 45;  // longer than the pause between two judgements, 3 s
  const base::CaseState outcome = solve(swing(-0.4, 0.004, 300));  // 1 %
  EXPECT_EQ(outcome.phase, base::CasePhase::Finished);
  EXPECT_EQ(log().find("stopped"), std::string::npos);
  ASSERT_TRUE(end().has_value());
  EXPECT_EQ(end()->ended_by, EndedBy::Ceiling);
  EXPECT_THAT(end()->reason, AllOf(HasSubstr("not held"), HasSubstr("1.00 % (exit flow)")));
  EXPECT_THAT(base::solver_end_text(*end()), HasSubstr("ceiling: 300 iterations; not held"));
}

TEST_F(HeldRun, GoesOnToTheCeilingWhenTheStudySaysSo) {
  manifest_.stop_when_held = false;
  manifest_.last_iteration = 300;
  patience_tenths_ = 45;
  solve(swing(-0.4, 0.0, 300));
  EXPECT_EQ(log().find("stopped"), std::string::npos);
  ASSERT_TRUE(end().has_value());
  EXPECT_EQ(end()->ended_by, EndedBy::Ceiling);
}

TEST_F(HeldRun, IsToldFromAStopByHand) {
  manifest_.stop_when_held = false;
  patience_tenths_ = 1;
  solve(swing(-0.4, 0.0, 300));  // the script ends by itself at iteration 300 of 800
  ASSERT_TRUE(end().has_value());
  EXPECT_EQ(end()->ended_by, EndedBy::Asked);
  EXPECT_EQ(end()->iteration, 300);
}

}  // namespace
