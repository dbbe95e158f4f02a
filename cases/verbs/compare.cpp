// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `compare`: what differs between a good installation and another, and what each detail brings.
#include "cases/compare/figure.h"
#include "cases/compare/network_estimator.h"
#include "cases/compare/report.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/shape/installation.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;
namespace options = boost::program_options;

struct CompareRequest {
  bool wants_help = false;
  fs::path good;
  fs::path mine;
  std::optional<fs::path> output;
  std::vector<std::string> variants;
};

std::string help() {
  return "Usage: cowlwright compare GOOD MINE [options]\n\n"
         "Says in which details the installation MINE differs from the installation GOOD, and shares out "
         "the\n"
         "difference in deck pressure and cooling air over these details, by the quick estimate; no solver.\n"
         "Both are studies of the same engine; their first variants are compared.\n\n"
         "  -o, --output DIR    where to write (default: <MINE without extension>-compare)\n"
         "  --variant NAME      a variant in place of the first, of each study that has it; given twice, of "
         "GOOD\n"
         "                      and of MINE\n"
         "  -h, --help          this text\n\n"
         "Writes compare.md, compare.csv, compare.json, compare.svg and, where a CFD run is worth while, a "
         "study\n"
         "that puts the details back one by one.\n\n"
         "Examples\n"
         "  cowlwright compare good-cowl.toml my-cowl.toml\n"
         "  cowlwright compare my-cowl.toml my-cowl.toml --variant lip_angle_0_deg --variant "
         "lip_angle_30_deg\n";
}

[[noreturn]] void refuse(const std::string& fault) {
  throw base::InputError(fmt::format("cowlwright compare: {}. See `cowlwright compare --help`.", fault));
}

CompareRequest parse(const Words& words) {
  options::options_description all;
  all.add_options()("help,h", "")("output,o", options::value<std::string>())(
      "variant", options::value<std::vector<std::string>>())("studies",
                                                             options::value<std::vector<std::string>>());
  options::positional_options_description positional;
  positional.add("studies", -1);
  options::variables_map values;
  try {
    options::store(options::command_line_parser(words).options(all).positional(positional).run(), values);
  } catch (const options::error& error) {
    refuse(error.what());
  }
  CompareRequest request;
  request.wants_help = values.count("help") > 0;
  if (request.wants_help) return request;
  const auto texts = [&](const char* name) {
    return values.count(name) > 0 ? values[name].as<std::vector<std::string>>() : std::vector<std::string>{};
  };
  const std::vector<std::string> studies = texts("studies");
  if (studies.size() != 2) {
    refuse(fmt::format("{} studies given: must be two, the good one first, then yours", studies.size()));
  }
  request.good = studies[0];
  request.mine = studies[1];
  if (values.count("output") > 0) request.output = values["output"].as<std::string>();
  request.variants = texts("variant");
  if (request.variants.size() > 2) {
    refuse(fmt::format("--variant given {} times: must be once or twice", request.variants.size()));
  }
  return request;
}

bool has_variant(const Study& study, const std::string& name) {
  return std::any_of(study.variants.begin(), study.variants.end(), [&](const VariantSpec& spec) {
    return spec.variant.name == name;
  });
}

const VariantSpec& variant_of(const Study& study, const std::optional<std::string>& name) {
  return name ? study.variants[selected_variants(study, {*name}).front()] : study.variants.front();
}

struct Pair {
  const VariantSpec& good;
  const VariantSpec& mine;
};

/// One name is meant for each study that has it, two for one each.
Pair variants_of(const Study& good, const Study& mine, const std::vector<std::string>& names) {
  if (names.size() == 2) return {variant_of(good, names[0]), variant_of(mine, names[1])};
  if (names.empty()) return {good.variants.front(), mine.variants.front()};
  const bool is_in_good = has_variant(good, names[0]);
  const bool is_in_mine = has_variant(mine, names[0]) || !is_in_good;  // complains when neither has it
  const std::optional<std::string> name = names[0];
  return {variant_of(good, is_in_good ? name : std::nullopt),
          variant_of(mine, is_in_mine ? name : std::nullopt)};
}

