// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `run`: the whole chain, from the study file to the summary table.
#include "cases/cluster/jobs.h"
#include "cases/keep/tidy.h"
#include "cases/run/openfoam.h"
#include "cases/run/process.h"
#include "cases/run/study_tables.h"
#include "cases/run/sweep_run.h"
#include "cases/verbs/command_line.h"
#include "cases/verbs/plan_sweep.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/sweep_report.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/sister_program.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;

VerbText verb_text() {
  return {
      .name = "run",
      .argument = "STUDY",
      .purpose =
          "Checks the study, then meshes and solves every variant with OpenFOAM, extracts the results, "
          "prints the\n"
          "table that compares them and makes the page with pictures. Several cases at a time, as cores and "
          "memory allow;\n"
          "the tables are written again whenever one has ended. After Ctrl-C, a crash, or when the study "
          "has changed, the\n"
          "same command does what is still to be done. A variant that fails is reported and the others go "
          "on.\n"
          "--on slurm writes the case files here and leaves the rest to a cluster's queue.",
      .examples =
          "  cowlwright run my-cowl.toml\n"
          "  cowlwright run my-cowl.toml -o results --ranks 8\n"
          "  cowlwright run my-cowl.toml --cores 4 --memory \"6 GB\"\n"
          "  cowlwright run my-cowl.toml --keep last\n"
          "  cowlwright run my-cowl.toml --variant base --fresh\n"
          "  cowlwright run my-cowl.toml --on slurm --site site.toml\n",
      .takes_output = true,
      .takes_variants = true,
      .takes_run_options = true,
      .takes_keep = true,
      .takes_machine = true,
      .takes_tables_only = true,
      .takes_cluster = true,
      .default_output = "STUDY's name + \"-study\", beside it"};
}

/// Every case folder of the study, before anything is done.
void require_all_replaceable(const Study& study,
                             const std::vector<std::size_t>& selected,
                             const fs::path& output,
                             bool fresh) {
  for (const std::size_t index : selected) {
    for (const foam::CasePlan& plan : foam::case_plans(study.variants[index])) {
      require_replaceable(output / plan.folder, fresh);
    }
  }
}

/// Plans the sweep and writes the case files that need it.
SweepPlan write_sweep_of(const Study& study, PlanOptions options, run::ProgressPrinter& printer) {
  std::size_t n_built = 0;
  options.writes = true;
  options.on_variant = [&](const std::string& name) {
    run::throw_if_interrupted();
    run::Snapshot snapshot;
    snapshot.variant = name;
    snapshot.variant_number = ++n_built;
    snapshot.n_variants = options.variants.size();
    snapshot.stage = "case files";
    printer.show({snapshot});
  };
  SweepPlan plan = plan_sweep(study, options);
  require_disk(plan, options.machine, options.output);
  base::write_sweep(plan.sweep, options.output);
  return plan;
}

/// Outcomes of all cases in the plan's order, those included that could not be built.
std::vector<run::CaseOutcome> all_outcomes(const SweepPlan& plan, std::vector<run::CaseOutcome> of_tasks) {
  std::vector<run::CaseOutcome> outcomes;
  for (const PlannedCase& planned : plan.cases) {
    const auto found = std::find_if(of_tasks.begin(), of_tasks.end(), [&](const run::CaseOutcome& outcome) {
      return outcome.name == planned.folder;
    });
    if (found != of_tasks.end()) {
      outcomes.push_back(std::move(*found));
    } else {
      outcomes.push_back({.name = planned.folder,
                          .outcome = run::Outcome::Failed,
                          .message = planned.failure,
                          .exit_code = planned.failure_code});
    }
  }
  return outcomes;
}

void print_failures(const std::vector<run::CaseOutcome>& outcomes) {
  for (const run::CaseOutcome& outcome : outcomes) {
    if (outcome.outcome != run::Outcome::Failed) continue;
    fmt::print("{}: FAILED. {}\n", outcome.name, outcome.message.substr(0, outcome.message.find('\n')));
  }
}

/// Disk space of the cases that are solved, at the end of a run, when everything has been made from them.
void tidy_cases(const SweepPlan& plan, const fs::path& output, keep::Keep wanted) {
  if (wanted == keep::Keep::All) return;
  keep::TidiedStudy study;
  for (const PlannedCase& planned : plan.cases) {
    if (fs::is_directory(output / planned.folder))
      study.cases.push_back(keep::tidy_case(output, planned.folder, wanted));
  }
  study.meshes = keep::tidy_meshes(output);
  fmt::print("\nKept of solved cases: {}\n{}", keep::keep_name(wanted), keep::tidied_text(study));
}

