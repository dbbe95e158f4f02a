// SPDX-License-Identifier: GPL-3.0-or-later
//
// What of a case folder stands, and what is still to be done.
#pragma once

#include "cases/foam/case.h"
#include "geometry/base/case_state.h"

#include <filesystem>
#include <optional>
#include <string>

namespace cowlwright::run {

/// How long a solver is to run.
struct RunLength {
  int iterations = 0;           ///< ceiling
  double stop_tolerance = 0.0;  ///< it is stopped by; 0: always to the ceiling
  int window = 0;               ///< iterations that have to hold
};
RunLength run_length(const meshing::GridSpec& grid);

/// What is to be done of a case. Files: its folder is to be written; mesh: to be made, not only taken from
/// the store; solve: its start field, solver or the joining of its result.
struct WorkLeft {
  bool files = false;
  bool mesh = false;
  bool solve = false;
  std::string reason{};  ///< for the user, one clause: "new", "its mesh's inputs have changed"
};

/// Looks at the case's folder and changes nothing.
/// @param wanted  keys of the case as the study has it now; those of the folder's state when only the source
/// key is known and it is the same.
WorkLeft work_left(const std::filesystem::path& output,
                   const std::string& case_folder,
                   const base::StepKeys& wanted,
                   const RunLength& length);

/// Writes a case's files into its folder below `output` and throws away what no longer stands: all but the
/// lock when the mesh's key is another, fields and monitors when the solve key is, nothing when the run is
/// only to be longer, shorter, or judged otherwise. A run cut off at any moment of it is noticed by the next.
/// Whoever calls it holds the case's lock.
/// @param fresh  nothing stands.
/// @return why: "new", ...; as work_left() before it.
/// @throws ExternalError  when something cannot be written.
std::string place_case(const foam::Case& built, const std::filesystem::path& output, bool fresh = false);

/// Brings what a manifest says of the study as a whole (title, text's hash, variant's name and number) up to
/// date, for a case whose own files stand. Whoever calls it holds the case's lock.
/// @throws InputError, ExternalError  when the manifest cannot be read or written.
void restate_study(const Study& study, std::size_t variant_index, const std::filesystem::path& case_dir);

/// Of a case folder whose files stand: what the next stage is.
struct Resumption {
  std::optional<foam::Step> redo{};  ///< thrown away and done anew from this step on
  bool is_done = false;
  std::string reason{};  ///< one clause
};
Resumption plan_resumption(const base::CaseState& state);

/// Throws away what a step and those after it have left, and takes their stages out of the state; the state
/// on disk never claims more than there is.
/// @throws ExternalError  when the state cannot be written.
void rewind_case(base::CaseState& state, foam::Step step, const std::filesystem::path& case_dir);

/// Stages of a case as its state has them.
std::vector<foam::Stage> stages_of(const base::CaseState& state);

/// Times of a case's stages of one step that have ended.
std::vector<base::StageTime> finished_stages(const base::CaseState& state, foam::Step step);

}  // namespace cowlwright::run
