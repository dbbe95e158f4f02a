// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `run`: the whole chain, from the study file to the summary table.
#include "cases/foam/case.h"
#include "cases/run/openfoam.h"
#include "cases/run/process.h"
#include "cases/run/study_run.h"
#include "cases/verbs/command_line.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/sister_program.h"
#include "meshing/quality_gate.h"

#include <fmt/format.h>

#include <map>
#include <memory>

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

/// Builds a variant's cases when one is first asked for, once per number of ranks.
class CaseSource {
 public:
  CaseSource(const Study& study, std::size_t index) : study_(study), index_(index) {}

  /// @param position  in foam::case_plans().
  const foam::Case& at(std::size_t position, int ranks) {
    const auto found = built_.find(ranks);
    if (found != built_.end()) return found->second.at(position);
    Study study = study_;
    study.variants.at(index_).grid.ranks = ranks;
    return built_.emplace(ranks, foam::build_cases(study, index_)).first->second.at(position);
  }

 private:
  const Study& study_;
  std::size_t index_;
  std::map<int, std::vector<foam::Case>> built_;
};

/// The mesh must be good before a solver sees it; what it is like is told either way.
void judge_mesh(const foam::Stage& stage, const fs::path& case_dir, run::ProgressPrinter& printer) {
  if (stage.name != "check") return;
  const meshing::GateResult gate =
      meshing::check_mesh_gate(base::read_manifest(case_dir), case_dir, case_dir / stage.log);
  printer.print(
      fmt::format("      mesh: {} cells, non-orthogonality up to {:.1f} deg, skewness up to {:.2f}, Mesh OK",
                  gate.report.n_cells,
                  gate.report.max_non_orthogonality,
                  gate.report.max_skewness));
}

/// One job per case of a variant.
std::vector<run::CaseJob> jobs_of(const Study& study,
                                  std::size_t index,
                                  const Request& request,
                                  const fs::path& output,
                                  run::ProgressPrinter& printer) {
  const VariantSpec& spec = study.variants[index];
  const auto source = std::make_shared<CaseSource>(study, index);
  std::vector<run::CaseJob> jobs;
  for (const foam::CasePlan& plan : foam::case_plans(spec)) {
    const std::size_t position = jobs.size();
    const fs::path case_dir = output / plan.folder;
    run::CaseJob job{.name = plan.folder, .directory = case_dir};
    job.start_from = plan.start_from;
    job.ranks = request.ranks.value_or(spec.grid.ranks);
    job.input_hash = [=](int ranks) { return source->at(position, ranks).manifest.input_hash; };
    job.write = [=](int ranks) { foam::write_case(source->at(position, ranks), case_dir); };
    job.stages = [start = job.start_from](int ranks) { return foam::case_stages(ranks, start); };
    job.accept = [case_dir, &printer](const foam::Stage& stage) { judge_mesh(stage, case_dir, printer); };
    jobs.push_back(std::move(job));
  }
  return jobs;
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

/// Runs cowlpost's `verb` over all cases when at least one was solved, so that a failed one has its row too;
/// its exit code.
int summarise(const std::string& verb,
              const std::vector<run::CaseOutcome>& outcomes,
              const fs::path& output,
              const std::vector<std::string>& environment) {
  run::Command command{.words = {base::sister_program("cowlpost"), verb, "--output", output.string()},
                       .environment = environment};
  bool has_result = false;
  for (const run::CaseOutcome& outcome : outcomes) {
    has_result = has_result || outcome.outcome == run::Outcome::Finished;
    if (fs::exists(outcome.directory / base::manifest_file_name))
      command.words.push_back(outcome.directory.string());
  }
  return has_result ? run::run_process(command).exit_code : 0;
}

void print_failures(const std::vector<run::CaseOutcome>& outcomes) {
  for (const run::CaseOutcome& outcome : outcomes) {
    if (outcome.outcome != run::Outcome::Failed) continue;
    fmt::print("{}: FAILED. {}\n", outcome.name, outcome.message.substr(0, outcome.message.find('\n')));
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
  run::ProgressPrinter printer(stdout, run::terminal_columns(stdout));
  std::vector<run::CaseJob> jobs;
  for (const std::size_t index : selected) {
    for (run::CaseJob& job : jobs_of(study, index, request, output, printer)) jobs.push_back(std::move(job));
  }
  const std::vector<run::CaseOutcome> outcomes =
      run::run_cases(jobs, {.environment = environment, .fresh = request.fresh}, printer);
  const int run_code = run::exit_code_of(outcomes);
  if (run_code == run::interrupted_exit_code) return run_code;

  fmt::print("\n");
  std::fflush(stdout);
  const int summary_code =
      summarise(request.tables_only ? "extract" : "report", outcomes, output, environment);
  fmt::print("\n{}", run::time_table(outcomes));
  print_failures(outcomes);
  return run_code != 0 ? run_code : summary_code;
}

}  // namespace cowlwright::verbs
