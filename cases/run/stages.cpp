// SPDX-License-Identifier: GPL-3.0-or-later
//
// Runs the stages of a case.
#include "cases/run/stages.h"

#include "cases/run/checkpoint.h"
#include "cases/run/log_scan.h"
#include "cases/run/process.h"
#include "cases/run/solver_watch.h"
#include "cases/run/stop_rule.h"
#include "geometry/base/error.h"
#include "geometry/base/manifest.h"
#include "geometry/base/solver_end.h"
#include "geometry/base/text_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <fstream>
#include <optional>
#include <system_error>

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

/// Turns what a stage writes while it runs into progress, notices numbers that have gone bad, and ends the
/// solver when what it computes has held.
class StageWatch {
 public:
  StageWatch(const CaseRun& run, const foam::Stage& stage, int ranks)
      : run_(run), log_(run.directory / stage.log), ranks_(ranks), begin_(Clock::now()) {
    progress_.stage = stage.name;
    if (stage.name != foam::solve_stage) return;
    manifest_ = base::read_manifest(run.directory);
    progress_.last_iteration = manifest_->last_iteration;
  }

  /// False when going on is useless.
  bool look() {
    const Clock::time_point now = Clock::now();
    progress_.seconds = std::chrono::duration<double>(now - begin_).count();
    bool is_sound = true;
    if (manifest_) {
      is_sound = read_log();
      if (now - last_monitors_ >= monitor_pause) {
        read_tables();
        is_sound = is_sound && seal();
        last_monitors_ = now;
      }
      if (!held_ && now - last_judgement_ >= hold_pause) {
        judge();
        last_judgement_ = now;
      }
    }
    if (run_.on_progress) run_.on_progress(progress_);
    return is_sound;
  }

  /// Seals what the solver has written to its end, however that came.
  /// @return why the last of it cannot be gone on from; empty: it can.
  std::string seal_last() {
    read_log();
    return seal_checkpoints(run_.directory, ranks_, progress_.iteration + (has_ended_ ? 1 : 0));
  }

  /// What was wrong with a field the solver has written; empty: nothing.
  const std::string& seal_trouble() const { return seal_trouble_; }

  /// How the solver, which has ended well, came to its end; whoever watches sees its last iteration.
  base::SolverEnd solver_end() {
    read_log();
    const HoldVerdict now = judge_hold(run_.directory, *manifest_);
    const int iteration = now.iteration > 0 ? now.iteration : progress_.iteration;
    read_tables();
    progress_.iteration = iteration;
    progress_.deck_pressure_difference_band = now.deck_pressure_difference_band;
    progress_.seconds_left = 0.0;
    if (run_.on_progress) run_.on_progress(progress_);
    if (held_) return {base::EndedBy::Held, iteration, held_->reason};
    const bool at_ceiling = iteration >= manifest_->last_iteration;
    return {at_ceiling ? base::EndedBy::Ceiling : base::EndedBy::Asked,
            iteration,
            now.has_held ? now.reason : "not held: " + now.reason};
  }

 private:
  /// The solver heeds a file STOP only once it iterates: it removes one that it finds at its start.
  bool may_stop() const { return manifest_->stop_when_held && first_iteration_ > 0; }

  void judge() {
    const HoldVerdict verdict = judge_hold(run_.directory, *manifest_);
    progress_.deck_pressure_difference_band = verdict.deck_pressure_difference_band;
    if (!verdict.has_held || !may_stop()) return;
    held_ = verdict;
    base::write_text(run_.directory / stop_file_name, verdict.reason + "\n");
  }

  /// False when a field came out cut short: the solver would go on for nothing. A disk too full for the seals
  /// themselves does not end it.
  bool seal() {
    try {
      seal_trouble_ = seal_checkpoints(run_.directory, ranks_, progress_.iteration);
    } catch (const base::ExternalError&) {
    }
    return seal_trouble_.empty();
  }

  bool read_log() {
    bool is_sound = true;
    for (const std::string& line : log_.new_lines()) {
      if (const std::optional<int> iteration = iteration_of(line)) {
        if (first_iteration_ == 0) first_iteration_ = *iteration;
        progress_.iteration = *iteration;
      }
      if (reports_non_finite(line)) is_sound = false;
      has_ended_ = has_ended_ || line == "End";
    }
    const int n_done = progress_.iteration - first_iteration_;
    if (n_done > 0) {
      progress_.seconds_left = progress_.seconds / n_done * (progress_.last_iteration - progress_.iteration);
    }
    return is_sound;
  }

  void read_tables() {
    const MonitorReading reading = read_monitors(run_.directory, *manifest_);
    progress_.deck_pressure_difference = reading.deck_pressure_difference;
    progress_.inlet_flow = reading.inlet_flow;
    progress_.exit_flow = reading.exit_flow;
  }

  const CaseRun& run_;
  LogTail log_;
  int ranks_ = 1;
  bool has_ended_ = false;  ///< the solver's own last word
  std::string seal_trouble_;
  Clock::time_point begin_;
  Clock::time_point last_monitors_{};
  Clock::time_point last_judgement_{};
  std::optional<HoldVerdict> held_;
  std::optional<base::Manifest> manifest_;
  int first_iteration_ = 0;
  base::Progress progress_;
};