/// Whether the file itself gives a key; what both inlets share may stand in [inlets].
compare::IsStated stated_in(const Study& study, const VariantSpec& spec) {
  const auto file =
      std::make_shared<base::StudyFile>(base::StudyFile::parse(study.text, study.file.string()));
  const base::Variant variant = spec.variant;
  return [=](const compare::Key& key) {
    base::Complaints complaints;
    const auto has = [&](const std::string& name) {
      const std::size_t dot = name.find('.');
      return dot != std::string::npos &&
             file->section(name.substr(0, dot), variant, complaints).has(name.substr(dot + 1));
    };
    return has(key.name) || has(key.common_name);
  };
}

/// Builds every variant's shape, as `cowlwright check` does.
std::vector<std::string> prove(const compare::NextStudy& next, const fs::path& place) {
  std::vector<std::string> lines;
  if (next.text.empty()) return lines;
  const Study study = parse_study(next.text, place.string());
  for (std::size_t i = 0; i < study.variants.size(); ++i) {
    try {
      shape::build_installation(study.variants[i].shape);
    } catch (const base::InputError& error) {
      lines.push_back(fmt::format("row {} cannot be built: {}", i + 1, error.what()));
    } catch (const base::ResultError& error) {
      lines.push_back(fmt::format("row {} cannot be built: {}", i + 1, error.what()));
    }
  }
  if (lines.empty()) {
    lines.push_back(
        fmt::format("Checked: all {} rows can be built; `cowlwright check` passes.", study.variants.size()));
  }
  return lines;
}

std::string name_of(const fs::path& file, const VariantSpec& spec) {
  return spec.variant.name == "base" ? file.filename().string()
                                     : fmt::format("{} ({})", file.filename().string(), spec.variant.name);
}

}  // namespace

int compare_studies(const Words& words) {
  const CompareRequest request = parse(words);
  if (request.wants_help) {
    fmt::print("{}", help());
    return 0;
  }
  const Study good = read_study(request.good);
  const Study mine = read_study(request.mine);
  const auto [good_spec, mine_spec] = variants_of(good, mine, request.variants);
  const fs::path folder =
      request.output.value_or(request.mine.parent_path() / (request.mine.stem().string() + "-compare"));
  const fs::path place = folder / (request.mine.stem().string() + "-put-back.toml");

  compare::Report report;
  report.good_name = name_of(request.good, good_spec);
  report.mine_name = name_of(request.mine, mine_spec);
  report.good = &good_spec;
  report.mine = &mine_spec;
  // Readings belong to a study's first variant; those of the good one count before yours.
  const bool is_good_measured =
      !good.variants.front().readings.empty() || mine.variants.front().readings.empty();
  const VariantSpec& engine = is_good_measured ? good.variants.front() : mine.variants.front();
  report.comparison =
      compare::compare_installations(good_spec, mine_spec, compare::network_estimator(&engine));
  report.candidates = compare::worth_a_run(report.comparison);
  report.next = compare::next_study(report.comparison, report.candidates, good_spec, mine_spec, mine, place);
  report.next_check = prove(report.next, place);
  if (!report.next.text.empty()) report.next_file = place.filename().string();
  report.is_stated_in_good = stated_in(good, good_spec);
  report.is_stated_in_mine = stated_in(mine, mine_spec);

  make_folder(folder);
  base::write_text(folder / "compare.md", compare::markdown(report));
  base::write_text(folder / "compare.csv", compare::csv(report));
  base::write_text(folder / "compare.json", compare::json(report));
  base::write_text(folder / "compare.svg", compare::waterfall_svg(report.comparison, 0));
  if (!report.next.text.empty()) base::write_text(place, report.next.text);
  fmt::print("{}\nWritten to {}: compare.md, compare.csv, compare.json, compare.svg{}\n",
             compare::short_text(report),
             folder.string(),
             report.next_file.empty() ? "" : ", " + report.next_file);
  return 0;
}

}  // namespace cowlwright::verbs
