// SPDX-License-Identifier: GPL-3.0-or-later
//
// What is on disk when the disk is full: the old file or the new one, and a message that names the reason.
#include "cases/run/checkpoint.h"
#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/sweep.h"
#include "geometry/base/text_file.h"
#include "tests/support/scratch_folder.h"
#include "tests/support/small_disk.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace {

using namespace cowlwright;
using base::ExternalError;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;
using testing_support::SmallDisk;
namespace fs = std::filesystem;

class FullDisk : public testing::Test {
 protected:
  void SetUp() override {
    if (!disk_.trouble().empty()) GTEST_SKIP() << disk_.trouble();
  }
  ScratchFolder scratch_;
  SmallDisk disk_{scratch_.path() / "disk", "256k"};
};

const auto says_that_it_is_full =
    ThrowsMessage<ExternalError>(AllOf(HasSubstr("No space left on device"), HasSubstr("disk's space")));

TEST_F(FullDisk, KeepsTheOldTextAndLeavesNoPart) {
  const fs::path file = disk_.path() / "text";
  base::write_text(file, std::string(5000, 'a'));
  disk_.fill();
  EXPECT_THAT([&] { base::write_text(file, std::string(5000, 'b')); }, says_that_it_is_full);
  EXPECT_EQ(base::read_text(file), std::string(5000, 'a'));
  const auto is_part = [](const fs::directory_entry& entry) { return entry.path().extension() == ".part"; };
  EXPECT_EQ(std::count_if(fs::directory_iterator(disk_.path()), fs::directory_iterator(), is_part), 0);
}

TEST_F(FullDisk, KeepsStateAndSweepAndTakesThemOnceItIsEnlarged) {
  base::CaseState state;
  state.begun = "solve";
  base::Sweep sweep;
  sweep.study = "before";
  base::write_case_state(state, disk_.path());
  base::write_sweep(sweep, disk_.path());
  disk_.fill();
  state.begun = "join";
  sweep.study = "after";
  EXPECT_THAT([&] { base::write_case_state(state, disk_.path()); }, says_that_it_is_full);
  EXPECT_THAT([&] { base::write_sweep(sweep, disk_.path()); }, says_that_it_is_full);
  EXPECT_EQ(base::read_case_state(disk_.path())->begun, "solve");
  EXPECT_EQ(base::read_sweep(disk_.path())->study, "before");
  disk_.enlarge("1m");
  base::write_case_state(state, disk_.path());
  EXPECT_EQ(base::read_case_state(disk_.path())->begun, "join");
}

TEST_F(FullDisk, LocksAFolderThatWasLockedBeforeAndRefusesANewLockByReason) {
  { const base::FolderLock first(disk_.path(), base::driver_lock_name, "first"); }
  disk_.fill();
  {
    const base::FolderLock again(disk_.path(), base::driver_lock_name, "again");
    EXPECT_THAT(base::lock_holder(disk_.path(), base::driver_lock_name), HasSubstr("again"));
  }
  EXPECT_THAT([&] { base::FolderLock(disk_.path(), base::tables_lock_name, "tables"); },
              says_that_it_is_full);
}

TEST_F(FullDisk, SealsOfEarlierIterationsStandWhenANewOneCannotBeWritten) {
  const auto write_fields = [&](const char* name) {
    fs::create_directories(disk_.path() / name);
    base::write_text(disk_.path() / name / "U", "{ uniform } // ****** //\n");
  };
  write_fields("0");
  ASSERT_EQ(run::seal_checkpoints(disk_.path(), 1, 1), "");
  write_fields("20");
  disk_.fill();
  EXPECT_THAT([&] { run::seal_checkpoints(disk_.path(), 1, 21); }, says_that_it_is_full);
  disk_.enlarge("1m");
  const auto restored = run::restore_checkpoint(disk_.path(), 1);
  ASSERT_TRUE(restored);
  EXPECT_EQ(restored->iteration, 0);
  EXPECT_THAT(restored->trouble, HasSubstr("iteration 20 had not been secured"));
}

}  // namespace