/// Signals that reach a program from outside: a batch system, a user, the system when memory is short. Those
/// of its own faults start over.
bool was_ended_from_outside(const Ending& ending) {
  constexpr std::array outside{SIGHUP, SIGINT, SIGKILL, SIGTERM, SIGXCPU};
  const int signal = ending.signal != 0 ? ending.signal : ending.exit_code - 128;  // as MPI launchers pass on
  return std::find(outside.begin(), outside.end(), signal) != outside.end();
}

bool has_fault(const fs::path& log) {
  std::ifstream file(log);
  return find_fault(file).has_value();
}

/// Room below which a failure is put down to a full disk [bytes].
constexpr std::uintmax_t little_room = 16U << 20U;

bool is_disk_full(const fs::path& folder) {
  std::error_code error;
  const fs::space_info space = fs::space(folder, error);
  return !error && space.available < little_room;
}

/// The solver was ended by something that is no fault of the case.
class EndedFromOutside : public base::ExternalError {
  using base::ExternalError::ExternalError;
};

/// @param cut_short  what the seals found wrong with the fields; empty: nothing.
void judge_end(const foam::Stage& stage,
               const Command& command,
               const Ending& ending,
               const std::string& cut_short) {
  const bool is_solving = stage.step == foam::Step::Solve;
  const std::string remedy = "Make room on the disk and run the same again, it goes on.";
  if (is_solving && !cut_short.empty())
    throw EndedFromOutside(fmt::format("{}: {}. {}", command.directory.string(), cut_short, remedy));
  try {
    require_success(command, ending);
  } catch (const base::ExternalError& error) {
    if (is_solving && is_disk_full(command.directory)) {
      throw EndedFromOutside(
          fmt::format("{} The disk of {} is full. {}", error.what(), command.directory.string(), remedy));
    }
    if (is_solving && was_ended_from_outside(ending) && !has_fault(command.log))
      throw EndedFromOutside(error.what());
    throw;
  }
}

std::string last_seal_trouble(StageWatch& watch) {
  const std::string last = watch.seal_last();
  return watch.seal_trouble().empty() ? last : watch.seal_trouble();
}

double run_stage(const CaseRun& run, const foam::Stage& stage, int ranks) {
  const fs::path stop_file = run.directory / stop_file_name;
  fs::remove(stop_file);
  const bool is_solver = stage.name == foam::solve_stage;
  if (is_solver) fs::remove(run.directory / base::solver_end_file_name);
  const Command command{.words = stage.command,
                        .directory = run.directory,
                        .log = run.directory / stage.log,
                        .environment = run.environment};
  keep_older_log(command.log);
  StageWatch watch(run, stage, ranks);
  watch.look();
  WaitRules rules;
  bool was_asked = false;
  const auto ask = [&] {
    was_asked = true;
    base::write_text(stop_file, "stopped on request\n");
  };
  rules.on_tick = [&] {
    if (was_asked && !fs::exists(stop_file)) ask();  // a solver that is still starting takes it away
    return watch.look();
  };
  if (is_solver) rules.on_interrupt = ask;
  Ending ending;
  try {
    ending = run_process(command, rules);
  } catch (const Interrupted&) {
    if (is_solver) watch.seal_last();
    throw;
  }
  judge_end(stage, command, ending, is_solver ? last_seal_trouble(watch) : "");
  if (is_solver) base::write_solver_end(watch.solver_end(), run.directory);
  if (run.accept) run.accept(stage);
  return ending.seconds;
}

/// What a stage has written outlives a loss of power from here on: the state that says so is synced too.
void sync_file_system(const fs::path& folder) {
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  const bool is_synced = descriptor >= 0 && ::syncfs(descriptor) == 0;
  const int error = errno;
  if (descriptor >= 0) ::close(descriptor);
  if (!is_synced) {
    throw base::ExternalError(fmt::format("{}: cannot be synced: {}. Check the disk and its space.",
                                          folder.string(),
                                          std::generic_category().message(error)));
  }
}

}  // namespace

base::CaseState run_stages(const CaseRun& run, base::CaseState state, std::size_t end) {
  state.phase = base::CasePhase::Running;
  state.message.clear();
  state.can_go_on = false;
  for (std::size_t i = state.finished.size(); i < end; ++i) {
    throw_if_interrupted();
    state.begun = run.stages[i].name;
    base::write_case_state(state, run.directory);
    try {
      const double seconds = run_stage(run, run.stages[i], state.ranks);
      sync_file_system(run.directory);
      state.finished.push_back({run.stages[i].name, seconds});
      state.begun.clear();
    } catch (const Interrupted&) {
      throw;
    } catch (const std::runtime_error& error) {
      state.phase = base::CasePhase::Failed;
      state.message = error.what();
      state.can_go_on = dynamic_cast<const EndedFromOutside*>(&error) != nullptr;
      base::write_case_state(state, run.directory);
      return state;
    }
  }
  if (state.finished.size() == run.stages.size()) state.phase = base::CasePhase::Finished;
  base::write_case_state(state, run.directory);
  return state;
}

}  // namespace cowlwright::run
