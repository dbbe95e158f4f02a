// SPDX-License-Identifier: GPL-3.0-or-later
//
// How cases stand, by what is on disk, by locks and by beats.
#include "cases/watch/sweep_status.h"

#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/text_file.h"
#include "tests/unit/watch/study_on_disk.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <array>

namespace {

using namespace cowlwright;
using namespace std::chrono_literals;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::StudyOnDisk;
using watch::Standing;
using watch::Watcher;

const Watcher::Clock::time_point start = Watcher::Clock::time_point{} + 1h;

std::string own_host() {
  std::array<char, 256> name{};
  gethostname(name.data(), name.size() - 1);
  return name.data();
}

TEST(SweepStatus, ANewSweepWaitsAndSaysForWhat) {
  const StudyOnDisk study;
  const watch::SweepStatus status = Watcher(study.output()).look(start);
  EXPECT_EQ(status.study, "Lip sweep");
  EXPECT_EQ(status.driver, "");
  ASSERT_EQ(status.cases.size(), 3U);
  EXPECT_EQ(status.count(Standing::Waiting), 3U);
  EXPECT_EQ(status.cases[1].note, "for lip_0");
  EXPECT_TRUE(status.is_at_rest());
}

TEST(SweepStatus, AMeshThatIsMadeIsNoLongerWaitedForByAnotherCase) {
  const StudyOnDisk study;
  base::Sweep sweep = *base::read_sweep(study.output());
  sweep.tasks[4].after = {0};  // lip_45 has the mesh of lip_0
  base::write_sweep(sweep, study.output());
  EXPECT_EQ(Watcher(study.output()).look(start).cases[2].note, "for mesh of lip_0");
  base::CaseState meshed;
  meshed.finished = {{"check", 10.0}};
  study.state("lip_0", meshed);
  EXPECT_EQ(Watcher(study.output()).look(start).cases[2].note, "");
}

TEST(SweepStatus, AHeldLockWithAMovingBeatIsWork) {
  const StudyOnDisk study;
  study.state("lip_0", StudyOnDisk::solving());
  const base::FolderLock lock(study.output() / "lip_0", base::case_lock_name, "cowlwright task");
  study.progress("lip_0", own_host(), 7, 214);
  Watcher watcher(study.output());
  EXPECT_EQ(watcher.look(start).cases[0].standing, Standing::Working);
  EXPECT_FALSE(watcher.is_sure());
  study.progress("lip_0", own_host(), 8, 215);
  const watch::SweepStatus status = watcher.look(start + 1s);
  EXPECT_EQ(status.cases[0].standing, Standing::Working);
  EXPECT_TRUE(watcher.is_sure());
  EXPECT_FALSE(status.is_at_rest());
  EXPECT_EQ(status.cases[0].progress->iteration, 215);
}

TEST(SweepStatus, AHeldLockWithoutABeatGoesSilentAndNamesItsHolder) {
  const StudyOnDisk study;
  study.state("lip_0", StudyOnDisk::solving());
  const base::FolderLock lock(study.output() / "lip_0", base::case_lock_name, "cowlwright task");
  study.progress("lip_0", own_host(), 7, 214);
  Watcher watcher(study.output());
  watcher.look(start);
  EXPECT_EQ(watcher.look(start + 9s).cases[0].standing, Standing::Working);
  const watch::SweepStatus status = watcher.look(start + 10s);
  EXPECT_EQ(status.cases[0].standing, Standing::Silent);
  EXPECT_TRUE(watcher.is_sure());
  EXPECT_THAT(status.cases[0].note, HasSubstr("cowlwright task"));
}

TEST(SweepStatus, ABegunStageThatNobodyHoldsOnThisMachineWasStopped) {
  const StudyOnDisk study;
  study.state("lip_0", StudyOnDisk::solving());
  study.progress("lip_0", own_host(), 7, 214);
  Watcher watcher(study.output());
  const watch::SweepStatus status = watcher.look(start);
  EXPECT_EQ(status.cases[0].standing, Standing::Stopped);
  EXPECT_TRUE(watcher.is_sure());
  EXPECT_THAT(status.cases[0].note, HasSubstr("stage solve"));
}

TEST(SweepStatus, ABrokenOffCaseUnderADriverWaitsForItsTurn) {
  const StudyOnDisk study;
  study.state("lip_0", StudyOnDisk::solving());
  const base::FolderLock lock(study.output(), base::driver_lock_name, "cowlwright run lip.toml");
  const watch::SweepStatus status = Watcher(study.output()).look(start);
  EXPECT_EQ(status.cases[0].standing, Standing::Waiting);
  EXPECT_THAT(status.cases[0].note, HasSubstr("for its turn"));
  EXPECT_THAT(status.driver, HasSubstr("cowlwright run lip.toml"));
  EXPECT_FALSE(status.is_at_rest());
}

TEST(SweepStatus, JobsOfAClusterAreSomebodyWhoWillGoOn) {
  const StudyOnDisk study;
  study.state("lip_0", StudyOnDisk::solving());
  std::filesystem::create_directories(study.output() / "slurm");
  base::write_text(study.output() / "slurm/jobs.txt", "level_1 4711\n");
  const watch::SweepStatus status = Watcher(study.output()).look(start);
  EXPECT_TRUE(status.has_jobs);
  EXPECT_FALSE(status.is_at_rest());
  EXPECT_EQ(status.cases[0].standing, Standing::Waiting);
}

TEST(SweepStatus, AnotherMachinesCaseIsJudgedByItsBeatAlone) {
  const StudyOnDisk study;
  study.state("lip_0", StudyOnDisk::solving());
  study.progress("lip_0", "far-away", 7, 214);
  Watcher watcher(study.output());
  EXPECT_EQ(watcher.look(start).cases[0].standing, Standing::Working);
  EXPECT_FALSE(watcher.is_sure());
  study.progress("lip_0", "far-away", 8, 215);
  EXPECT_EQ(watcher.look(start + 1s).cases[0].standing, Standing::Working);
  EXPECT_TRUE(watcher.is_sure());
  const watch::CaseStatus gone = watcher.look(start + 11s).cases[0];
  EXPECT_EQ(gone.standing, Standing::Silent);
  EXPECT_THAT(gone.note, HasSubstr("no sign of life from far-away"));
}

TEST(SweepStatus, ABeatThatStartsAgainFromZeroIsANewWriterNotSilence) {
  const StudyOnDisk study;
  study.state("lip_0", StudyOnDisk::solving());
  study.progress("lip_0", "far-away", 88, 214);
  Watcher watcher(study.output());
  watcher.look(start);
  study.progress("lip_0", "farther-away", 0, 214);
  EXPECT_EQ(watcher.look(start + 10s).cases[0].standing, Standing::Working);
}

TEST(SweepStatus, SolvedAndFailedCasesSayWhatIsLeftAndWhy) {
  const StudyOnDisk study;
  base::CaseState kept = StudyOnDisk::solved();
  kept.kept = "last";
  study.state("lip_0", kept);
  study.state("lip_30", StudyOnDisk::failed("log.solve:88: floating point exception\nand more"));
  const watch::SweepStatus status = Watcher(study.output()).look(start);
  EXPECT_EQ(status.cases[0].standing, Standing::Solved);
  EXPECT_EQ(status.cases[0].note, "kept: last");
  EXPECT_EQ(status.cases[1].standing, Standing::Failed);
  EXPECT_EQ(status.cases[1].note, "log.solve:88: floating point exception");
}

TEST(SweepStatus, WithoutASweepTheCasesAreTheFoldersWithAManifest) {
  const testing_support::ScratchFolder folder;
  folder.write("b/manifest.json", "{}");
  folder.write("a/manifest.json", "{}");
  folder.write("report/index.html", "");
  const watch::SweepStatus status = Watcher(folder.path()).look(start);
  ASSERT_EQ(status.cases.size(), 2U);
  EXPECT_EQ(status.cases[0].case_folder, "a");
  EXPECT_EQ(status.study, folder.path().filename().string());
}

TEST(SweepStatus, NamesAFolderThatIsMissingAndOneThatHoldsNoCase) {
  const testing_support::ScratchFolder folder;
  EXPECT_THAT([&] { Watcher(folder.path() / "gone"); },
              ThrowsMessage<base::InputError>(HasSubstr("gone: is no folder")));
  EXPECT_THAT([&] { Watcher(folder.path()).look(start); },
              ThrowsMessage<base::InputError>(HasSubstr("holds no sweep and no case")));
}

}  // namespace
