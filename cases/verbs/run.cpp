// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `run`: the whole chain, from the study file to the summary table.
#include "cases/foam/keys.h"
#include "cases/run/openfoam.h"
#include "cases/run/resumption.h"
#include "cases/run/study_tables.h"
#include "cases/run/task_run.h"
#include "cases/verbs/command_line.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/version.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;

VerbText verb_text() {
  return {.name = "run",
          .argument = "STUDY",
          .purpose =
              "Checks the study, then meshes and solves every variant with OpenFOAM, extracts the results, "
              "prints the\n"
              "table that compares them and makes the page with pictures. After Ctrl-C, or when the study "
              "has changed, the same command does "
              "what is\n"
              "still to be done. A variant that fails is reported and the others go on.",
          .examples =
              "  cowlwright run my-cowl.toml\n"
              "  cowlwright run my-cowl.toml -o results --ranks 8\n"
              "  cowlwright run my-cowl.toml --variant base --fresh\n",
          .takes_output = true,
          .takes_variants = true,
          .takes_run_options = true,
          .takes_tables_only = true,
          .default_output = "STUDY's name + \"-study\", beside it"};
}

/// Writes the cases of a variant that need it, and adds a task for each.
void add_tasks(const Study& study,
               std::size_t index,
               const Request& request,
               const fs::path& output,
               base::Sweep& sweep) {
  const VariantSpec& spec = study.variants[index];
  std::vector<foam::Case> built;
  for (const foam::CasePlan& plan : foam::case_plans(spec)) {
    const fs::path case_dir = output / plan.folder;
    make_folder(case_dir);
    const base::FolderLock lock(case_dir, base::case_lock_name, "cowlwright run", std::chrono::seconds(90));
    const std::optional<base::CaseState> state = base::read_case_state(case_dir);
    base::Task task{.case_folder = plan.folder, .start_from = plan.start_from};
    task.ranks = request.ranks.value_or(spec.grid.ranks);
    if (state && !request.fresh && state->keys.source == foam::source_key(study, index, plan)) {
      run::restate_study(study, index, case_dir);
      task.reason = run::work_left(output, plan.folder, state->keys, run::run_length(spec.grid)).reason;
    } else {
      if (built.empty()) built = foam::build_cases(study, index);
      const auto found = std::find_if(
          built.begin(), built.end(), [&](const foam::Case& one) { return one.folder == plan.folder; });
      task.reason = run::place_case(*found, output, request.fresh);
    }
    sweep.tasks.push_back(task);
  }
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

}  // namespace

int run_study(const Words& words) {
  const VerbText verb = verb_text();
  const Request request = parse_request(verb, words);
  if (request.wants_help) {
    fmt::print("{}", help_text(verb));
    return 0;
  }
  const Study study = read_study(request.file);
  const std::vector<std::size_t> selected = selected_variants(study, request.variants);
  const fs::path output = output_folder(request, "study");
  require_all_replaceable(study, selected, output, request.fresh);
  const std::vector<std::string> environment = run::openfoam_environment();
  fmt::print("{}: {} variants, OpenFOAM {}, results in {}\n",
             study.title,
             selected.size(),
             run::probe_openfoam(environment),
             output.string());
  std::fflush(stdout);

  keep_study(study, output);
  base::Sweep sweep{.study = study.title,
                    .study_file = study.file.filename().string(),
                    .program_version = base::program_version};
  for (const std::size_t index : selected) add_tasks(study, index, request, output, sweep);
  base::write_sweep(sweep, output);
  int code = 0;
  for (std::size_t i = 0; i < sweep.tasks.size(); ++i) {
    const int task_code = run::run_task(output, sweep, i);
    code = code != 0 ? code : task_code;
  }
  fmt::print("\n");
  std::fflush(stdout);
  const int summary_code = run::write_tables(
      output, sweep, request.tables_only ? run::TablesKind::Tables : run::TablesKind::Report, environment);
  return code != 0 ? code : summary_code;
}

}  // namespace cowlwright::verbs
