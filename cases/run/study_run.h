// SPDX-License-Identifier: GPL-3.0-or-later
//
// The variants of a study one after the other. One that fails is recorded and the others go on.
#pragma once

#include "cases/foam/case.h"
#include "cases/run/progress.h"
#include "geometry/base/case_state.h"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// One variant as the runner sees it. What a case is depends on the ranks it is split for, so these are asked
/// for a number of ranks: a case that was begun on another number goes on with its own.
struct CaseJob {
  std::string name;
  std::filesystem::path directory{};
  std::string start_from{};  ///< name of an earlier job whose result this one starts from; empty: none
  int ranks = 1;             ///< wanted for a case that is begun anew
  std::function<std::string(int ranks)> input_hash{};  ///< may throw Input- or ResultError
  std::function<void(int ranks)>
      write{};  ///< writes the case folder anew; may throw likewise, and ExternalError
  std::function<std::vector<foam::Stage>(int ranks)> stages{};
  std::function<void(const foam::Stage&)> accept{};  ///< see CaseRun
};

enum class Outcome { Finished, Failed, Stopped, NotBegun };

struct CaseOutcome {
  std::string name;
  std::filesystem::path directory{};
  Outcome outcome = Outcome::NotBegun;
  std::string message{};                  ///< why it failed
  int exit_code = 0;                      ///< of the program if this variant were alone
  std::vector<base::StageTime> stages{};  ///< those that ended well, also in an earlier run
};

struct RunOptions {
  std::vector<std::string> environment;
  bool fresh = false;  ///< ignore what earlier runs left
};

/// Runs every job. After Ctrl-C the current one is Stopped and those after it are NotBegun.
/// @throws nothing of a variant's own; ExternalError when a state file cannot be written.
std::vector<CaseOutcome> run_cases(const std::vector<CaseJob>& jobs,
                                   const RunOptions& options,
                                   ProgressPrinter& printer);

/// Exit code of a study: 130 when stopped, else that of the first variant that failed, else 0.
int exit_code_of(const std::vector<CaseOutcome>& outcomes);

/// Aligned table of the wall time of each variant's mesh, solver and other stages.
std::string time_table(const std::vector<CaseOutcome>& outcomes);

}  // namespace cowlwright::run
