// SPDX-License-Identifier: GPL-3.0-or-later
//
// One case through its stages, one command after the other, with its state on disk after each.
#pragma once

#include "cases/foam/case.h"
#include "cases/run/progress.h"
#include "geometry/base/case_state.h"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// Name of the stage that runs the flow solver.
inline constexpr const char* solve_stage = "solve";

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
  std::function<void(const Snapshot&)>
      on_progress{};  ///< called a few times a second with the stage's own members set
};

/// Runs stages[first] and those after it; `state` says how far the case is and is written to disk at each
/// step.
///
/// @return the state at the end: Finished, or Failed when a stage, its log or `accept` failed; then `message`
/// says why.
/// @throws Interrupted    when the user asked to stop; the state on disk is good to go on from.
/// @throws ExternalError  when the state cannot be written.
base::CaseState run_stages(const CaseRun& run, std::size_t first, base::CaseState state);

}  // namespace cowlwright::run
