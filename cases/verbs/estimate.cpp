// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `estimate`: the lumped network's answer for every variant, in the form of a summary.
#include "cases/network/bands.h"
#include "cases/network/study_coefficients.h"
#include "cases/verbs/command_line.h"
#include "cases/verbs/estimate_temperatures.h"
#include "cases/verbs/estimate_values.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "post/tables/writers.h"

#include <fmt/format.h>

#include <optional>
#include <string>
#include <utility>

namespace cowlwright::verbs {
namespace {

VerbText verb_text() {
  return {.name = "estimate",
          .argument = "STUDY",
          .purpose =
              "Estimates flows, pressures and temperatures of every variant in a second with a lumped "
              "network: no mesh, "
              "no solver.\nEvery coefficient is printed with its band and where it comes from. An estimate "
              "finds the "
              "variants worth solving; it does not replace solving them.",
          .examples =
              "  cowlwright estimate my-cowl.toml\n"
              "  cowlwright estimate my-cowl.toml -o quick --variant base\n",
          .takes_output = true,
          .takes_variants = true,
          .default_output = "nothing is written, the tables are printed"};
}

/// The engine's constants, from the first variant and its readings.
struct Engine {
  std::optional<envelope::EngineTemperatures> temperatures;
  std::string trouble;  ///< why there are none although the study asks for them
};

Engine engine_of(const VariantSpec& baseline, network::StudyCoefficients& coefficients) {
  Engine engine;
  if (!asks_for_temperatures(baseline)) return engine;
  try {
    engine.temperatures.emplace(
        envelope::DisturbedModel(network::Model(baseline, coefficients.of(baseline))));
  } catch (const base::ResultError& error) {
    engine.trouble = fmt::format("no temperatures: {}", error.what());
  }
  return engine;
}

/// A variant that cannot be estimated stands in the tables as failed, with the reason.
post::VariantResult result_of(const Study& study,
                              const Engine& engine,
                              network::StudyCoefficients& coefficients,
                              std::size_t index) {
  const VariantSpec& spec = study.variants.at(index);
  try {
    const network::Model model(spec, coefficients.of(spec));
    const network::Estimate estimate = network::estimate(model, network::stated_condition(spec));
    post::VariantResult result = estimate_result(study, index, model, estimate);
    if (engine.temperatures) add_temperatures(*engine.temperatures, envelope::DisturbedModel(model), result);
    if (!engine.trouble.empty()) result.notes.push_back(engine.trouble);
    return result;
  } catch (const base::ResultError& error) {
    post::VariantResult failed;
    failed.manifest = estimate_manifest(study, index, {});
    failed.case_dir = spec.variant.name;
    failed.judgement = {base::Status::Failed, error.what()};
    return failed;
  }
}

}  // namespace

int estimate_study(const Words& words) {
  const std::optional<Request> asked = request_or_help(verb_text(), words);
  if (!asked) return 0;
  const Request& request = *asked;
  const Study study = read_study(request.file);
  network::StudyCoefficients coefficients(study.variants.front());
  const Engine engine = engine_of(study.variants.front(), coefficients);
  std::vector<post::VariantResult> results;
  for (const std::size_t index : selected_variants(study, request.variants)) {
    results.push_back(result_of(study, engine, coefficients, index));
    results.back().provenance.study_text = study.text;
  }
  const post::Comparison comparison(std::move(results));
  fmt::print("{}", post::screen_table(comparison));
  if (request.output) {
    post::write_summary(comparison, *request.output);
    fmt::print("\n{}", post::written_text(*request.output));
  }
  return 0;
}

}  // namespace cowlwright::verbs
