// SPDX-License-Identifier: GPL-3.0-or-later
//
// Compares what a case was made from with what is wanted, and keeps what stands.
#include "cases/run/resumption.h"

#include "cases/run/checkpoint.h"
#include "cases/run/mesh_store.h"
#include "cases/run/orphans.h"
#include "cases/run/stages.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/manifest.h"
#include "geometry/base/solver_end.h"
#include "geometry/base/text_file.h"
#include "geometry/base/time_folders.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;
using foam::Step;

bool is_prefix(const std::vector<base::StageTime>& finished, const std::vector<foam::Stage>& stages) {
  if (finished.size() > stages.size()) return false;
  for (std::size_t i = 0; i < finished.size(); ++i) {
    if (finished[i].name != stages[i].name) return false;
  }
  return true;
}

bool has_ended(const base::CaseState& state, const std::string& stage) {
  return std::any_of(state.finished.begin(), state.finished.end(), [&](const base::StageTime& one) {
    return one.name == stage;
  });
}

/// Step of a stage by its name; nothing for a name that is none.
std::optional<Step> step_of(const base::CaseState& state, const std::string& name) {
  for (const foam::Stage& stage : stages_of(state)) {
    if (stage.name == name) return stage.step;
  }
  return std::nullopt;
}

bool is_mesh_done(const base::CaseState& state) {
  return is_prefix(state.finished, stages_of(state)) && has_ended(state, foam::check_stage);
}

/// Whether a solver that has ended is to do more for this length: it has not come to the ceiling, and a
/// stricter rule would not have stopped it.
bool wants_more(const base::CaseState& state, const RunLength& length, const fs::path& case_dir) {
  const std::optional<base::SolverEnd> end = base::read_solver_end(case_dir);
  const int reached = end ? end->iteration : state.last_iteration;
  if (length.iterations <= reached) return false;
  if (end && end->ended_by == base::EndedBy::Held) {
    const bool is_stricter = length.stop_tolerance < state.stop_tolerance || length.window > state.window;
    return is_stricter;
  }
  return length.iterations > state.last_iteration || length.stop_tolerance < state.stop_tolerance;
}

/// What of a case is to be redone for what is wanted.
struct Verdict {
  std::optional<Step> redo{};
  bool more = false;  ///< the solver goes on though it has ended
  std::string reason{};
};

Verdict judge(const std::optional<base::CaseState>& state,
              const base::StepKeys& wanted,
              const RunLength& length,
              const fs::path& case_dir) {
  if (!state) return {Step::Mesh, false, "new"};
  if (state->keys.mesh != wanted.mesh) return {Step::Mesh, false, "its mesh's inputs have changed"};
  if (state->keys.solve != wanted.solve) return {Step::Start, false, "what its solver reads has changed"};
  const Resumption plan = plan_resumption(*state);
  if (!has_ended(*state, foam::solve_stage)) return {plan.redo, false, plan.reason};
  if (!wants_more(*state, length, case_dir)) return {plan.redo, false, plan.reason};
  if (state->kept == "tables")
    return {Step::Mesh, false, "more iterations are wanted, and its fields were tidied away"};
  return {std::nullopt, true, "more iterations are wanted"};
}

RunLength run_length(const base::Manifest& manifest) {
  return {manifest.last_iteration, manifest.stop_when_held ? manifest.stop_tolerance : 0.0, manifest.window};
}

/// Whether a file or folder of a case is what a step or one after it has made.
bool is_made_by(const std::string& name, Step step) {
  constexpr std::string_view log_head = "log.";
  if (name.starts_with(log_head)) {
    const std::string stage = name.substr(log_head.size());  // and the number of an older log
    return step == Step::Mesh || !foam::is_mesh_stage(stage.substr(0, stage.find('.')));
  }
  return base::time_of(name) || name.starts_with("processor") || name == "postProcessing" ||
         name == checkpoint_file_name || name == base::solver_end_file_name || name == stop_file_name ||
         name == base::field_readings_file_name;
}

