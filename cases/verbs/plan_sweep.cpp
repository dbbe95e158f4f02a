// SPDX-License-Identifier: GPL-3.0-or-later
//
// Plans a sweep.
#include "cases/verbs/plan_sweep.h"

#include "cases/foam/keys.h"
#include "cases/run/neighbours.h"
#include "cases/verbs/study_selection.h"
#include "geometry/base/error.h"
#include "geometry/base/exit_code.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/version.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;
using base::TaskKind;

/// Room that is left free beside what the cases need.
constexpr double disk_margin = 1.1;

/// The cases of one variant, built when the first of them is asked for.
class VariantCases {
 public:
  VariantCases(const Study& study, std::size_t index, const PlanOptions& options)
      : study_(study), index_(index), options_(options) {}

  PlannedCase plan(const foam::CasePlan& plan) {
    const VariantSpec& spec = study_.variants[index_];
    PlannedCase planned{.folder = plan.folder, .variant = index_};
    planned.iterations = spec.grid.iterations;
    planned.ranks = options_.ranks > 0 ? options_.ranks : spec.grid.ranks.value_or(0);
    const std::optional<base::CaseState> state =
        options_.fresh ? std::nullopt : base::read_case_state(folder(planned));
    if (!stands(plan, planned)) build(planned);
    // Asked of the state before anything was written.
    planned.is_begun = state && state->keys.solve == planned.keys.solve &&
                       !run::finished_stages(*state, foam::Step::Start).empty() &&
                       !run::plan_resumption(*state).redo;
    if (planned.is_begun) planned.start_from = state->start_from;
    return planned;
  }

 private:
  fs::path folder(const PlannedCase& planned) const { return options_.output / planned.folder; }

  /// Whether the case's files are those of the study as it is now: then nothing is built.
  bool stands(const foam::CasePlan& plan, PlannedCase& planned) const {
    if (options_.fresh) return false;
    const std::optional<base::CaseState> state = base::read_case_state(folder(planned));
    if (!state || state->keys.source != foam::source_key(study_, index_, plan)) return false;
    planned.keys = state->keys;
    planned.left = left_of(planned);
    if (planned.left.files) return false;
    planned.cells = base::read_manifest(folder(planned)).expected_cells;
    if (options_.writes) {
      const base::FolderLock lock(
          folder(planned), base::case_lock_name, "cowlwright run", base::case_lock_patience);
      run::restate_study(study_, index_, folder(planned));
    }
    return true;
  }

  run::WorkLeft left_of(const PlannedCase& planned) const {
    return run::work_left(
        options_.output, planned.folder, planned.keys, run::run_length(study_.variants[index_].grid));
  }

  void build(PlannedCase& planned) {
    try {
      if (built_.empty() && failure_.empty()) {
        if (options_.on_variant) options_.on_variant(study_.variants[index_].variant.name);
        built_ = foam::build_cases(study_, index_);
      }
    } catch (const base::InputError& error) {
      failure_ = error.what();
      failure_code_ = base::exit_code_of(error);
    } catch (const base::ResultError& error) {
      failure_ = error.what();
      failure_code_ = base::exit_code_of(error);
    }
    planned.failure = failure_;
    planned.failure_code = failure_code_;
    if (!failure_.empty()) return;
    const foam::Case& built = *std::find_if(
        built_.begin(), built_.end(), [&](const foam::Case& one) { return one.folder == planned.folder; });
    planned.keys = built.keys;
    planned.cells = built.manifest.expected_cells;
    planned.left = options_.fresh ? run::WorkLeft{true, true, true, "asked for anew"} : left_of(planned);
    if (options_.writes) place(built);
  }

  void place(const foam::Case& built) const {
    const fs::path case_dir = options_.output / built.folder;
    make_folder(case_dir);
    const base::FolderLock lock(case_dir, base::case_lock_name, "cowlwright run", base::case_lock_patience);
    run::place_case(built, options_.output, options_.fresh);
  }

  const Study& study_;
  std::size_t index_;
  const PlanOptions& options_;
  std::vector<foam::Case> built_;
  std::string failure_;
  int failure_code_ = 0;
};

/// Turns planned cases into tasks, each behind those it waits for.
class TaskList {
 public:
  void add(const PlannedCase& planned) {
    if (!planned.failure.empty()) return;
    base::Task solve{.case_folder = planned.folder, .start_from = planned.start_from};
    solve.reason = planned.left.reason;
    solve.is_done = !planned.left.solve;
    solve.expected_cells = planned.cells;
    if (planned.left.mesh && planned.left.solve) solve.after.push_back(mesh_of(planned));
    const auto start = solves_.find(planned.start_from);
    if (start == solves_.end()) {
      if (!planned.is_begun) solve.start_from.clear();  // that one cannot be built
    } else if (!planned.is_begun && !tasks_[start->second].is_done) {
      solve.after.push_back(start->second);
    }
    std::sort(solve.after.begin(), solve.after.end());
    solves_[planned.folder] = tasks_.size();
    works_.push_back({.kind = TaskKind::Solve,
                      .after = solve.after,
                      .ranks = planned.ranks,
                      .cells = planned.cells,
                      .iterations = planned.iterations,
                      .is_done = solve.is_done});
    tasks_.push_back(std::move(solve));
  }

