// SPDX-License-Identifier: GPL-3.0-or-later
//
// The sweep: one JSON file in a study's output folder that says which tasks its cases consist of and what
// each waits for. Whoever works on the study goes by it: the driver, a cluster's jobs, `status`, the tables.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::base {

/// File name inside a study's output folder.
inline constexpr const char* sweep_file_name = "sweep.json";

/// Mesh: makes the mesh that all cases of one mesh key share, in the folder of the first of them. Solve:
/// start field, solver and extraction of one case, and its mesh when that is not there.
enum class TaskKind { Mesh, Solve };

/// One unit of work: one process of ours that keeps `ranks` cores busy, with no other task's folder open for
/// writing. Expectations are estimates of the packing's scaling model.
struct Task {
  std::string case_folder{};  ///< name below the output folder
  TaskKind kind = TaskKind::Solve;
  std::vector<std::size_t> after{};  ///< indices into Sweep::tasks, all smaller than this task's own
  int ranks = 1;                     ///< cores
  std::string start_from{};  ///< of a solve: case folder that gives the start field when it was solved;
                             ///< otherwise the start is still air. Empty: still air
  bool is_done = false;      ///< when the sweep was planned: nothing to do, its result is there
  std::string reason{};      ///< why it is to be done, or what is reused: "new", "its inputs have changed"
  double expected_cells = 0.0;
  double expected_seconds = 0.0;  ///< wall time on its ranks [s]
  double expected_memory = 0.0;   ///< peak over its ranks [bytes]
  double expected_disk = 0.0;     ///< left behind under the keep policy [bytes]
};

struct Sweep {
  std::string study;       ///< title
  std::string study_file;  ///< name of the study file kept in the output folder
  std::string program_version;
  std::vector<std::string> launcher{};  ///< what starts MPI ranks, "{ranks}" for their number; empty: mpirun
                                        ///< as Debian's Open MPI wants it
  int cores = 0;                        ///< that it was packed for; 0: a cluster's, not known
  std::vector<Task> tasks{};            ///< each after those it waits for
};

/// "mesh of lip_30", "lip_30".
std::string task_name(const Task& task);

/// @throws ExternalError  when the file cannot be written.
void write_sweep(const Sweep& sweep, const std::filesystem::path& output);

/// Nothing when there is no such file. @throws InputError  when it is damaged.
std::optional<Sweep> read_sweep(const std::filesystem::path& output);

}  // namespace cowlwright::base
