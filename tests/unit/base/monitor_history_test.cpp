// SPDX-License-Identifier: GPL-3.0-or-later
//
// Tables of function objects.
#include "geometry/base/monitor_history.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::base {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;

const MonitorRecord flow_monitor{"mass_flow", "exit", "flow_exit", "surfaceFieldValue.dat"};

TEST(Monitors, ReadsFirstAndLastColumnAndSkipsComments) {
  const History history = parse_history(
      "# Region type : faceZone exit\n# Time \tsum(phi)\n1   9 \t0.5\n2\t9\t-1.5e-1\r\n\n", "t");
  EXPECT_THAT(history.time, ElementsAre(1.0, 2.0));
  EXPECT_THAT(history.value, ElementsAre(0.5, -0.15));
}

TEST(Monitors, ReadsAChosenColumnOfATableOfVectors) {
  const std::string table =
      "# Time (total_x total_y) (pressure_x pressure_y)\n1 \t(1 2)\t(3 4.5)\n2\t(5 6)\t(7 8)\n";
  EXPECT_THAT(parse_history(table, "t", 4).value, ElementsAre(4.5, 8.0));
  EXPECT_THAT(parse_history(table, "t", 1).value, ElementsAre(1.0, 5.0));
  EXPECT_THAT([&] { parse_history(table, "force.dat", 5); },
              ThrowsMessage<ResultError>(HasSubstr("force.dat:2")));
}

TEST(Monitors, LeavesOutALineThatIsStillBeingWritten) {
  EXPECT_THAT(parse_history("1 0.5\n2 0.6\n3 0.", "t").time, ElementsAre(1.0, 2.0));
}

TEST(Monitors, CountsPrintedDigits) {
  EXPECT_EQ(parse_history("1 1.45631110e+00\n", "t").digits, 9);
  EXPECT_EQ(parse_history("1 -0.00123\n2 0.1\n", "t").digits, 3);
}

TEST(Monitors, ReadsNotANumberAsANumberThatIsNone) {
  EXPECT_TRUE(std::isnan(parse_history("1 nan\n", "t").value.at(0)));
}

TEST(Monitors, DamagedLineIsNamedWithItsNumber) {
  EXPECT_THAT([] { parse_history("1 0.5\n2 (0 0)\n", "flow.dat"); },
              ThrowsMessage<ResultError>(AllOf(HasSubstr("flow.dat:2"), HasSubstr("(0 0)"))));
  EXPECT_THAT([] { parse_history("7\n", "flow.dat"); }, ThrowsMessage<ResultError>(HasSubstr("flow.dat:1")));
}

TEST(Monitors, AfterARestartTheLaterStartHolds) {
  const ScratchFolder folder;
  folder.write("postProcessing/flow_exit/0/surfaceFieldValue.dat", "1 10\n2 20\n3 30\n4 40\n");
  folder.write("postProcessing/flow_exit/2/surfaceFieldValue.dat", "3 31\n4 41\n5 51\n");
  const History history = read_history(folder.path(), flow_monitor);
  EXPECT_THAT(history.time, ElementsAre(1.0, 2.0, 3.0, 4.0, 5.0));
  EXPECT_THAT(history.value, ElementsAre(10.0, 20.0, 31.0, 41.0, 51.0));
}

// A shorter second run: what the first one said about later iterations belongs to a run that is gone.
TEST(Monitors, ARestartThatEndsEarlierDropsTheOldEnd) {
  const ScratchFolder folder;
  folder.write("postProcessing/flow_exit/0/surfaceFieldValue.dat", "1 10\n2 20\n3 30\n4 40\n");
  folder.write("postProcessing/flow_exit/1/surfaceFieldValue.dat", "2 21\n");
  EXPECT_THAT(read_history(folder.path(), flow_monitor).value, ElementsAre(10.0, 21.0));
}

TEST(Monitors, StartTimesAreOrderedByNumber) {
  const ScratchFolder folder;
  folder.write("postProcessing/flow_exit/100/surfaceFieldValue.dat", "101 3\n");
  folder.write("postProcessing/flow_exit/20/surfaceFieldValue.dat", "21 2\n101 9\n");
  EXPECT_THAT(read_history(folder.path(), flow_monitor).value, ElementsAre(2.0, 3.0));
}

// Started again from the same time, the solver keeps the old table and opens name_<time>.dat.
TEST(Monitors, ASecondTableOfTheSameStartHolds) {
  const ScratchFolder folder;
  folder.write("postProcessing/flow_exit/0/surfaceFieldValue.dat", "1 10\n2 20\n");
  folder.write("postProcessing/flow_exit/0/surfaceFieldValue_0.dat", "1 11\n");
  EXPECT_THAT(read_history(folder.path(), flow_monitor).value, ElementsAre(11.0));
}

TEST(Monitors, IterationsThatStartAgainInOneTableHold) {
  EXPECT_THAT(parse_history("1 10\n2 20\n1 11\n", "t").value, ElementsAre(11.0));
}

TEST(Monitors, NothingWrittenIsAnEmptyHistory) {
  const ScratchFolder folder;
  EXPECT_TRUE(read_history(folder.path(), flow_monitor).is_empty());
}

History history_of(std::vector<double> time, std::vector<double> value) {
  return {.time = std::move(time), .value = std::move(value)};
}

TEST(AlignedHistories, HoldTheIterationsThatAllHave) {
  const History a = history_of({1, 2, 3, 4}, {10, 20, 30, 40});
  const History b = history_of({2, 4, 5}, {0.2, 0.4, 0.5});
  const std::vector<const History*> both{&a, &b};
  const AlignedHistories aligned = align(both);
  EXPECT_THAT(aligned.iteration, ElementsAre(2.0, 4.0));
  EXPECT_THAT(aligned.values.at(0), ElementsAre(20.0, 40.0));
  EXPECT_THAT(aligned.values.at(1), ElementsAre(0.2, 0.4));
  EXPECT_TRUE(align({}).iteration.empty());
}

TEST(EndsEarly, OneStepBehindIsUsualTwoAreNot) {
  const History every_second = history_of({2, 4, 6, 8}, {1, 1, 1, 1});
  EXPECT_FALSE(ends_early(every_second, 8.0));
  EXPECT_FALSE(ends_early(every_second, 10.0));
  EXPECT_TRUE(ends_early(every_second, 12.0));
  EXPECT_TRUE(ends_early({}, 1.0));
}

}  // namespace
}  // namespace cowlwright::base
