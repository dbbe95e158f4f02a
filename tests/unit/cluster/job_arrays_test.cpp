// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which tasks share an array and what each array waits for.
#include "cases/cluster/job_arrays.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using base::Sweep;
using base::Task;
using base::TaskKind;
using cluster::job_arrays;
using cluster::JobArray;
using testing::ElementsAre;
using testing::IsEmpty;

Task mesh(const std::string& folder) {
  return {.case_folder = folder, .kind = TaskKind::Mesh};
}
Task solve(const std::string& folder, std::vector<std::size_t> after, int ranks = 1) {
  return {.case_folder = folder, .kind = TaskKind::Solve, .after = std::move(after), .ranks = ranks};
}
Sweep sweep_of(std::vector<Task> tasks) {
  return {.study = "study", .study_file = "my.toml", .program_version = "0", .tasks = std::move(tasks)};
}

TEST(JobArrays, HoldMeshesThenSolversLevelByLevel) {
  // a and c from still air, b from a.
  const std::vector<JobArray> arrays = job_arrays(
      sweep_of({mesh("a"), mesh("b"), mesh("c"), solve("a", {0}), solve("b", {1, 3}), solve("c", {2})}), {});
  ASSERT_EQ(arrays.size(), 3U);
  EXPECT_THAT(arrays[0].tasks, ElementsAre(0, 1, 2));
  EXPECT_THAT(arrays[0].after, IsEmpty());
  EXPECT_THAT(arrays[1].tasks, ElementsAre(3, 5));
  EXPECT_THAT(arrays[1].after, ElementsAre(0));
  EXPECT_THAT(arrays[2].tasks, ElementsAre(4));
  EXPECT_THAT(arrays[2].after, ElementsAre(0, 1));
  EXPECT_EQ(arrays[0].name, "mesh");
  EXPECT_EQ(arrays[1].name, "solve-level-1-ranks-1");
  EXPECT_EQ(arrays[2].name, "solve-level-2-ranks-1");
}

TEST(JobArrays, LeaveOutWhatIsDoneAndDoNotWaitForIt) {
  Sweep sweep = sweep_of({mesh("a"), solve("a", {0}), solve("b", {1})});
  sweep.tasks[0].is_done = true;
  sweep.tasks[1].is_done = true;
  const std::vector<JobArray> arrays = job_arrays(sweep, {});
  ASSERT_EQ(arrays.size(), 1U);
  EXPECT_THAT(arrays[0].tasks, ElementsAre(2));
  EXPECT_THAT(arrays[0].after, IsEmpty());
}

TEST(JobArrays, PartTasksOfDifferentRanks) {
  const std::vector<JobArray> arrays =
      job_arrays(sweep_of({mesh("a"), solve("a", {0}, 2), solve("b", {0}, 4), solve("c", {0}, 2)}), {});
  ASSERT_EQ(arrays.size(), 3U);
  EXPECT_EQ(arrays[1].ranks, 2);
  EXPECT_THAT(arrays[1].tasks, ElementsAre(1, 3));
  EXPECT_EQ(arrays[2].ranks, 4);
  EXPECT_THAT(arrays[2].tasks, ElementsAre(2));
}

TEST(JobArrays, AreCutWhereSlurmTakesNoMore) {
  Sweep sweep = sweep_of({});
  for (std::size_t i = 0; i < 2000; ++i) sweep.tasks.push_back(mesh("case" + std::to_string(i)));
  for (std::size_t i = 0; i < 2000; ++i) sweep.tasks.push_back(solve("case" + std::to_string(i), {i}));
  sweep.tasks.push_back(solve("last", {2000, 3999}));
  const std::vector<JobArray> arrays = job_arrays(sweep, {.array_size = 1000});
  ASSERT_EQ(arrays.size(), 5U);
  for (std::size_t i = 0; i < 4; ++i) EXPECT_EQ(arrays[i].tasks.size(), 1000U);
  EXPECT_THAT(arrays[2].after, ElementsAre(0));  // the first thousand solvers wait for their own meshes alone
  EXPECT_THAT(arrays[3].after, ElementsAre(1));
  EXPECT_THAT(arrays[4].after, ElementsAre(2, 3));
  EXPECT_NE(arrays[0].name, arrays[1].name);
}

TEST(JobArrays, AskForTheMemoryOfTheirLargestTask) {
  Sweep sweep = sweep_of({mesh("a"), mesh("b")});
  sweep.tasks[0].expected_memory = 1e9;
  sweep.tasks[1].expected_memory = 3e9;
  EXPECT_EQ(job_arrays(sweep, {}).at(0).memory, 3e9);
}

TEST(JobArrays, AreNoneWhenAllIsDone) {
  Sweep sweep = sweep_of({mesh("a")});
  sweep.tasks[0].is_done = true;
  EXPECT_THAT(job_arrays(sweep, {}), IsEmpty());
}

}  // namespace