  const std::vector<run::Work>& works() const { return works_; }
  std::vector<base::Task> tasks(const run::Schedule& schedule, const run::ScalingModel& model) const {
    std::vector<base::Task> tasks = tasks_;
    for (std::size_t i = 0; i < tasks.size(); ++i) {
      tasks[i].ranks = std::max(1, schedule.ranks[i]);
      tasks[i].expected_seconds = schedule.seconds[i];
      tasks[i].expected_memory = schedule.memory[i];
      if (tasks[i].kind == TaskKind::Solve && !tasks[i].is_done)
        tasks[i].expected_disk = tasks[i].expected_cells * model.disk_bytes_per_cell;
    }
    return tasks;
  }

 private:
  /// The task that makes a case's mesh; one for all cases that share it.
  std::size_t mesh_of(const PlannedCase& planned) {
    const auto known = meshes_.find(planned.keys.mesh);
    if (known != meshes_.end()) return known->second;
    const std::size_t index = tasks_.size();
    meshes_[planned.keys.mesh] = index;
    tasks_.push_back({.case_folder = planned.folder,
                      .kind = TaskKind::Mesh,
                      .reason = planned.left.reason,
                      .expected_cells = planned.cells});
    works_.push_back({.kind = TaskKind::Mesh, .ranks = 1, .cells = planned.cells});
    return index;
  }

  std::vector<base::Task> tasks_;
  std::vector<run::Work> works_;
  std::map<std::string, std::size_t> solves_;  ///< by case folder
  std::map<std::string, std::size_t> meshes_;  ///< by mesh key
};

/// Chooses where each case starts and puts each behind the one it starts from.
std::vector<PlannedCase> with_starts(std::vector<PlannedCase> cases,
                                     const Study& study,
                                     const PlanOptions& options) {
  const auto find = [&](const std::string& folder) {
    return std::find_if(
        cases.begin(), cases.end(), [&](const PlannedCase& planned) { return planned.folder == folder; });
  };
  run::StartQuestion question{.variants = options.variants, .at_a_time = options.machine.cores};
  question.is_solved = [&](const std::string& folder) {
    const auto planned = find(folder);
    return planned != cases.end() && planned->failure.empty() && !planned->left.solve;
  };
  std::vector<PlannedCase> ordered;
  for (const run::CaseStart& start : run::choose_starts(study, question)) {
    ordered.push_back(*find(start.folder));
    if (!ordered.back().is_begun) ordered.back().start_from = start.from;
  }
  return ordered;
}

}  // namespace

SweepPlan plan_sweep(const Study& study, const PlanOptions& options) {
  SweepPlan plan;
  plan.sweep = {.study = study.title,
                .study_file = study.file.filename().string(),
                .program_version = base::program_version,
                .launcher = options.launcher,
                .cores = options.machine.cores};
  for (const std::size_t index : options.variants) {
    VariantCases cases(study, index, options);
    for (const foam::CasePlan& one : foam::case_plans(study.variants[index]))
      plan.cases.push_back(cases.plan(one));
  }
  plan.cases = with_starts(std::move(plan.cases), study, options);
  TaskList list;
  for (const PlannedCase& planned : plan.cases) list.add(planned);
  plan.schedule = run::pack(list.works(), options.machine, options.model);
  plan.sweep.tasks = list.tasks(plan.schedule, options.model);
  return plan;
}

run::Machine machine_of(const Request& request, const std::filesystem::path& output) {
  run::Machine machine = run::this_machine(output);
  machine.cores = request.cores.value_or(machine.cores);
  machine.memory = request.memory.value_or(machine.memory);
  return machine;
}

Needs needs_of(const SweepPlan& plan) {
  Needs needs;
  for (const base::Task& task : plan.sweep.tasks) needs.disk += task.expected_disk;
  for (const run::Slot& at : plan.schedule.slots) {
    double memory = 0.0;
    for (const run::Slot& slot : plan.schedule.slots) {
      if (slot.begin <= at.begin && at.begin < slot.end) memory += plan.schedule.memory[slot.task];
    }
    needs.memory = std::max(needs.memory, memory);
  }
  return needs;
}

void require_disk(const SweepPlan& plan, const run::Machine& machine, const fs::path& output) {
  const double needed = disk_margin * needs_of(plan).disk;
  if (needed <= machine.disk) return;
  throw base::InputError(fmt::format(
      "{}: the cases will need about {:.1f} GB of disk: must be at most the {:.1f} GB that are free "
      "there. Make room, use another --output, or keep less of each case (--keep).",
      output.string(),
      needed / 1e9,
      machine.disk / 1e9));
}

}  // namespace cowlwright::verbs
