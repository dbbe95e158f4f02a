// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `plan`: what `run` would do, without doing it.
#include "cases/verbs/command_line.h"
#include "cases/verbs/plan_sweep.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/sweep_report.h"
#include "cases/verbs/verbs.h"

#include <fmt/format.h>

namespace cowlwright::verbs {
namespace {

VerbText verb_text() {
  return {
      .name = "plan",
      .argument = "STUDY",
      .purpose =
          "Says what `cowlwright run` would do: which cases are new or have changed and why, what is taken "
          "over,\n"
          "cells, times, memory, disk, and on how many cores each case would run. Writes and starts "
          "nothing.\n"
          "--cores and --memory plan for another machine.",
      .examples =
          "  cowlwright plan my-cowl.toml\n"
          "  cowlwright plan my-cowl.toml --cores 2000 --memory \"8 TB\"\n",
      .takes_output = true,
      .takes_variants = true,
      .takes_run_options = true,
      .takes_machine = true,
      .default_output = "STUDY's name + \"-study\", beside it"};
}

}  // namespace

int plan_study(const Words& words) {
  const std::optional<Request> asked = request_or_help(verb_text(), words);
  if (!asked) return 0;
  const Request& request = *asked;
  const Study study = read_study(request.file);
  const std::filesystem::path output = output_folder(request, "study");
  PlanOptions options{.variants = selected_variants(study, request.variants), .output = output};
  options.machine = machine_of(request, output);
  options.model = run::measured_scaling(output);
  options.ranks = request.ranks.value_or(0);
  options.fresh = request.fresh;
  const SweepPlan plan = plan_sweep(study, options);
  fmt::print("{}: {} variants, {} cases, results in {}\n\n{}\n{}",
             study.title,
             options.variants.size(),
             plan.cases.size(),
             output.string(),
             case_table(plan),
             sweep_summary(plan, options.machine, options.model));
  return 0;
}

}  // namespace cowlwright::verbs
