// SPDX-License-Identifier: GPL-3.0-or-later
//
// Who writes the tables when many cases end at once. What is written is the end-to-end tests' subject.
#include "cases/run/study_tables.h"

#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "tests/support/scratch_folder.h"

#include <gtest/gtest.h>

#include <chrono>
#include <optional>
#include <thread>

namespace {

using namespace cowlwright;
using namespace std::chrono_literals;
using testing_support::ScratchFolder;

const base::Sweep one_case{.study = "study",
                           .study_file = "my.toml",
                           .program_version = "0",
                           .tasks = {{.case_folder = "a", .kind = base::TaskKind::Solve}}};

TEST(StudyTables, AreNotWrittenWhileNoCaseIsSolved) {
  const ScratchFolder folder;
  EXPECT_EQ(run::write_tables(folder.path(), one_case, run::TablesKind::Tables, {}), 0);
  EXPECT_FALSE(std::filesystem::exists(folder.path() / "results.json"));
}

TEST(StudyTables, AreLeftToTheOneWhoWaitsForThem) {
  const ScratchFolder folder;
  const base::FolderLock writer(folder.path(), base::tables_lock_name, "writing");
  const base::FolderLock waiting(folder.path(), run::tables_turn_name, "waiting");
  const auto begin = std::chrono::steady_clock::now();
  EXPECT_EQ(run::write_tables_in_turn(folder.path(), one_case, {}), 0);
  EXPECT_LT(std::chrono::steady_clock::now() - begin, 5s);  // it would wait for the writer ten minutes
}

TEST(StudyTables, GiveTheirTurnAwayOnceTheyAreWritten) {
  const ScratchFolder folder;
  std::optional<base::FolderLock> writer(std::in_place, folder.path(), base::tables_lock_name, "writing");
  std::thread waiter([&] { EXPECT_EQ(run::write_tables_in_turn(folder.path(), one_case, {}), 0); });
  while (base::lock_holder(folder.path(), run::tables_turn_name).empty()) std::this_thread::sleep_for(5ms);
  writer.reset();
  waiter.join();
  EXPECT_EQ(base::lock_holder(folder.path(), run::tables_turn_name), "");
  EXPECT_EQ(base::lock_holder(folder.path(), base::tables_lock_name), "");
}

TEST(StudyTables, TellOfAFolderThatIsNotThere) {
  const ScratchFolder folder;
  EXPECT_THROW(run::write_tables_in_turn(folder.path() / "none", one_case, {}), base::ExternalError);
}

}  // namespace
