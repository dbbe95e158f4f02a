// SPDX-License-Identifier: GPL-3.0-or-later
//
// Runs a planned sweep and tells the user about it.
#include "cases/run/sweep_run.h"

#include "cases/foam/stages.h"
#include "cases/run/pool.h"
#include "cases/run/process.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/progress_file.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <memory>
#include <optional>
#include <sstream>
#include <string_view>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;
using base::TaskKind;

/// Lines of a task's log that begin with blanks are for the user: its mesh, how its solver ended.
std::string notes_of(const std::string& log) {
  std::istringstream lines(log);
  std::string notes;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("  ") && !line.starts_with("  FAILED")) notes += "\n    " + line;
  }
  return notes;
}

std::string last_line(const std::string& log) {
  const std::size_t last = log.find_last_not_of(" \n");
  if (last == std::string::npos) return {};
  const std::size_t line_end = log.rfind('\n', last);
  const std::size_t begin = line_end == std::string::npos ? 0 : line_end + 1;
  return log.substr(begin, last + 1 - begin);
}

std::string text_if_there(const fs::path& file) {
  std::error_code failure;
  return fs::is_regular_file(file, failure) ? base::read_text(file) : std::string();
}

class Driver {
 public:
  Driver(const SweepRun& run, ProgressPrinter& printer) : run_(run), printer_(printer) {
    for (std::size_t i = 0; i < run.sweep.tasks.size(); ++i) {
      if (task(i).kind != TaskKind::Solve) continue;
      solves_.push_back(i);
      places_[task(i).case_folder] = solves_.size();
    }
  }

  std::vector<CaseOutcome> run() {
    const InterruptHold hold;
    fs::create_directories(run_.output / log_folder_name);
    for (const std::size_t i : solves_) {
      if (task(i).is_done) printer_.print(fmt::format("{}: {}", head(i), task(i).reason));
    }
    PoolRules rules;
    rules.command = [this](std::size_t i) { return command(i); };
    rules.on_begin = [this](std::size_t i) { tell_begin(i); };
    rules.on_end = [this](std::size_t i, const TaskEnd& end) { tell_end(i, end); };
    rules.on_tick = [this](const std::vector<std::size_t>& running) { tick(running); };
    const std::vector<TaskEnd> ends = run_pool(run_.sweep, run_.schedule, run_.machine, rules);
    finish_tables();
    std::vector<CaseOutcome> outcomes;
    for (const std::size_t i : solves_) outcomes.push_back(outcome(i, ends));
    return outcomes;
  }

 private:
  const base::Task& task(std::size_t i) const { return run_.sweep.tasks[i]; }

  /// "[2/3] lip_30"
  std::string head(std::size_t i) const {
    const auto place = places_.find(task(i).case_folder);
    return fmt::format(
        "[{}/{}] {}", place == places_.end() ? 0 : place->second, solves_.size(), task(i).case_folder);
  }

  fs::path log_of(std::size_t i) const {
    const std::string suffix = task(i).kind == TaskKind::Mesh ? ".mesh.log" : ".log";
    return run_.output / log_folder_name / (task(i).case_folder + suffix);
  }

  Command command(std::size_t i) const {
    return {.words = {run_.program.string(), "task", run_.output.string(), std::to_string(i)},
            .log = log_of(i),
            .environment = run_.environment};
  }

  void tell_begin(std::size_t i) {
    const int ranks = task(i).ranks;
    const std::string on = ranks == 1 ? "" : fmt::format(", on {} ranks", ranks);
    printer_.print(task(i).kind == TaskKind::Mesh
                       ? fmt::format("{}: makes its mesh ({})", head(i), task(i).reason)
                       : fmt::format("{}: {}{}", head(i), task(i).reason, on));
  }

  void tell_end(std::size_t i, const TaskEnd& end) {
    const std::string notes = notes_of(text_if_there(log_of(i)));
    const bool is_mesh = task(i).kind == TaskKind::Mesh;
    if (end.outcome == TaskOutcome::Failed) {
      failures_[i] = why_failed(i, end);
      printer_.print(fmt::format("{}: FAILED{}\n  {}", head(i), notes, failures_[i]));
      if (is_mesh) fail_those_that_share(i);
    } else if (end.outcome == TaskOutcome::Done) {
      const std::string what = is_mesh ? "meshed" : "solved";
      printer_.print(fmt::format("{}: {}, {}{}", head(i), what, duration_text(end.seconds), notes));
      if (!is_mesh && run_.on_solved) run_.on_solved(task(i).case_folder);
    } else {
      printer_.print(fmt::format("{}: stopped on request; the same command goes on from here", head(i)));
    }
    if (!is_mesh || end.outcome == TaskOutcome::Failed) are_tables_old_ = true;
  }

  /// The state's own words when it has some, else what the process left behind.
  std::string why_failed(std::size_t i, const TaskEnd& end) const {
    const auto state = base::read_case_state(run_.output / task(i).case_folder);
    if (state && state->phase == base::CasePhase::Failed && !state->message.empty()) return state->message;
    if (end.signal != 0) {
      return fmt::format(
          "its process was ended by signal {}, {} times. The system's log may say why; signal 9 "
          "often means too little memory.",
          end.signal,
          PoolRules().attempts);
    }
    const std::string line = last_line(text_if_there(log_of(i)));
    return fmt::format("{} (see {})", line.empty() ? "it ended without a word" : line, log_of(i).string());
  }

