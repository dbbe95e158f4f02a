// SPDX-License-Identifier: GPL-3.0-or-later
//
// Runs the variants of a study.
#include "cases/run/study_run.h"

#include "cases/run/process.h"
#include "cases/run/resumption.h"
#include "cases/run/stages.h"
#include "geometry/base/error.h"
#include "geometry/base/solver_end.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <exception>
#include <string_view>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

/// Stages whose time the table calls "mesh".
constexpr std::array<std::string_view, 5> mesh_stages{"block", "features", "snap", "check", "zones"};

int exit_code_of(const std::exception& error) {
  if (dynamic_cast<const base::InputError*>(&error) != nullptr) return 2;
  if (dynamic_cast<const base::ResultError*>(&error) != nullptr) return 4;
  return 3;
}

/// Where a job is in the study, for the user.
struct Place {
  std::size_t number = 1;
  std::size_t count = 1;
};

std::string head(const CaseJob& job, const Place& place) {
  return fmt::format("[{}/{}] {}", place.number, place.count, job.name);
}

/// Finds out how to go on and, when that means starting over, writes the case.
std::pair<std::size_t, base::CaseState> begin_case(const CaseJob& job,
                                                   const RunOptions& options,
                                                   const std::string& title,
                                                   ProgressPrinter& printer) {
  const std::optional<base::CaseState> state =
      options.fresh ? std::nullopt : base::read_case_state(job.directory);
  const int ranks = state ? state->ranks : job.ranks;
  const std::vector<foam::Stage> stages = job.stages(ranks);
  const Resumption plan = plan_resumption(state, stages, job.input_hash(ranks));
  if (!plan.start_over) {
    const bool keeps_ranks = plan.first_stage < stages.size() && ranks != job.ranks;
    const std::string note =
        keeps_ranks ? fmt::format(" on the {} ranks it was begun with (--fresh starts over)", ranks) : "";
    printer.print(fmt::format("{}: {}{}", title, plan.reason, note));
    return {plan.first_stage, *state};
  }
  printer.print(state ? fmt::format("{}: {}, starts over", title, plan.reason) : title);
  job.write(job.ranks);
  base::CaseState fresh_state{.input_hash = job.input_hash(job.ranks), .ranks = job.ranks};
  base::write_case_state(fresh_state, job.directory);
  return {0, fresh_state};
}

void tell_solver_end(const CaseJob& job, ProgressPrinter& printer) {
  if (const auto end = base::read_solver_end(job.directory))
    printer.print(fmt::format("      solver {}", base::solver_end_text(*end)));
}

CaseOutcome run_one(const CaseJob& job,
                    const RunOptions& options,
                    const Place& place,
                    ProgressPrinter& printer) {
  CaseOutcome outcome{.name = job.name, .directory = job.directory};
  // A failure inside `accept` loses its type in the state's text, so its exit code is taken on the way.
  int accept_code = 3;
  CaseRun run{.directory = job.directory, .environment = options.environment};
  run.accept = [&](const foam::Stage& stage) {
    try {
      if (stage.name == solve_stage) tell_solver_end(job, printer);
      if (job.accept) job.accept(stage);
    } catch (const std::exception& error) {
      accept_code = exit_code_of(error);
      throw;
    }
  };
  run.on_progress = [&](Snapshot snapshot) {
    snapshot.variant = job.name;
    snapshot.variant_number = place.number;
    snapshot.n_variants = place.count;
    printer.show(snapshot);
  };
  try {
    const auto [first, begun] = begin_case(job, options, head(job, place), printer);
    run.stages = job.stages(begun.ranks);
    const base::CaseState state = run_stages(run, first, begun);
    outcome.stages = state.finished;
    outcome.message = state.message;
    outcome.outcome = state.phase == base::CasePhase::Finished ? Outcome::Finished : Outcome::Failed;
    if (outcome.outcome == Outcome::Failed) outcome.exit_code = accept_code;
  } catch (const Interrupted&) {
    outcome.outcome = Outcome::Stopped;
    outcome.exit_code = interrupted_exit_code;
  } catch (const std::runtime_error& error) {
    outcome.outcome = Outcome::Failed;
    outcome.message = error.what();
    outcome.exit_code = exit_code_of(error);
  }
  return outcome;
}

void report(const CaseJob& job, const CaseOutcome& outcome, const Place& place, ProgressPrinter& printer) {
  double seconds = 0.0;
  for (const base::StageTime& stage : outcome.stages) seconds += stage.seconds;
  switch (outcome.outcome) {
    case Outcome::Finished:
      printer.print(fmt::format("{}: solved, {}", head(job, place), duration_text(seconds)));
      break;
    case Outcome::Failed:
      printer.print(fmt::format("{}: FAILED\n  {}", head(job, place), outcome.message));
      break;
    default:
      printer.print(
          fmt::format("{}: stopped on request; the same command goes on from here", head(job, place)));
  }
}

/// The failed job a job was to start from; null when there is none.
const CaseOutcome* failed_start(const CaseJob& job, const std::vector<CaseOutcome>& outcomes) {
  const auto found = std::find_if(outcomes.begin(), outcomes.end(), [&](const CaseOutcome& outcome) {
    return outcome.name == job.start_from && outcome.outcome == Outcome::Failed;
  });
  return found == outcomes.end() ? nullptr : &*found;
}

}  // namespace

std::vector<CaseOutcome> run_cases(const std::vector<CaseJob>& jobs,
                                   const RunOptions& options,
                                   ProgressPrinter& printer) {
  const InterruptHold hold;
  std::vector<CaseOutcome> outcomes;
  for (const CaseJob& job : jobs) {
    const Place place{outcomes.size() + 1, jobs.size()};
    if (interrupt_requested()) {
      outcomes.push_back({.name = job.name, .directory = job.directory});
      continue;
    }
    if (const CaseOutcome* start = failed_start(job, outcomes)) {
      outcomes.push_back({.name = job.name,
                          .directory = job.directory,
                          .outcome = Outcome::Failed,
                          .message = fmt::format("not run: it starts from {}, which has failed", start->name),
                          .exit_code = start->exit_code});
    } else {
      outcomes.push_back(run_one(job, options, place, printer));
    }
    report(job, outcomes.back(), place, printer);
  }
  return outcomes;
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
  std::size_t width = std::string_view("variant").size();
  for (const CaseOutcome& outcome : outcomes) width = std::max(width, outcome.name.size());
  std::string text =
      fmt::format("{:<{}}  {:>9}  {:>9}  {:>9}\n", "variant", width, "mesh [s]", "solve [s]", "other [s]");
  for (const CaseOutcome& outcome : outcomes) {
    double mesh = 0.0;
    double solve = 0.0;
    double other = 0.0;
    for (const base::StageTime& stage : outcome.stages) {
      const bool is_mesh = std::find(mesh_stages.begin(), mesh_stages.end(), stage.name) != mesh_stages.end();
      (is_mesh ? mesh : stage.name == solve_stage ? solve : other) += stage.seconds;
    }
    text += fmt::format("{:<{}}  {:>9.1f}  {:>9.1f}  {:>9.1f}\n", outcome.name, width, mesh, solve, other);
  }
  return text;
}

}  // namespace cowlwright::run
