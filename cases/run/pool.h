// SPDX-License-Identifier: GPL-3.0-or-later
//
// The tasks of a sweep as processes of their own, several at a time, within cores and memory.
#pragma once

#include "cases/run/packing.h"
#include "cases/run/process.h"
#include "geometry/base/sweep.h"

#include <chrono>
#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::run {

enum class TaskOutcome { NotBegun, Done, Failed, Stopped };

/// How a task ended.
struct TaskEnd {
  TaskOutcome outcome = TaskOutcome::NotBegun;
  int exit_code = 0;     ///< of the last attempt
  int signal = 0;        ///< that ended the last attempt; 0: none
  double seconds = 0.0;  ///< wall time of all attempts [s]
};

struct PoolRules {
  std::function<Command(std::size_t)> command{};                   ///< that does a task
  std::function<void(std::size_t)> on_begin{};                     ///< of each attempt
  std::function<void(std::size_t, const TaskEnd&)> on_end{};       ///< once a task
  std::function<void(const std::vector<std::size_t>&)> on_tick{};  ///< with those that run
  std::chrono::milliseconds tick{500};
  std::chrono::seconds kill_after{180};  ///< from the request to stop to SIGKILL
  int attempts = 2;  ///< at a task whose process was ended by a signal that is none of ours
};

/// Runs all tasks that are not done, in the schedule's order as far as they are ready. A mesh that could not
/// be made leaves those that wait for it NotBegun; a solve that failed does not: what starts from it begins
/// without it. A request to stop (SIGINT, SIGTERM) is passed on to every running task, each time it comes,
/// and nothing more is begun; Interrupted is not thrown, interrupt_requested() tells.
/// @return one for each task; of those done before: Done.
/// @throws ExternalError  when a task's process cannot be started; those running are killed.
std::vector<TaskEnd> run_pool(const base::Sweep& sweep,
                              const Schedule& schedule,
                              const Machine& machine,
                              const PoolRules& rules);

}  // namespace cowlwright::run
