// SPDX-License-Identifier: GPL-3.0-or-later
//
// The progress file of a case.
#include "geometry/base/progress_file.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

namespace {

using namespace cowlwright;
using base::Progress;
using testing_support::ScratchFolder;

Progress solving() {
  Progress progress{.host = "ridge", .process = 4711, .beat = 88, .written_at = 1772643912.5, .ranks = 2};
  progress.stage = "solve";
  progress.seconds = 61.5;
  progress.iteration = 214;
  progress.last_iteration = 400;
  progress.deck_pressure_difference = 1712.25;
  progress.deck_pressure_difference_band = 3.5;
  progress.inlet_flow = 0.667;
  progress.exit_flow = 0.668;
  progress.seconds_left = 100.0;
  return progress;
}

TEST(ProgressFile, ComesBackFromDiskAsItWasWritten) {
  const ScratchFolder folder;
  write_progress(solving(), folder.path());
  const auto read = base::read_progress(folder.path());
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(read->host, "ridge");
  EXPECT_EQ(read->process, 4711);
  EXPECT_EQ(read->beat, 88);
  EXPECT_DOUBLE_EQ(read->written_at, 1772643912.5);
  EXPECT_EQ(read->ranks, 2);
  EXPECT_EQ(read->stage, "solve");
  EXPECT_DOUBLE_EQ(read->seconds, 61.5);
  EXPECT_EQ(read->iteration, 214);
  EXPECT_EQ(read->last_iteration, 400);
  EXPECT_EQ(read->deck_pressure_difference, 1712.25);
  EXPECT_EQ(read->deck_pressure_difference_band, 3.5);
  EXPECT_EQ(read->inlet_flow, 0.667);
  EXPECT_EQ(read->exit_flow, 0.668);
  EXPECT_EQ(read->seconds_left, 100.0);
}

TEST(ProgressFile, WhatIsNotKnownOrNotFiniteComesBackAsNotKnown) {
  const ScratchFolder folder;
  Progress progress = solving();
  progress.deck_pressure_difference = std::numeric_limits<double>::quiet_NaN();
  progress.deck_pressure_difference_band.reset();
  progress.seconds_left = std::numeric_limits<double>::infinity();
  write_progress(progress, folder.path());
  const auto read = base::read_progress(folder.path());
  ASSERT_TRUE(read.has_value());
  EXPECT_FALSE(read->deck_pressure_difference.has_value());
  EXPECT_FALSE(read->deck_pressure_difference_band.has_value());
  EXPECT_FALSE(read->seconds_left.has_value());
  EXPECT_EQ(read->inlet_flow, 0.667);
}

TEST(ProgressFile, CountsAsAbsentWhenItIsMissingCutOffEmptyOrOfAnotherFormat) {
  const ScratchFolder folder;
  EXPECT_FALSE(base::read_progress(folder.path()).has_value());
  for (const char* text : {"", R"({"format": 1, "ho)", R"({"format": 99})", R"({"format": 1, "host": 3})"}) {
    folder.write(base::progress_file_name, text);
    EXPECT_FALSE(base::read_progress(folder.path()).has_value()) << text;
  }
}

TEST(ProgressFile, LeavesNothingElseInTheFolderAndNamesAFolderThatIsNotThere) {
  const ScratchFolder folder;
  write_progress(solving(), folder.path());
  write_progress(solving(), folder.path());
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder.path()), {}), 1);
  EXPECT_THROW(write_progress(solving(), folder.path() / "gone"), base::ExternalError);
}

}  // namespace
