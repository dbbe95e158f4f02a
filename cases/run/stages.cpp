// SPDX-License-Identifier: GPL-3.0-or-later
//
// Runs the stages of a case.
#include "cases/run/stages.h"

#include "cases/run/log_scan.h"
#include "cases/run/process.h"
#include "cases/run/solver_watch.h"
#include "cases/run/stop_rule.h"
#include "geometry/base/error.h"
#include "geometry/base/manifest.h"
#include "geometry/base/solver_end.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <optional>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

constexpr std::chrono::seconds monitor_pause{1};  // between two looks at the monitors' last rows
constexpr std::chrono::seconds hold_pause{3};     // between two judgements of their whole histories

/// A log that is there already belongs to an earlier part of the same run and gets a number: log.x.1,
/// log.x.2, ...
void keep_older_log(const fs::path& log) {
  if (!fs::exists(log)) return;
  int number = 1;
  while (fs::exists(fmt::format("{}.{}", log.string(), number))) ++number;
  fs::rename(log, fmt::format("{}.{}", log.string(), number));
}

/// Turns what a stage writes while it runs into snapshots, notices numbers that have gone bad, and ends the
/// solver when what it computes has held.
class StageWatch {
 public:
  StageWatch(const CaseRun& run, const foam::Stage& stage)
      : run_(run), log_(run.directory / stage.log), begin_(Clock::now()) {
    snapshot_.stage = stage.name;
    if (stage.name != solve_stage) return;
    manifest_ = base::read_manifest(run.directory);
    snapshot_.last_iteration = manifest_->last_iteration;
  }

  /// False when going on is useless.
  bool look() {
    const Clock::time_point now = Clock::now();
    snapshot_.seconds = std::chrono::duration<double>(now - begin_).count();
    bool is_sound = true;
    if (manifest_) {
      is_sound = read_log();
      if (now - last_monitors_ >= monitor_pause) {
        read_tables();
        last_monitors_ = now;
      }
      if (may_stop() && now - last_judgement_ >= hold_pause) {
        stop_when_held();
        last_judgement_ = now;
      }
    }
    if (run_.on_progress) run_.on_progress(snapshot_);
    return is_sound;
  }

  /// How the solver, which has ended well, came to its end.
  base::SolverEnd solver_end() {
    read_log();
    const HoldVerdict now = judge_hold(run_.directory, *manifest_);
    const int iteration = now.iteration > 0 ? now.iteration : snapshot_.iteration;
    if (held_) return {base::EndedBy::Held, iteration, held_->reason};
    const bool at_ceiling = iteration >= manifest_->last_iteration;
    return {at_ceiling ? base::EndedBy::Ceiling : base::EndedBy::Asked,
            iteration,
            now.has_held ? now.reason : "not held: " + now.reason};
  }

 private:
  /// The solver heeds a file STOP only once it iterates: it removes one that it finds at its start.
  bool may_stop() const { return manifest_->stop_when_held && !held_ && first_iteration_ > 0; }

  void stop_when_held() {
    const HoldVerdict verdict = judge_hold(run_.directory, *manifest_);
    if (!verdict.has_held) return;
    held_ = verdict;
    base::write_text(run_.directory / stop_file_name, verdict.reason + "\n");
  }

  bool read_log() {
    bool is_sound = true;
    for (const std::string& line : log_.new_lines()) {
      if (const std::optional<int> iteration = iteration_of(line)) {
        if (first_iteration_ == 0) first_iteration_ = *iteration;
        snapshot_.iteration = *iteration;
      }
      if (reports_non_finite(line)) is_sound = false;
    }
    const int n_done = snapshot_.iteration - first_iteration_;
    if (n_done > 0) {
      snapshot_.seconds_left = snapshot_.seconds / n_done * (snapshot_.last_iteration - snapshot_.iteration);
    }
    return is_sound;
  }

  void read_tables() {
    const MonitorReading reading = read_monitors(run_.directory, *manifest_);
    snapshot_.deck_pressure_difference = reading.deck_pressure_difference;
    snapshot_.inlet_flow = reading.inlet_flow;
    snapshot_.exit_flow = reading.exit_flow;
  }

  const CaseRun& run_;
  LogTail log_;
  Clock::time_point begin_;
  Clock::time_point last_monitors_{};
  Clock::time_point last_judgement_{};
  std::optional<HoldVerdict> held_;
  std::optional<base::Manifest> manifest_;
  int first_iteration_ = 0;
  Snapshot snapshot_;
};

double run_stage(const CaseRun& run, const foam::Stage& stage) {
  const fs::path stop_file = run.directory / stop_file_name;
  fs::remove(stop_file);
  const bool is_solver = stage.name == solve_stage;
  if (is_solver) fs::remove(run.directory / base::solver_end_file_name);
  const Command command{.words = stage.command,
                        .directory = run.directory,
                        .log = run.directory / stage.log,
                        .environment = run.environment};
  keep_older_log(command.log);
  StageWatch watch(run, stage);
  watch.look();
  WaitRules rules;
  rules.on_tick = [&] { return watch.look(); };
  if (is_solver) {
    rules.on_interrupt = [&] { base::write_text(stop_file, "stopped on request\n"); };
  }
  const Ending ending = run_process(command, rules);
  require_success(command, ending);
  if (is_solver) base::write_solver_end(watch.solver_end(), run.directory);
  if (run.accept) run.accept(stage);
  return ending.seconds;
}

}  // namespace

base::CaseState run_stages(const CaseRun& run, std::size_t first, base::CaseState state) {
  state.phase = base::CasePhase::Running;
  state.message.clear();
  for (std::size_t i = first; i < run.stages.size(); ++i) {
    throw_if_interrupted();
    state.begun = run.stages[i].name;
    base::write_case_state(state, run.directory);
    try {
      const double seconds = run_stage(run, run.stages[i]);
      state.finished.push_back({run.stages[i].name, seconds});
      state.begun.clear();
    } catch (const Interrupted&) {
      throw;
    } catch (const std::runtime_error& error) {
      state.phase = base::CasePhase::Failed;
      state.message = error.what();
      base::write_case_state(state, run.directory);
      return state;
    }
  }
  state.phase = base::CasePhase::Finished;
  base::write_case_state(state, run.directory);
  return state;
}

}  // namespace cowlwright::run
