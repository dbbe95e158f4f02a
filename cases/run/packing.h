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
  double solve_seconds_per_cell_iteration = 0.0;      ///< on one core
  double solve_seconds_per_iteration_and_rank = 0.0;  ///< added for each rank beyond the first
  double shared_bandwidth =
      0.0;                      ///< share of a core's work that is slowed by other busy cores of one machine
  double bytes_per_cell = 0.0;  ///< of memory, solver
  double mesh_bytes_per_cell = 0.0;  ///< of memory, mesher
  double disk_bytes_per_cell = 0.0;  ///< left by a solved case, nothing tidied
  int most_ranks_measured = 2;       ///< beyond it the model extrapolates

  /// Wall time of `iterations` on `ranks` cores [s].
  double solve_seconds(double cells, double iterations, int ranks) const;
  double mesh_seconds(double cells) const;
};

/// The model of this program's own measurements, corrected by the stage times of cases already solved in
/// `output` when there are some.
ScalingModel measured_scaling(const std::filesystem::path& output);

/// One task's place in a schedule.
struct Slot {
  std::size_t task = 0;
  double begin = 0.0;  ///< from the start of the run [s]
  double end = 0.0;    ///< [s]
};

struct Schedule {
  std::vector<int> ranks;   ///< of each task
  std::vector<Slot> slots;  ///< of the tasks to be done, by begin
  int most_at_a_time = 1;
  double seconds = 0.0;          ///< from first begin to last end
  double efficiency = 0.0;       ///< work on one core without waiting, over cores x seconds
  bool is_extrapolated = false;  ///< some task has more ranks than were measured
};

/// Chooses ranks and order: cores and memory in use never exceed the machine's, no task begins before those
/// it is after. A task whose `ranks` is above 0 keeps it, 0 is chosen here.
/// @throws InputError  when one task alone needs more memory than there is.
Schedule pack(const std::vector<base::Task>& tasks, const Machine& machine, const ScalingModel& model);

/// This machine: cores and memory this process may use (also in a container), free space at `output`.
Machine this_machine(const std::filesystem::path& output);

}  // namespace cowlwright::run
