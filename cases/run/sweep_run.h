// SPDX-License-Identifier: GPL-3.0-or-later
//
// A planned sweep on this machine: its tasks in a pool, what the user sees meanwhile, the tables written
// again whenever a case has ended.
#pragma once

#include "cases/run/packing.h"
#include "cases/run/progress.h"
#include "geometry/base/case_state.h"
#include "geometry/base/sweep.h"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::run {

enum class Outcome { Finished, Failed, Stopped, NotBegun };

/// What became of a case.
struct CaseOutcome {
  std::string name;
  Outcome outcome = Outcome::NotBegun;
  std::string message{};                  ///< why it failed
  int exit_code = 0;                      ///< of the program if this case were alone
  std::vector<base::StageTime> stages{};  ///< those that ended well, also in an earlier run
};

struct SweepRun {
  std::filesystem::path output;
  base::Sweep sweep;
  Schedule schedule{};  ///< of sweep.tasks
  Machine machine;
  std::vector<std::string> environment;
  std::function<void(const std::string& case_folder)> on_solved{};  ///< called when its task has ended well
  std::filesystem::path program{};  ///< `cowlwright`: "<program> task OUT INDEX", "<program> tables OUT"
};

/// Folder of the tasks' logs, below the output folder.
inline constexpr const char* log_folder_name = "logs";

/// Runs all tasks that are not done; after a request to stop the running ones are Stopped and the others
/// NotBegun. A case whose mesh could not be made for another case is Failed, also on disk.
/// @return one for each solve of the sweep, in its order.
/// @throws ExternalError  when a task cannot be started, or a state of a case not be written.
std::vector<CaseOutcome> run_sweep(const SweepRun& run, ProgressPrinter& printer);

/// Exit code of a study: 130 when stopped, else that of the first case that failed, else 0.
int exit_code_of(const std::vector<CaseOutcome>& outcomes);

/// Aligned table of the wall time of each case's mesh, solver and other stages; of reused ones what they took
/// when they were made, in brackets.
std::string time_table(const std::vector<CaseOutcome>& outcomes);

}  // namespace cowlwright::run
