// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading a solver's log and monitors while they grow. Tables look as the solver's function objects write
// them.
#include "cases/run/solver_watch.h"

#include "tests/support/scratch_folder.h"
#include "tests/unit/run/monitor_tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

namespace {

using namespace cowlwright;
using testing::ElementsAre;
using testing::IsEmpty;
using testing_support::ScratchFolder;

void append(const std::filesystem::path& file, const std::string& text) {
  std::ofstream(file, std::ios::app) << text;
}

TEST(LogTail, GivesEachLineOnceAndKeepsAHalfWrittenOneForLater) {
  const ScratchFolder folder;
  run::LogTail tail(folder.path() / "log");
  EXPECT_THAT(tail.new_lines(), IsEmpty());
  append(folder.path() / "log", "one\ntw");
  EXPECT_THAT(tail.new_lines(), ElementsAre("one"));
  EXPECT_THAT(tail.new_lines(), IsEmpty());
  append(folder.path() / "log", "o\nthree\n");
  EXPECT_THAT(tail.new_lines(), ElementsAre("two", "three"));
}

TEST(IterationOf, ReadsTheSolversTimeLineOnly) {
  EXPECT_EQ(run::iteration_of("Time = 120"), 120);
  EXPECT_EQ(run::iteration_of("ExecutionTime = 12.3 s  ClockTime = 13 s"), std::nullopt);
  EXPECT_EQ(run::iteration_of("Create mesh for time = 0"), std::nullopt);
}

class Monitors : public testing::Test {
 protected:
  void write_table(const std::string& function_object,
                   const std::string& start,
                   const std::string& rows) const {
    const bool is_flow = function_object.starts_with("flow");
    folder_.write("postProcessing/" + function_object + "/" + start + "/" +
                      (is_flow ? "surfaceFieldValue.dat" : "volFieldValue.dat"),
                  "# Region type : faceZone x\n# Faces  : 120\n# Time        \tsum(phi)\n" + rows);
  }
  ScratchFolder folder_;
  base::Manifest manifest_ = testing_support::monitored_case();
};

TEST_F(Monitors, TakeTheLastCompleteRowOfTheYoungestTable) {
  write_table("flow_exit", "0", "1            \t0.1\n250          \t0.2\n");
  write_table("flow_exit", "200", "201          \t0.3\n202          \t0.4\n203          \t0.");
  EXPECT_THAT(run::last_row(folder_.path(), manifest_.monitors.back()), ElementsAre(202, 0.4));
}

TEST_F(Monitors, ReadTheLastRowOfALongTable) {
  std::string rows;
  for (int i = 1; i <= 2000; ++i) rows += std::to_string(i) + "            \t" + std::to_string(i) + ".5\n";
  write_table("flow_exit", "0", rows);
  EXPECT_THAT(run::last_row(folder_.path(), manifest_.monitors.back()), ElementsAre(2000, 2000.5));
}

TEST_F(Monitors, GiveNothingBeforeThereIsARow) {
  EXPECT_THAT(run::last_row(folder_.path(), manifest_.monitors.back()), IsEmpty());
  write_table("flow_exit", "0", "");
  EXPECT_THAT(run::last_row(folder_.path(), manifest_.monitors.back()), IsEmpty());
}

TEST_F(Monitors, WeighTheUpperDecksByVolumeAndAddTheInlets) {
  write_table("pressure_upper_deck_left", "0", "10 \t91000\n");
  write_table("pressure_upper_deck_right", "0", "10 \t91400\n");
  write_table("pressure_lower_deck", "0", "10 \t90100\n");
  write_table("flow_inlet_left", "0", "10 \t0.20\n");
  write_table("flow_inlet_right", "0", "10 \t0.25\n");
  write_table("flow_exit", "0", "10 \t0.44\n");
  const run::MonitorReading reading = run::read_monitors(folder_.path(), manifest_);
  // By hand: (0.03*91000 + 0.01*91400)/0.04 = 91100 Pa; 91100 - 90100 = 1000 Pa. Exact but for rounding.
  ASSERT_TRUE(reading.deck_pressure_difference && reading.inlet_flow && reading.exit_flow);
  EXPECT_NEAR(*reading.deck_pressure_difference, 1000.0, 1e-9);
  EXPECT_NEAR(*reading.inlet_flow, 0.45, 1e-12);
  EXPECT_NEAR(*reading.exit_flow, 0.44, 1e-12);
}

TEST_F(Monitors, LeaveOutASumThatIsNotWhole) {
  write_table("flow_inlet_left", "0", "10 \t0.20\n");
  EXPECT_FALSE(run::read_monitors(folder_.path(), manifest_).inlet_flow.has_value());
}

}  // namespace
