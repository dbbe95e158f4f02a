// SPDX-License-Identifier: GPL-3.0-or-later
//
// The sweep's file.
#include "geometry/base/sweep.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::base {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;

Sweep two_tasks() {
  Sweep sweep{.study = "lip",
              .study_file = "lip.toml",
              .program_version = "1.2",
              .launcher = {"srun", "-n{ranks}"},
              .cores = 12};
  sweep.tasks.push_back({.case_folder = "lip_30", .kind = TaskKind::Mesh, .reason = "new"});
  sweep.tasks.push_back({.case_folder = "lip_30",
                         .kind = TaskKind::Solve,
                         .after = {0},
                         .ranks = 2,
                         .start_from = "lip_0",
                         .is_done = true,
                         .reason = "solved",
                         .expected_cells = 71e3,
                         .expected_seconds = 500.0,
                         .expected_memory = 3e8,
                         .expected_disk = 1e8});
  return sweep;
}

TEST(Sweep, ComesBackFromItsFile) {
  const ScratchFolder folder;
  EXPECT_FALSE(read_sweep(folder.path()));
  write_sweep(two_tasks(), folder.path());
  const auto read = read_sweep(folder.path());
  ASSERT_TRUE(read);
  EXPECT_EQ(read->study, "lip");
  EXPECT_EQ(read->study_file, "lip.toml");
  EXPECT_EQ(read->program_version, "1.2");
  EXPECT_EQ(read->cores, 12);
  EXPECT_THAT(read->launcher, testing::ElementsAre("srun", "-n{ranks}"));
  ASSERT_EQ(read->tasks.size(), 2U);
  EXPECT_EQ(read->tasks[0].kind, TaskKind::Mesh);
  EXPECT_EQ(read->tasks[0].reason, "new");
  const Task& solve = read->tasks[1];
  EXPECT_EQ(solve.case_folder, "lip_30");
  EXPECT_EQ(solve.kind, TaskKind::Solve);
  EXPECT_THAT(solve.after, testing::ElementsAre(0U));
  EXPECT_EQ(solve.ranks, 2);
  EXPECT_EQ(solve.start_from, "lip_0");
  EXPECT_TRUE(solve.is_done);
  EXPECT_DOUBLE_EQ(solve.expected_cells, 71e3);
  EXPECT_DOUBLE_EQ(solve.expected_seconds, 500.0);
  EXPECT_DOUBLE_EQ(solve.expected_memory, 3e8);
  EXPECT_DOUBLE_EQ(solve.expected_disk, 1e8);
}

TEST(Sweep, NamesItsTasksForPeople) {
  const Sweep sweep = two_tasks();
  EXPECT_EQ(task_name(sweep.tasks[0]), "mesh of lip_30");
  EXPECT_EQ(task_name(sweep.tasks[1]), "lip_30");
}

TEST(Sweep, RefusesADamagedFileAndSaysWhatToDo) {
  const ScratchFolder folder;
  folder.write(sweep_file_name, R"({"format": "cowlwright sw)");
  EXPECT_THAT(
      [&] { read_sweep(folder.path()); },
      ThrowsMessage<InputError>(AllOf(HasSubstr("sweep.json: not valid JSON"), HasSubstr("cowlwright run"))));
  folder.write(sweep_file_name, R"({"format": "cowlwright sweep", "format_version": 99})");
  EXPECT_THAT([&] { read_sweep(folder.path()); }, ThrowsMessage<InputError>(HasSubstr("version 99")));
}

TEST(Sweep, RefusesATaskThatWaitsForALaterOne) {
  const ScratchFolder folder;
  Sweep sweep = two_tasks();
  sweep.tasks[0].after = {1};
  write_sweep(sweep, folder.path());
  EXPECT_THAT([&] { read_sweep(folder.path()); },
              ThrowsMessage<InputError>(HasSubstr("tasks[0].after = 1: must be below 0")));
}

TEST(Sweep, RefusesAFolderOutsideTheOutputFolder) {
  const ScratchFolder folder;
  Sweep sweep = two_tasks();
  sweep.tasks[1].case_folder = "../elsewhere";
  write_sweep(sweep, folder.path());
  EXPECT_THAT([&] { read_sweep(folder.path()); }, ThrowsMessage<InputError>(HasSubstr("../elsewhere")));
}

}  // namespace
}  // namespace cowlwright::base
