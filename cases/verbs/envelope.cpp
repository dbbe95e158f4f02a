// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `envelope`: margins over speed, altitude, day and power, by the quick estimate.
#include "cases/envelope/grid.h"
#include "cases/network/study_coefficients.h"
#include "cases/verbs/command_line.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

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
  const std::optional<Request> asked = request_or_help(verb_text(), words);
  if (!asked) return 0;
  const Request& request = *asked;
  const Study study = read_study(request.file);
  if (request.variants.size() > 1) {
    throw base::InputError(
        "cowlwright envelope: --variant was given more than once: a map is of one variant. Give one.");
  }
  const std::size_t index = request.variants.empty() ? 0 : selected_variants(study, request.variants).front();
  // Readings belong to the first variant: the engine's constants are found in it and kept for all.
  network::StudyCoefficients coefficients(study.variants.front());
  const auto model_of = [&](const VariantSpec& spec) {
    return envelope::DisturbedModel(network::Model(spec, coefficients.of(spec)));
  };
  const envelope::DisturbedModel baseline = model_of(study.variants.front());
  const envelope::EngineTemperatures engine(baseline);
  const envelope::Envelope map =
      envelope::solve_envelope(study.title, engine, index == 0 ? baseline : model_of(study.variants[index]));

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
