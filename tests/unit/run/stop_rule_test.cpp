// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whether the solver may be stopped, on tables whose answer is known: rests, swings, drifts, gaps.
#include "cases/run/stop_rule.h"

#include "tests/support/synthetic_series.h"
#include "tests/unit/run/monitor_tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace {

using namespace cowlwright;
using namespace cowlwright::testing_support;
using run::HoldVerdict;
using testing::AllOf;
using testing::HasSubstr;

class StopRule : public testing::Test {
 protected:
  /// All monitors at rest over n iterations: upper decks 91100 Pa, lower 90100 Pa, flows 0.2, 0.25 and -0.45
  /// kg/s.
  void write_rest(std::size_t n) {
    for (const base::MonitorRecord& monitor : manifest_.monitors) {
      write(monitor.subject, std::vector<double>(n, rest_of(monitor.subject)));
    }
  }
  void write(const std::string& subject, const std::vector<double>& values) {
    for (const base::MonitorRecord& monitor : manifest_.monitors) {
      if (monitor.subject == subject) write_table(folder_.path(), monitor, values);
    }
  }
  static double rest_of(const std::string& subject) {
    if (subject == "lower_deck") return 90100.0;
    if (subject.starts_with("upper")) return 91100.0;
    return subject == "exit" ? -0.45 : subject == "inlet_left" ? 0.2 : 0.25;
  }
  HoldVerdict verdict() const { return run::judge_hold(folder_.path(), manifest_); }

  base::Manifest manifest_ = monitored_case();
  ScratchFolder folder_;
};

TEST_F(StopRule, HoldsWhenEverythingRests) {
  write_rest(300);
  // 4 Pa of 1000 Pa, both upper decks together: half band 0.4 %.
  write("upper_deck_left", swing(91100.0, 4.0, 300, 30.0));
  write("upper_deck_right", swing(91100.0, 4.0, 300, 30.0));
  EXPECT_TRUE(verdict().has_held) << verdict().reason;
  EXPECT_EQ(verdict().iteration, 300);
  EXPECT_THAT(verdict().reason,
              AllOf(HasSubstr("0.40 % (deck pressure difference)"),
                    HasSubstr("limit 0.50 %"),
                    HasSubstr("over 150 iterations at iteration 300")));
}

// A closed reference has nothing but its force: 200 and 20 N rest, then one of them swings by 2 % of the sum.
TEST_F(StopRule, JudgesAClosedReferenceByItsForce) {
  manifest_.is_reference = true;
  manifest_.planes.clear();
  manifest_.zones.clear();
  manifest_.monitors = {{"pressure_force", "outside", "pressure_on_walls", "force.dat"},
                        {"viscous_force", "outside", "friction_on_walls", "force.dat"}};
  write_table(folder_.path(), manifest_.monitors[0], std::vector<double>(300, 200.0));
  write_table(folder_.path(), manifest_.monitors[1], std::vector<double>(300, 20.0));
  EXPECT_TRUE(verdict().has_held) << verdict().reason;
  write_table(folder_.path(), manifest_.monitors[0], swing(200.0, 4.4, 300, 30.0));
  EXPECT_FALSE(verdict().has_held);
  EXPECT_THAT(verdict().reason, HasSubstr("drag"));
}

// Both decks swing together by 1 % of q; their difference rests.
TEST_F(StopRule, JudgesTheDifferenceNotTheDecks) {
  write_rest(300);
  for (const char* deck : {"upper_deck_left", "upper_deck_right"})
    write(deck, swing(91100.0, 50.0, 300, 30.0));
  write("lower_deck", swing(90100.0, 50.0, 300, 30.0));
  EXPECT_TRUE(verdict().has_held) << verdict().reason;
}

TEST_F(StopRule, DoesNotHoldOnAQuietEndOfASwing) {
  write_rest(300);
  std::vector<double> flow = swing(-0.45, 0.01, 300, 60.0);
  std::fill(flow.end() - 20, flow.end(), -0.45);  // quiet for the last samples
  write("exit", flow);
  EXPECT_FALSE(verdict().has_held);
  EXPECT_THAT(verdict().reason, HasSubstr("exit flow"));
}

