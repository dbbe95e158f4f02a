// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `prepare`: case folders that a person can run by hand.
#include "cases/foam/case.h"
#include "cases/verbs/command_line.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/case_state.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

namespace cowlwright::verbs {
namespace {

VerbText verb_text() {
  return {.name = "prepare",
          .argument = "STUDY",
          .purpose =
              "Writes one OpenFOAM case folder per variant. Each runs by hand with its ./Allrun, without our "
              "programs;\n`cowlpost extract` reads the result.",
          .examples =
              "  cowlwright prepare my-cowl.toml\n"
              "  cowlwright prepare my-cowl.toml -o cases --ranks 8 --variant base\n",
          .takes_output = true,
          .takes_variants = true,
          .takes_run_options = true,
          .default_output = "STUDY's name + \"-cases\", beside it"};
}

void require_unused(const std::filesystem::path& case_dir, bool fresh) {
  if (!fresh && base::read_case_state(case_dir)) {
    throw base::InputError(
        fmt::format("{}: belongs to a `cowlwright run`. Use --fresh to replace it, or another --output.",
                    case_dir.string()));
  }
  require_replaceable(case_dir, fresh);
}

void write_and_tell(const foam::Case& built, const std::filesystem::path& case_dir, int ranks) {
  foam::write_case(built, case_dir);
  const std::string& start = built.manifest.start_from;
  fmt::print("{}  about {:.0f} thousand cells, {} ranks{}\n",
             (case_dir / "Allrun").string(),
             built.manifest.expected_cells / 1000.0,
             ranks,
             start.empty() ? "" : fmt::format(", starts from the result of {}", start));
}

void prepare_variant(const Study& study, std::size_t index, const std::filesystem::path& output, bool fresh) {
  const VariantSpec& spec = study.variants[index];
  const std::vector<foam::CasePlan> plans = foam::case_plans(spec);
  for (const foam::CasePlan& plan : plans) require_unused(output / plan.folder, fresh);
  const std::vector<foam::Case> cases = foam::build_cases(study, index);
  for (std::size_t i = 0; i < cases.size(); ++i) {
    write_and_tell(cases[i], output / plans[i].folder, spec.grid.ranks.value_or(meshing::hand_ranks));
  }
}

}  // namespace

int prepare(const Words& words) {
  const std::optional<Request> asked = request_or_help(verb_text(), words);
  if (!asked) return 0;
  const Request& request = *asked;
  Study study = read_study(request.file);
  const std::filesystem::path output = output_folder(request, "cases");
  const std::vector<std::size_t> selected = selected_variants(study, request.variants);
  keep_study(study, output);
  for (const std::size_t index : selected) {
    VariantSpec& spec = study.variants[index];
    if (request.ranks) spec.grid.ranks = *request.ranks;
    prepare_variant(study, index, output, request.fresh);
  }
  return 0;
}

}  // namespace cowlwright::verbs