/// Runs the planned tasks and makes the final tables; the program's exit code.
int run_plan(SweepPlan plan,
             const PlanOptions& options,
             const Request& request,
             run::ProgressPrinter& printer) {
  const keep::Keep wanted = keep::keep_of(request.keep);
  run::SweepRun sweep_run{.output = options.output,
                          .sweep = plan.sweep,
                          .schedule = plan.schedule,
                          .machine = options.machine,
                          .environment = run::openfoam_environment(),
                          .program = base::sister_program("cowlwright")};
  // What pictures, tables and further starts need stays until the end.
  if (wanted != keep::Keep::All) {
    sweep_run.on_solved = [&](const std::string& case_folder) {
      try {
        keep::tidy_case(options.output, case_folder, keep::Keep::Last);
      } catch (const base::ExternalError& error) {  // no reason to stop the others; tried again at the end
        printer.print(error.what());
      }
    };
  }
  const std::vector<run::CaseOutcome> outcomes = all_outcomes(plan, run::run_sweep(sweep_run, printer));
  const int run_code = run::exit_code_of(outcomes);
  if (run_code == run::interrupted_exit_code) return run_code;
  fmt::print("\n");
  std::fflush(stdout);
  const int summary_code =
      run::write_tables(options.output,
                        plan.sweep,
                        request.tables_only ? run::TablesKind::Tables : run::TablesKind::Report,
                        sweep_run.environment);
  fmt::print("\n{}", run::time_table(outcomes));
  print_failures(outcomes);
  tidy_cases(plan, options.output, wanted);
  return run_code != 0 ? run_code : summary_code;
}

/// A cluster's cores and memory are not this machine's; its disk is the one that both see.
PlanOptions for_site(PlanOptions options, const cluster::Site& site, const Request& request) {
  options.machine.cores = request.cores.value_or(site.cores);
  options.machine.memory = request.memory.value_or(std::numeric_limits<double>::max());
  options.ranks = request.ranks.value_or(site.ranks);
  options.launcher = site.launcher;
  return options;
}

std::string cluster_summary(const SweepPlan& plan, const PlanOptions& options) {
  return fmt::format(
      "About {} if {} cores are there all the time; times are those of the machine this program was measured "
      "on.\n{:.1f} of {:.1f} GB of free disk.\n",
      run::duration_text(plan.schedule.wall_time),
      options.machine.cores,
      needs_of(plan).disk / 1e9,
      options.machine.disk / 1e9);
}

/// Leaves a planned sweep to the cluster; the program's exit code.
int hand_in(SweepPlan plan, const PlanOptions& options, const cluster::Site& site, const Request& request) {
  plan.sweep.cores = 0;
  base::write_sweep(plan.sweep, options.output);
  cluster::submit(options.output,
                  plan.sweep,
                  site,
                  {.write_only = request.write_only, .makes_report = !request.tables_only});
  int code = 0;
  for (const PlannedCase& planned : plan.cases) {
    if (planned.failure.empty()) continue;
    fmt::print("{}: FAILED. {}\n", planned.folder, planned.failure.substr(0, planned.failure.find('\n')));
    if (code == 0) code = planned.failure_code;
  }
  return code;
}

/// A slip shows before anything is done. @throws InputError  also where jobs would not keep to it.
void require_keep(const Request& request) {
  const keep::Keep keep = keep::keep_of(request.keep);
  if (request.on_slurm && keep != keep::Keep::All) {
    throw base::InputError(
        fmt::format("cowlwright run: --keep = {}: must be all with --on slurm. Use `cowlwright tidy` when "
                    "the jobs have ended.",
                    request.keep));
  }
}

}  // namespace

int run_study(const Words& words) {
  const std::optional<Request> asked = request_or_help(verb_text(), words);
  if (!asked) return 0;
  const Request& request = *asked;
  require_keep(request);
  const cluster::Site site = request.site ? cluster::read_site(*request.site) : cluster::Site{};
  const Study study = read_study(request.file);
  PlanOptions options{.variants = selected_variants(study, request.variants)};
  options.output = output_folder(request, "study");
  require_all_replaceable(study, options.variants, options.output, request.fresh);
  const std::string openfoam =
      request.on_slurm ? "of the cluster" : run::probe_openfoam(run::openfoam_environment());
  make_folder(options.output);
  const base::FolderLock lock(
      options.output, base::driver_lock_name, "cowlwright run " + request.file.filename().string());
  cluster::require_no_jobs(options.output);
  keep_study(study, options.output);
  options.machine = machine_of(request, options.output);
  options.model = run::measured_scaling(options.output);
  options.ranks = request.ranks.value_or(0);
  options.fresh = request.fresh;
  if (request.on_slurm) options = for_site(options, site, request);
  fmt::print("{}: {} variants, OpenFOAM {}, results in {}\n",
             study.title,
             options.variants.size(),
             openfoam,
             options.output.string());
  std::fflush(stdout);

  const run::InterruptHold hold;
  run::ProgressPrinter printer(stdout, run::terminal_columns(stdout));
  const SweepPlan plan = write_sweep_of(study, options, printer);
  printer.print(request.on_slurm ? cluster_summary(plan, options)
                                 : sweep_summary(plan, options.machine, options.model));
  return request.on_slurm ? hand_in(plan, options, site, request) : run_plan(plan, options, request, printer);
}

}  // namespace cowlwright::verbs