// The mean of the last samples meets the mean of the window again and again: never enough.
TEST_F(StopRule, NeverHoldsWhileOneFlowSwingsWide) {
  for (std::size_t n = 200; n <= 500; n += 7) {
    write_rest(n);
    write("inlet_left", swing(0.2, 0.003, static_cast<int>(n), 60.0));  // 1.5 %
    EXPECT_FALSE(verdict().has_held) << n;
  }
}

// 0.6 % over 150 iterations lies within the band of 0.5 % either way; halves differ by 0.3 %, limit 0.25 %.
TEST_F(StopRule, DoesNotHoldDuringASlowDrift) {
  for (std::size_t n = 200; n <= 600; n += 50) {
    write_rest(n);
    std::vector<double> drift;
    for (std::size_t i = 0; i < n; ++i)
      drift.push_back(0.25 * (1.0 + 0.006 / 150.0 * static_cast<double>(i)));
    write("inlet_right", drift);
    EXPECT_FALSE(verdict().has_held) << n;
    EXPECT_THAT(verdict().reason, HasSubstr("flow of inlet_right")) << n;
  }
}

// A fall over 100 iterations, then rest: never before a window of rest has passed, and once half of the
// history is rest, always.
TEST_F(StopRule, HoldsOnlyAWindowAfterTheTransient) {
  for (std::size_t n = 160; n <= 500; n += 20) {
    write_rest(n);
    std::vector<double> flow(n, -0.45);
    for (std::size_t i = 0; i < 100; ++i) flow[i] = -0.45 - 0.003 * static_cast<double>(100 - i);
    write("exit", flow);
    if (n < 250) {
      EXPECT_FALSE(verdict().has_held) << n;
    } else if (n >= 260) {
      EXPECT_TRUE(verdict().has_held) << n << ": " << verdict().reason;
    }
  }
}

TEST_F(StopRule, DoesNotHoldBeforeTheWindowIsFull) {
  write_rest(120);
  EXPECT_FALSE(verdict().has_held);
  EXPECT_THAT(verdict().reason, HasSubstr("fewer iterations than the window"));
}

TEST_F(StopRule, DoesNotHoldWhileOneMonitorHasWrittenNothing) {
  write_rest(400);
  std::filesystem::remove_all(folder_.path() / "postProcessing/flow_inlet_right");
  EXPECT_FALSE(verdict().has_held);
  EXPECT_THAT(verdict().reason, HasSubstr("no monitor of inlet_right"));
}

TEST_F(StopRule, DoesNotHoldWhenTheCaseHasNoExitOrNoMonitors) {
  write_rest(400);
  base::Manifest no_exit = manifest_;
  no_exit.planes.pop_back();
  EXPECT_THAT(run::judge_hold(folder_.path(), no_exit).reason, HasSubstr("nothing to tell exit flow by"));
  base::Manifest no_monitors = manifest_;
  no_monitors.monitors.clear();
  EXPECT_FALSE(run::judge_hold(folder_.path(), no_monitors).has_held);
}

TEST_F(StopRule, DoesNotHoldOnAMonitorThatWasLost) {
  write_rest(400);
  write("exit", std::vector<double>(300, -0.45));
  EXPECT_FALSE(verdict().has_held);
  EXPECT_THAT(verdict().reason, HasSubstr("ends at iteration 300, others at 400"));
}

TEST_F(StopRule, HoldsWhileTheSolverIsInTheMiddleOfARow) {
  write_rest(300);
  write("exit", std::vector<double>(299, -0.45));
  EXPECT_TRUE(verdict().has_held) << verdict().reason;
  EXPECT_EQ(verdict().iteration, 299);
}

TEST_F(StopRule, DoesNotHoldOnDamagedOrDivergedNumbers) {
  write_rest(300);
  folder_.write("postProcessing/flow_exit/0/surfaceFieldValue.dat", "1 0.4\nx y\n");
  EXPECT_FALSE(verdict().has_held);
  EXPECT_THAT(verdict().reason, HasSubstr("damaged"));
  write_rest(300);
  folder_.write("postProcessing/flow_exit/0/surfaceFieldValue.dat",
                table_text(std::vector<double>(299, 0.4)) + "300 nan\n");
  EXPECT_FALSE(verdict().has_held);
  EXPECT_THAT(verdict().reason, HasSubstr("diverged"));
}

}  // namespace
