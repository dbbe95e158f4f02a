// SPDX-License-Identifier: GPL-3.0-or-later
//
// How many ranks each task gets and how many tasks run at a time, from measured scaling; and what that makes
// of the machine.
#pragma once

#include "geometry/base/sweep.h"

#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::run {

/// What work may use.
struct Machine {
  int cores = 1;
  double memory = 0.0;  ///< [bytes]
  double disk = 0.0;    ///< free where the output goes [bytes]
};

/// Cost of meshing and solving, from measurements: see packing.cpp for them and their spread.
struct ScalingModel {
  double mesh_seconds_per_cell = 0.0;                 ///< on one core
  double solve_seconds_per_cell_iteration = 0.0;      ///< on one core, the others idle
  double solve_seconds_per_iteration_and_rank = 0.0;  ///< added for each rank beyond the first
  double shared_slowdown = 0.0;  ///< share by which work takes longer when the machine's other cores work too
  double start_seconds = 0.0;    ///< of a solve, beside its iterations: start field, split, join, extraction
  double bytes_per_cell = 0.0;   ///< of memory, solver
  double mesh_bytes_per_cell = 0.0;  ///< of memory, mesher
  double bytes_per_rank = 0.0;       ///< of memory, whatever the cells
  double disk_bytes_per_cell = 0.0;  ///< left by a solved case, nothing tidied
  int most_ranks_measured = 2;       ///< beyond it the model extrapolates
  int n_cases_measured = 0;          ///< solved cases of the study that corrected it

  /// Wall time of `iterations` on `ranks` cores, the machine's others idle [s].
  double solve_seconds(double cells, double iterations, int ranks) const;
  double mesh_seconds(double cells) const;
  /// Peak over all ranks [bytes].
  double solve_memory(double cells, int ranks) const;
  double mesh_memory(double cells) const;
};

/// The model of this program's own measurements, corrected by the stage times of cases already solved in
/// `output` when there are some.
ScalingModel measured_scaling(const std::filesystem::path& output);

/// A task before its ranks are chosen.
struct Work {
  base::TaskKind kind = base::TaskKind::Solve;
  std::vector<std::size_t> after{};  ///< indices of works before it
  int ranks = 0;                     ///< 0: chosen by pack(); a mesh always has 1
  double cells = 0.0;
  double iterations = 0.0;  ///< of a solve, at most
  bool is_done = false;     ///< takes no time and no cores
};

/// One task's place in a schedule.
struct Slot {
  std::size_t task = 0;
  double begin = 0.0;  ///< from the start of the run [s]
  double end = 0.0;    ///< [s]
};

struct Schedule {
  std::vector<int> ranks{};       ///< of each task
  std::vector<double> seconds{};  ///< of each task on its ranks, the machine's other cores working [s]
  std::vector<double> memory{};   ///< of each task [bytes]
  std::vector<Slot> slots{};      ///< of the tasks to be done, by begin
  int most_at_a_time = 0;
  double wall_time = 0.0;        ///< from first begin to last end [s]
  double efficiency = 0.0;       ///< work on one core without waiting, over cores x wall time
  bool is_extrapolated = false;  ///< some task has more ranks than were measured
};

/// Chooses ranks and order so that the whole ends early, on as few ranks as that takes: cores and memory in
/// use never exceed the machine's, no task begins before those it is after.
/// @throws InputError  when one task alone needs more memory than there is.
Schedule pack(const std::vector<Work>& works, const Machine& machine, const ScalingModel& model);

/// This machine: cores and memory this process may use (also in a container; no more cores than
/// COWLWRIGHT_CORES says, when it is set), free space at `output` or at the next folder above it that exists.
Machine this_machine(const std::filesystem::path& output);

/// Cores and memory as files of the kernel below `root` tell them; disk untouched. For tests: the root of a
/// tree with proc/meminfo, proc/self/cgroup and sys/fs/cgroup.
Machine limited_by_files(Machine machine, const std::filesystem::path& root);

}  // namespace cowlwright::run
