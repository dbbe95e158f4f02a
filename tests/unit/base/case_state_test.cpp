// SPDX-License-Identifier: GPL-3.0-or-later
//
// The state file of a case.
#include "geometry/base/case_state.h"

#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using base::CasePhase;
using base::CaseState;
using testing::HasSubstr;
using testing_support::ScratchFolder;

TEST(CaseState, ComesBackFromDiskAsItWasWritten) {
  const ScratchFolder folder;
  CaseState state{.keys = {"a", "b", "c"},
                  .ranks = 2,
                  .last_iteration = 800,
                  .stop_tolerance = 0.005,
                  .window = 150,
                  .start_from = "lip_30",
                  .finished = {{"block", 1.0, true}, {"snap", 1.0}},
                  .begun = "check",
                  .kept = "last"};
  state.phase = CasePhase::Failed;
  state.can_go_on = true;
  state.message = "log line with \"quotes\" and a newline\n";
  write_case_state(state, folder.path());
  const auto read = base::read_case_state(folder.path());
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(read->keys, state.keys);
  EXPECT_EQ(read->ranks, 2);
  EXPECT_EQ(read->last_iteration, 800);
  EXPECT_DOUBLE_EQ(read->stop_tolerance, 0.005);
  EXPECT_EQ(read->window, 150);
  EXPECT_EQ(read->start_from, "lip_30");
  EXPECT_TRUE(read->can_go_on);
  EXPECT_EQ(read->kept, "last");
  EXPECT_EQ(read->phase, CasePhase::Failed);
  ASSERT_EQ(read->finished.size(), 2U);
  EXPECT_EQ(read->finished[1].name, "snap");
  EXPECT_DOUBLE_EQ(read->finished[1].seconds, 1.0);
  EXPECT_TRUE(read->finished[0].is_reused);
  EXPECT_FALSE(read->finished[1].is_reused);
  EXPECT_EQ(read->begun, "check");
  EXPECT_EQ(read->message, state.message);
}

TEST(CaseState, IsWrittenEvenWhenAMessageIsNotUtf8) {
  const ScratchFolder folder;
  CaseState state{.ranks = 2};
  state.message = "bad byte \xff here";
  write_case_state(state, folder.path());
  const auto read = base::read_case_state(folder.path());
  ASSERT_TRUE(read.has_value());
  EXPECT_THAT(read->message, HasSubstr("here"));
}

TEST(CaseState, CountsAsAbsentWhenItIsMissingCutOffOrOfAnotherFormat) {
  const ScratchFolder folder;
  EXPECT_FALSE(base::read_case_state(folder.path()).has_value());
  folder.write(base::case_state_file_name, R"({"format": 1, "input_)");
  EXPECT_FALSE(base::read_case_state(folder.path()).has_value());
  folder.write(base::case_state_file_name, R"({"format": 99})");
  EXPECT_FALSE(base::read_case_state(folder.path()).has_value());
}

}  // namespace