void remove_made_by(const fs::path& case_dir, Step step) {
  std::vector<fs::path> gone;
  std::error_code error;
  for (fs::directory_iterator i(case_dir, error), end; !error && i != end; i.increment(error)) {
    if (is_made_by(i->path().filename().string(), step)) gone.push_back(i->path());
  }
  if (step == Step::Mesh) gone.push_back(case_dir / "constant" / "polyMesh");
  for (const fs::path& path : gone) {
    fs::remove_all(path, error);
    if (error)
      throw base::ExternalError(fmt::format(
          "{}: cannot be removed: {}. Check the folder's permissions.", path.string(), error.message()));
  }
}

/// All but the lock, whose holder is at work.
void clear_folder(const fs::path& case_dir) {
  std::error_code error;
  fs::create_directories(case_dir, error);
  std::vector<fs::path> gone;
  for (fs::directory_iterator i(case_dir, error), end; !error && i != end; i.increment(error)) {
    const std::string name = i->path().filename().string();
    if (name != base::case_lock_name) gone.push_back(i->path());
  }
  for (const fs::path& path : gone) fs::remove_all(path, error);
}

std::string text_if_there(const fs::path& file) {
  std::error_code error;
  return fs::is_regular_file(file, error) ? base::read_text(file) : std::string();
}

/// Ranks are the task's matter: Allrun and decomposeParDict are left when they are there.
void write_changed_files(const foam::Case& built, const fs::path& case_dir) {
  for (const auto& [path, text] : built.files) {
    const fs::path file = case_dir / path;
    const std::string old = text_if_there(file);
    const bool is_ranks = path == "Allrun" || path == "system/decomposeParDict";
    if (old == text || (is_ranks && !old.empty())) continue;
    std::error_code failure;
    fs::create_directories(file.parent_path(), failure);
    base::write_text(file, text);
  }
  base::write_manifest(built.manifest, case_dir);
}

/// Stages from the solver on, but for the splitting while the ranks' folders are there.
void reopen_solver(base::CaseState& state) {
  const auto solver = std::find_if(state.finished.begin(), state.finished.end(), [](const auto& stage) {
    return stage.name == foam::solve_stage;
  });
  state.finished.erase(solver, state.finished.end());
  if (state.kept != "all" && !state.finished.empty() && state.finished.back().name == "split")
    state.finished.pop_back();
  state.kept = "all";
  state.phase = base::CasePhase::Running;
  state.message.clear();
  state.begun.clear();
}

}  // namespace

RunLength run_length(const meshing::GridSpec& grid) {
  return {grid.iterations, grid.stop_when_held ? grid.stop_tolerance : 0.0, grid.window};
}

std::vector<foam::Stage> stages_of(const base::CaseState& state) {
  return foam::case_stages(state.ranks, state.start_from);
}

std::vector<base::StageTime> finished_stages(const base::CaseState& state, Step step) {
  std::vector<base::StageTime> finished;
  for (const base::StageTime& stage : state.finished) {
    if (step_of(state, stage.name) == step) finished.push_back(stage);
  }
  return finished;
}

Resumption plan_resumption(const base::CaseState& state) {
  const std::vector<foam::Stage> stages = stages_of(state);
  if (!is_prefix(state.finished, stages))
    return {.redo = Step::Mesh, .reason = "it was made by another version"};
  const std::size_t n_finished = state.finished.size();
  if (n_finished == stages.size()) return {.is_done = true, .reason = "all done before"};
  const bool has_failed = state.phase == base::CasePhase::Failed;
  const foam::Stage& next = stages[n_finished];
  const bool was_begun = state.begun == next.name;
  if (has_failed && !(state.can_go_on && next.step == Step::Solve))
    return {.redo = next.step == Step::Mesh ? Step::Mesh : Step::Start, .reason = "it failed before"};
  if (was_begun && next.step == Step::Mesh)
    return {.redo = Step::Mesh, .reason = "it was stopped while its mesh was made"};
  if (was_begun && next.step == Step::Start)
    return {.redo = Step::Start, .reason = "it was stopped while its start field was made"};
  return {.reason = n_finished == 0 ? "new" : fmt::format("goes on with {}", next.name)};
}

