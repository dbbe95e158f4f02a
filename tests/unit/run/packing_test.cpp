// SPDX-License-Identifier: GPL-3.0-or-later
//
// Ranks and order: expected times are worked out by hand from a model of round numbers.
#include "cases/run/packing.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>

namespace cowlwright::run {
namespace {

using base::TaskKind;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;

/// A case of 1e6 cells and 100 iterations: 1000 s on one core, 500 s + 100 x 1 s on two.
ScalingModel round_model() {
  return {.mesh_seconds_per_cell = 1e-4,
          .solve_seconds_per_cell_iteration = 1e-5,
          .solve_seconds_per_iteration_and_rank = 1.0,
          .bytes_per_cell = 1000.0,
          .mesh_bytes_per_cell = 2000.0};
}
constexpr Machine two_cores{.cores = 2, .memory = 1e12};

Work solve(std::vector<std::size_t> after = {}) {
  return {.after = std::move(after), .cells = 1e6, .iterations = 100.0};
}
Work mesh() {
  return {.kind = TaskKind::Mesh, .cells = 1e6};
}

/// Most cores in use at one moment.
int most_cores(const Schedule& schedule) {
  int most = 0;
  for (const Slot& at : schedule.slots) {
    int cores = 0;
    for (const Slot& slot : schedule.slots) {
      if (slot.begin <= at.begin && at.begin < slot.end) cores += schedule.ranks[slot.task];
    }
    most = std::max(most, cores);
  }
  return most;
}

TEST(Packing, GivesASingleCaseBothCores) {
  const Schedule schedule = pack({solve()}, two_cores, round_model());
  EXPECT_THAT(schedule.ranks, testing::ElementsAre(2));
  EXPECT_DOUBLE_EQ(schedule.wall_time, 600.0);
  EXPECT_DOUBLE_EQ(schedule.efficiency, 1000.0 / (2 * 600.0));
}

TEST(Packing, RunsTwoCasesBesideEachOtherOnOneCoreEach) {
  const Schedule schedule = pack({solve(), solve()}, two_cores, round_model());
  EXPECT_THAT(schedule.ranks, testing::ElementsAre(1, 1));
  EXPECT_DOUBLE_EQ(schedule.wall_time, 1000.0);
  EXPECT_DOUBLE_EQ(schedule.efficiency, 1.0);
  EXPECT_EQ(schedule.most_at_a_time, 2);
}

TEST(Packing, GivesTheThirdOfThreeCasesBothCores) {
  const Schedule schedule = pack({solve(), solve(), solve()}, two_cores, round_model());
  EXPECT_DOUBLE_EQ(schedule.wall_time, 1600.0);
  EXPECT_EQ(std::count(schedule.ranks.begin(), schedule.ranks.end(), 2), 1);
}

TEST(Packing, KeepsRanksThatAreAskedForAndMayExceedTheCores) {
  Work wide = solve();
  wide.ranks = 4;
  const Schedule schedule = pack({wide, solve()}, two_cores, round_model());
  EXPECT_EQ(schedule.ranks[0], 4);
  EXPECT_TRUE(schedule.is_extrapolated);
  ASSERT_EQ(schedule.slots.size(), 2U);
  EXPECT_GE(schedule.slots[1].begin, schedule.slots[0].end);
}

TEST(Packing, BeginsNoTaskBeforeThoseItIsAfter) {
  const Schedule schedule = pack({mesh(), solve({0}), solve({1})}, two_cores, round_model());
  ASSERT_EQ(schedule.slots.size(), 3U);
  for (std::size_t i = 1; i < 3; ++i) {
    EXPECT_EQ(schedule.slots[i].task, i);
    EXPECT_GE(schedule.slots[i].begin, schedule.slots[i - 1].end);
  }
  EXPECT_DOUBLE_EQ(schedule.wall_time, 100.0 + 600.0 + 600.0);
}

TEST(Packing, TakesNoTimeForWhatIsDone) {
  Work done = solve();
  done.is_done = true;
  const Schedule schedule = pack({done, solve({0})}, two_cores, round_model());
  ASSERT_EQ(schedule.slots.size(), 1U);
  EXPECT_EQ(schedule.slots[0].task, 1U);
  EXPECT_DOUBLE_EQ(schedule.wall_time, 600.0);
}

TEST(Packing, NeverUsesMoreCoresOrMemoryThanThereAre) {
  std::vector<Work> works;
  for (std::size_t i = 0; i < 12; ++i) {
    works.push_back(mesh());
    works.push_back(solve({works.size() - 1}));
  }
  const Schedule wide = pack(works, {.cores = 7, .memory = 1e12}, round_model());
  EXPECT_LE(most_cores(wide), 7);
  // A solve takes 1 GB, a mesh 2 GB: 2.5 GB leave room for two solves at most.
  const Schedule tight = pack(works, {.cores = 7, .memory = 2.5e9}, round_model());
  for (const Slot& at : tight.slots) {
    double memory = 0.0;
    for (const Slot& slot : tight.slots) {
      if (slot.begin <= at.begin && at.begin < slot.end) memory += tight.memory[slot.task];
    }
    EXPECT_LE(memory, 2.5e9);
  }
  EXPECT_GT(tight.wall_time, wide.wall_time);
}

TEST(Packing, RefusesACaseThatNeedsMoreMemoryThanThereIs) {
  EXPECT_THAT([] { pack({solve()}, {.cores = 2, .memory = 0.5e9}, round_model()); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("needs about 1.0 GB"), HasSubstr("at most the 0.5 GB"))));
}

TEST(Packing, SaysWhenRanksAreBeyondWhatWasMeasured) {
  EXPECT_FALSE(pack({solve()}, two_cores, round_model()).is_extrapolated);
  const Schedule wide = pack({solve()}, {.cores = 8, .memory = 1e12}, round_model());
  EXPECT_GT(wide.ranks[0], 2);
  EXPECT_TRUE(wide.is_extrapolated);
}

TEST(Packing, PlansAThousandCasesForTwoThousandCores) {
  std::vector<Work> works;
  for (std::size_t i = 0; i < 1000; ++i) {
    works.push_back(mesh());
    works.push_back(solve({works.size() - 1}));
  }
  const Schedule schedule = pack(works, {.cores = 2000, .memory = 1e14}, round_model());
  // On 2 ranks each, all at once: 100 s of mesh and 600 s of solver.
  EXPECT_LE(schedule.wall_time, 700.0 + 1e-6);
  EXPECT_LE(most_cores(schedule), 2000);
}

TEST(ThisMachine, GoesByTheTightestGroupOfVersionTwo) {
  const ScratchFolder root;
  root.write("proc/self/cgroup", "0::/jobs/job\n");
  root.write("proc/meminfo", "MemTotal: 64000000 kB\nMemAvailable: 32000000 kB\n");
  root.write("sys/fs/cgroup/jobs/cpu.max", "300000 100000\n");
  root.write("sys/fs/cgroup/jobs/job/cpu.max", "max 100000\n");
  root.write("sys/fs/cgroup/jobs/job/memory.max", "4000000000\n");
  root.write("sys/fs/cgroup/jobs/job/memory.current", "1500000000\n");
  root.write("sys/fs/cgroup/jobs/job/memory.stat", "anon 1000000000\ninactive_file 500000000\n");
  const Machine machine = limited_by_files({.cores = 16}, root.path());
  EXPECT_EQ(machine.cores, 3);
  EXPECT_DOUBLE_EQ(machine.memory, 3e9);
}

TEST(ThisMachine, GoesByTheGroupsOfVersionOne) {
  const ScratchFolder root;
  root.write("proc/self/cgroup", "4:memory:/job\n1:cpu,cpuacct:/\n");
  root.write("proc/meminfo", "MemAvailable: 1000000 kB\n");
  root.write("sys/fs/cgroup/cpu/cpu.cfs_quota_us", "150000\n");
  root.write("sys/fs/cgroup/cpu/cpu.cfs_period_us", "100000\n");
  root.write("sys/fs/cgroup/memory/job/memory.limit_in_bytes", "9223372036854771712\n");
  const Machine machine = limited_by_files({.cores = 16}, root.path());
  EXPECT_EQ(machine.cores, 1);
  EXPECT_DOUBLE_EQ(machine.memory, 1.024e9);
}

TEST(ThisMachine, HasAllCoresAndTheFreeMemoryWithoutGroups) {
  const ScratchFolder root;
  root.write("proc/meminfo", "MemAvailable: 1000000 kB\n");
  root.write("sys/fs/cgroup/cpu/cpu.cfs_quota_us", "-1\n");
  root.write("sys/fs/cgroup/cpu/cpu.cfs_period_us", "100000\n");
  const Machine machine = limited_by_files({.cores = 16}, root.path());
  EXPECT_EQ(machine.cores, 16);
  EXPECT_DOUBLE_EQ(machine.memory, 1.024e9);
}

TEST(ThisMachine, HasNoMoreCoresThanTheEnvironmentSays) {
  setenv("COWLWRIGHT_CORES", "1", 1);
  EXPECT_EQ(this_machine("/").cores, 1);
  setenv("COWLWRIGHT_CORES", "many", 1);
  EXPECT_GE(this_machine("/").cores, 1);
  unsetenv("COWLWRIGHT_CORES");
}

TEST(ThisMachine, KnowsTheFreeDiskOfAFolderThatIsYetToBeMade) {
  const ScratchFolder folder;
  const Machine machine = this_machine(folder.path() / "not" / "yet");
  EXPECT_GE(machine.cores, 1);
  EXPECT_GT(machine.disk, 0.0);
}

}  // namespace
}  // namespace cowlwright::run
