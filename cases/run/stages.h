// SPDX-License-Identifier: GPL-3.0-or-later
//
// One case through its stages, one command after the other, with its state on disk after each.
#pragma once

#include "cases/foam/case.h"
#include "geometry/base/case_state.h"
#include "geometry/base/progress_file.h"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// The solver ends after the current iteration, and writes it, when a file of this name appears in the case
/// folder (the case's controlDict has a function object that watches for it). Also of use by hand: `touch
/// STOP`.
inline constexpr const char* stop_file_name = "STOP";

struct CaseRun {
  std::filesystem::path directory;
  std::vector<foam::Stage> stages{};
  std::vector<std::string> environment{};
  std::function<void(const foam::Stage&)>
      accept{};  ///< judges the result of a stage that ended well; throws to refuse it
  std::function<void(const base::Progress&)>
      on_progress{};  ///< called a few times a second, with what is of the stage set
};

/// Runs stages from the first that is not in `state.finished` up to `end`; `state` says how far the case is
/// and is written to disk at each step. Iterations that the solver has written are sealed as it goes on.
///
/// @param end  index of the stage to stop before; stages.size() for all.
/// @return the state at the end: Finished when all stages have ended, or Failed when a stage, its log or
/// `accept` failed; then `message` says why, and `can_go_on` that the solver was ended from outside.
/// @throws Interrupted    when the user asked to stop; the state on disk is good to go on from.
/// @throws ExternalError  when the state cannot be written.
base::CaseState run_stages(const CaseRun& run, base::CaseState state, std::size_t end);

}  // namespace cowlwright::run
