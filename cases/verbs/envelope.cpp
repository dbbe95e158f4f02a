// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `envelope`: margins over speed, altitude, day and power, by the quick estimate.
#include "cases/envelope/grid.h"
#include "cases/network/solved_cases.h"
#include "cases/network/with_readings.h"
#include "cases/verbs/command_line.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/solved_flow.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;

VerbText verb_text() {
  return {.name = "envelope",
          .argument = "STUDY",
          .purpose =
              "Maps the margin to the limits of [limits] over the airspeeds, altitudes, days and power "
              "settings of "
              "[envelope], by the quick estimate: envelope.md, .csv, .json, .svg.\n"
              "An estimate with a band, not an approval. `cowlpost report` shows envelope.json when it lies "
              "in the "
              "folder of the study's cases.",
          .examples =
              "  cowlwright envelope my-cowl.toml\n"
              "  cowlwright envelope my-cowl.toml --variant lip_angle_30_deg -o map\n",
          .takes_output = true,
          .takes_variants = true,
          .default_output = "STUDY's name + \"-study\", beside it"};
}

network::Coefficients coefficients_of(const VariantSpec& spec) {
  network::Coefficients coefficients = network::default_coefficients(spec);
  if (!spec.estimate.solved_flow) return coefficients;
  return network::with_solved_cases(
      std::move(coefficients), spec, base::read_solved_flow(*spec.estimate.solved_flow));
}

envelope::DisturbedModel model_of(const VariantSpec& spec, bool corrects) {
  network::Coefficients coefficients = coefficients_of(spec);
  if (corrects) coefficients = network::with_readings(std::move(coefficients), spec, spec.readings);
  return envelope::DisturbedModel(network::Model(spec, std::move(coefficients)));
}

bool has_deck_pressures(const VariantSpec& spec) {
  return std::any_of(spec.readings.begin(), spec.readings.end(), [](const readings::Reading& reading) {
    return reading.deck_pressure_difference || reading.upper_deck_pressure || reading.lower_deck_pressure;
  });
}

/// Files that this call does not write must not stay from an earlier one.
void write_or_remove(const fs::path& file, const std::string& text) {
  if (!text.empty()) {
    base::write_text(file, text);
    return;
  }
  std::error_code ignored;
  fs::remove(file, ignored);
}

}  // namespace

int map_envelope(const Words& words) {
  const VerbText verb = verb_text();
  const Request request = parse_request(verb, words);
  if (request.wants_help) {
    fmt::print("{}", help_text(verb));
    return 0;
  }
  const Study study = read_study(request.file);
  if (request.variants.size() > 1) {
    throw base::InputError(
        "cowlwright envelope: --variant was given more than once: a map is of one variant. Give one.");
  }
  const std::size_t index = request.variants.empty() ? 0 : selected_variants(study, request.variants).front();
  // Deck pressures were measured in the first variant's installation. Another one is mapped without them, and
  // then the engine's constants are found without them too, so that both networks are off alike.
  const bool corrects = index == 0;
  const envelope::DisturbedModel baseline = model_of(study.variants.front(), corrects);
  const envelope::EngineTemperatures engine(baseline);
  envelope::Envelope map = envelope::solve_envelope(
      study.title, engine, corrects ? baseline : model_of(study.variants[index], corrects));
  if (!corrects && has_deck_pressures(study.variants.front())) {
    map.notes.emplace_back(
        "Deck pressures of the readings were not used: they were measured in the first variant.");
  }

  const fs::path output = output_folder(request, "study");
  make_folder(output);
  const std::string picture = envelope::envelope_svg(map);
  base::write_text(output / "envelope.md", envelope::envelope_markdown(map));
  base::write_text(output / "envelope.csv", envelope::envelope_csv(map));
  base::write_text(output / "envelope.json", envelope::envelope_json(map));
  write_or_remove(output / "envelope.svg", picture);
  fmt::print(
      "{}: {}, variant {}\n{}\n", request.file.string(), study.title, map.variant, map.worst_in_words());
  for (const std::string& caution : envelope::cautions()) fmt::print("  {}\n", caution);
  fmt::print("{} points -> {}{}\n",
             map.points.size(),
             (output / "envelope.md").string(),
             picture.empty() ? "; no picture: it takes two airspeeds, two altitudes and a margin" : "");
  return 0;
}

}  // namespace cowlwright::verbs