  /// Cases that wait for a mesh that was to be made in another case's folder have failed with it.
  void fail_those_that_share(std::size_t mesh) {
    for (const std::size_t i : solves_) {
      const std::vector<std::size_t>& after = task(i).after;
      if (std::find(after.begin(), after.end(), mesh) == after.end()) continue;
      failures_[i] = failures_[mesh];
      if (task(i).case_folder == task(mesh).case_folder) continue;
      failures_[i] =
          fmt::format("its mesh, made for {}, failed: {}", task(mesh).case_folder, failures_[mesh]);
      const fs::path case_dir = run_.output / task(i).case_folder;
      const base::FolderLock lock(case_dir, base::case_lock_name, "cowlwright run");
      base::CaseState state = base::read_case_state(case_dir).value_or(base::CaseState{});
      state.phase = base::CasePhase::Failed;
      state.message = failures_[i];
      base::write_case_state(state, case_dir);
    }
  }

  void tick(const std::vector<std::size_t>& running) {
    std::vector<Snapshot> snapshots;
    snapshots.reserve(running.size());
    for (const std::size_t i : running) snapshots.push_back(snapshot(i));
    printer_.show(snapshots);
    renew_tables();
  }

  Snapshot snapshot(std::size_t i) const {
    const auto place = places_.find(task(i).case_folder);
    const auto progress = base::read_progress(run_.output / task(i).case_folder);
    Snapshot snapshot{progress.value_or(base::Progress{}),
                      task(i).case_folder,
                      place == places_.end() ? 0 : place->second,
                      solves_.size()};
    if (snapshot.stage.empty()) snapshot.stage = task(i).kind == TaskKind::Mesh ? "mesh" : "solve";
    return snapshot;
  }

  /// One writer at a time; what ends meanwhile is in the tables after these.
  void renew_tables() {
    if (tables_ && !tables_->poll()) return;
    tables_.reset();
    if (!are_tables_old_) return;
    are_tables_old_ = false;
    tables_ =
        std::make_unique<Child>(Command{.words = {run_.program.string(), "tables", run_.output.string()},
                                        .log = run_.output / log_folder_name / "tables.log",
                                        .environment = run_.environment});
  }

  void finish_tables() {
    while (tables_ && !tables_->poll()) wait_for_event(std::chrono::milliseconds(200));
    if (!interrupt_requested()) return;
    renew_tables();  // nobody else will
    while (tables_ && !tables_->poll()) wait_for_event(std::chrono::milliseconds(200));
  }

  CaseOutcome outcome(std::size_t i, const std::vector<TaskEnd>& ends) const {
    CaseOutcome result{.name = task(i).case_folder};
    if (const auto state = base::read_case_state(run_.output / task(i).case_folder))
      result.stages = state->finished;
    const auto failure = failures_.find(i);
    if (failure != failures_.end()) {
      result.outcome = Outcome::Failed;
      result.message = failure->second;
      result.exit_code = code_of_failure(i, ends);
    } else if (ends[i].outcome == TaskOutcome::Done) {
      result.outcome = Outcome::Finished;
    } else {
      result.outcome = ends[i].outcome == TaskOutcome::Stopped ? Outcome::Stopped : Outcome::NotBegun;
      result.exit_code = interrupted_exit_code;
    }
    return result;
  }

  /// Of the task itself, or of the mesh that it waited for.
  int code_of_failure(std::size_t i, const std::vector<TaskEnd>& ends) const {
    int code = ends[i].exit_code;
    for (const std::size_t before : task(i).after) {
      if (code == 0 && task(before).kind == TaskKind::Mesh) code = ends[before].exit_code;
    }
    return code >= 2 && code <= 4 ? code : 3;
  }

  const SweepRun& run_;
  ProgressPrinter& printer_;
  std::vector<std::size_t> solves_;            ///< indices of the solves
  std::map<std::string, std::size_t> places_;  ///< of a case among them, from 1
  std::map<std::size_t, std::string> failures_;
  std::unique_ptr<Child> tables_;
  bool are_tables_old_ = false;
};

}  // namespace

std::vector<CaseOutcome> run_sweep(const SweepRun& run, ProgressPrinter& printer) {
  return Driver(run, printer).run();
}

int exit_code_of(const std::vector<CaseOutcome>& outcomes) {
  int code = 0;
  for (const CaseOutcome& outcome : outcomes) {
    if (outcome.outcome == Outcome::Stopped || outcome.outcome == Outcome::NotBegun)
      return interrupted_exit_code;
    if (code == 0) code = outcome.exit_code;
  }
  return code;
}

std::string time_table(const std::vector<CaseOutcome>& outcomes) {
  std::size_t width = std::string_view("case").size();
  for (const CaseOutcome& outcome : outcomes) width = std::max(width, outcome.name.size());
  std::string text =
      fmt::format("{:<{}}  {:>10}  {:>10}  {:>10}\n", "case", width, "mesh [s]", "solve [s]", "other [s]");
  for (const CaseOutcome& outcome : outcomes) {
    double mesh = 0.0;
    double solve = 0.0;
    double other = 0.0;
    bool is_mesh_reused = false;
    for (const base::StageTime& stage : outcome.stages) {
      const bool is_mesh = foam::is_mesh_stage(stage.name);
      is_mesh_reused = is_mesh_reused || (is_mesh && stage.is_reused);
      (is_mesh ? mesh : stage.name == foam::solve_stage ? solve : other) += stage.seconds;
    }
    const std::string mesh_text =
        is_mesh_reused ? fmt::format("({:.1f})", mesh) : fmt::format("{:.1f}", mesh);
    text +=
        fmt::format("{:<{}}  {:>10}  {:>10.1f}  {:>10.1f}\n", outcome.name, width, mesh_text, solve, other);
  }
  return text;
}

}  // namespace cowlwright::run
