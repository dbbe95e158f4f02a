// SPDX-License-Identifier: GPL-3.0-or-later
//
// The solver's table of y+: which rows count.
#include "post/extract/y_plus.h"

#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::post {
namespace {

using testing::IsEmpty;
using testing::SizeIs;
using testing_support::ScratchFolder;

const std::string heading = "# y+ ()             \n# Time\tpatch\tmin\tmax\taverage\n";

CaseLayout layout_at(const ScratchFolder& folder, double time) {
  CaseLayout layout;
  layout.case_dir = folder.path();
  layout.time = time;
  return layout;
}

base::Manifest manifest_with_y_plus() {
  base::Manifest manifest;
  manifest.monitors = {{"mass_flow", "exit", "flow_exit", "surfaceFieldValue.dat"},
                       {"y_plus", "walls", "y_plus", "yPlus.dat"}};
  return manifest;
}

// As OpenFOAM 1912 writes it.
TEST(YPlus, ColumnsArePatchSmallestLargestMean) {
  const auto rows =
      parse_y_plus(heading + "402     \tcowl\t3.115488138260e+01\t1.563251627303e+03\t3.19e+02\n", 402);
  ASSERT_THAT(rows, SizeIs(1));
  EXPECT_EQ(rows[0].patch, "cowl");
  EXPECT_DOUBLE_EQ(rows[0].smallest, 31.15488138260);
  EXPECT_DOUBLE_EQ(rows[0].largest, 1563.251627303);
  EXPECT_DOUBLE_EQ(rows[0].mean, 319.0);
}

TEST(YPlus, OnlyTheIterationAskedForCountsAndItsLaterRowsHold) {
  const std::string text =
      heading + "100 cowl 1 2 1.5\n200 cowl 3 4 3.5\n200 cowl 5 6 5.5\n300 cowl 7 8 7.5\n";
  const auto rows = parse_y_plus(text, 200);
  ASSERT_THAT(rows, SizeIs(1));
  EXPECT_DOUBLE_EQ(rows[0].mean, 5.5);
  EXPECT_THAT(parse_y_plus(text, 250), IsEmpty());
}

TEST(YPlus, HalfALineIsNoRow) {
  EXPECT_THAT(parse_y_plus("200 cowl 3 4 3.5\n200 ring_left 3 4 3", 200), SizeIs(1));
  EXPECT_THAT(parse_y_plus("200 cowl 3 4\n", 200), IsEmpty());
  EXPECT_THAT(parse_y_plus("", 200), IsEmpty());
}

TEST(YPlus, TheRunThatStartedLastHolds) {
  const ScratchFolder folder;
  folder.write("postProcessing/y_plus/0/yPlus.dat", heading + "100 cowl 1 2 1.5\n200 cowl 3 4 3.5\n");
  folder.write("postProcessing/y_plus/100/yPlus.dat", heading + "200 cowl 5 6 5.5\n");
  const auto rows = read_y_plus(layout_at(folder, 200), manifest_with_y_plus());
  ASSERT_THAT(rows, SizeIs(1));
  EXPECT_DOUBLE_EQ(rows[0].mean, 5.5);
  EXPECT_DOUBLE_EQ(read_y_plus(layout_at(folder, 100), manifest_with_y_plus()).at(0).mean, 1.5);
}

TEST(YPlus, WithoutMonitorOrTableThereIsNone) {
  const ScratchFolder folder;
  EXPECT_THAT(read_y_plus(layout_at(folder, 200), manifest_with_y_plus()), IsEmpty());
  folder.write("postProcessing/y_plus/0/yPlus.dat", heading + "200 cowl 3 4 3.5\n");
  EXPECT_THAT(read_y_plus(layout_at(folder, 200), {}), IsEmpty());
}

}  // namespace
}  // namespace cowlwright::post