WorkLeft work_left(const fs::path& output,
                   const std::string& case_folder,
                   const base::StepKeys& wanted,
                   const RunLength& length) {
  const fs::path case_dir = output / case_folder;
  const std::optional<base::CaseState> state = base::read_case_state(case_dir);
  const Verdict verdict = judge(state, wanted, length, case_dir);
  WorkLeft left{.files = !state || state->keys != wanted, .reason = verdict.reason};
  left.files = left.files || (state->kept == "tables" && verdict.redo);
  const bool mesh_stands = state && verdict.redo != Step::Mesh && is_mesh_done(*state);
  left.mesh = !mesh_stands && !has_mesh(mesh_store(output), wanted.mesh);
  left.solve = !state || verdict.redo || verdict.more || !plan_resumption(*state).is_done;
  if (left.solve) return left;
  if (const std::string damage = result_damage(case_dir); !damage.empty()) {
    left.solve = true;
    left.reason = "its result is damaged: " + damage;
  } else if (left.files) {
    left.reason = "only what its result is judged by has changed";
  }
  left.mesh = false;
  return left;
}

std::string place_case(const foam::Case& built, const fs::path& output, bool fresh) {
  const fs::path case_dir = output / built.folder;
  std::optional<base::CaseState> state = fresh ? std::nullopt : base::read_case_state(case_dir);
  const RunLength length = run_length(built.manifest);
  const Verdict verdict = judge(state, built.keys, length, case_dir);
  require_no_orphans(case_dir);
  const bool inputs_stand = state && state->keys.mesh == built.keys.mesh;
  if (!inputs_stand) {
    clear_folder(case_dir);
    state = base::CaseState{};
  }
  // From here until the end what is being changed has no key, so that a run cut off in between redoes it.
  state->keys.source.clear();
  if (verdict.redo) state->keys.solve.clear();
  if (verdict.redo == Step::Mesh) state->keys.mesh.clear();
  base::write_case_state(*state, case_dir);
  if (inputs_stand && verdict.redo) rewind_case(*state, *verdict.redo, case_dir);
  write_changed_files(built, case_dir);
  if (verdict.more) reopen_solver(*state);
  if (!has_ended(*state, foam::solve_stage)) {
    state->last_iteration = length.iterations;
    state->stop_tolerance = length.stop_tolerance;
    state->window = length.window;
  }
  state->keys = built.keys;
  base::write_case_state(*state, case_dir);
  return fresh ? "asked for anew" : verdict.reason;
}

void restate_study(const Study& study, std::size_t variant_index, const fs::path& case_dir) {
  const base::Manifest now = foam::variant_manifest(study, variant_index, {});
  base::Manifest manifest = base::read_manifest(case_dir);
  if (manifest.study_hash == now.study_hash && manifest.variant_index == now.variant_index) return;
  manifest.study = now.study;
  manifest.question = now.question;
  manifest.study_file = now.study_file;
  manifest.study_hash = now.study_hash;
  manifest.variant = now.variant;
  manifest.is_baseline = now.is_baseline;
  manifest.variant_index = now.variant_index;
  manifest.settings = now.settings;
  base::write_manifest(manifest, case_dir);
}

void rewind_case(base::CaseState& state, Step step, const fs::path& case_dir) {
  const std::vector<foam::Stage> stages = stages_of(state);
  const std::size_t n_kept = is_prefix(state.finished, stages) ? state.finished.size() : 0;
  std::size_t n = 0;
  while (n < n_kept && stages[n].step < step) ++n;
  state.finished.resize(n);
  state.begun.clear();
  state.message.clear();
  state.can_go_on = false;
  state.phase = base::CasePhase::Running;
  if (step != Step::Solve) state.start_from.clear();
  state.kept = "all";
  base::write_case_state(state, case_dir);
  remove_made_by(case_dir, step);
}

}  // namespace cowlwright::run
