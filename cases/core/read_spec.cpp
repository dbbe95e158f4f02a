// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading laws and heat from [engine], the cylinders' own sections and [oil_cooler].
#include "cases/core/law.h"
#include "cases/core/spec.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <optional>
#include <string_view>

namespace cowlwright::core {

namespace {

using base::Dimension;
using base::Range;

constexpr Range split_range{0.0, 1.0, false, false, "one cylinder's part of the heat"};
constexpr Range head_heat_range{0.0, 1.0, false, false, "the head's part of a cylinder's heat"};
constexpr Range head_flow_range{0.05, 0.95, false, false, "the head's part of the air through a cylinder"};
constexpr Range transverse_range{
    1.0, 1000.0, false, true, "1 lets air through alike in all directions; 1000 made the solver diverge"};

/// Heat of one section and how it says so.
struct HeatKeys {
  Range share;  ///< of shaft_power
  Range heat;
  std::string_view example;
};
constexpr HeatKeys engine_heat{
    {0.0, 1.5, false, false, "heat to the cooling air as part of shaft_power; 0 % is a cold run"},
    {0.0, 500e3, false, false, "heat of all cylinders to the cooling air; 0 W is a cold run"},
    "heat_share = \"50 %\" (of shaft_power) or heat = \"40 kW\""};
constexpr HeatKeys cooler_heat{
    {0.0, 0.5, false, false, "heat of the oil to the air as part of shaft_power; 0 % is a cold run"},
    {0.0, 100e3, false, false, "heat of the oil to the air; 0 W is a cold run"},
    "heat_share = \"8 %\" (of shaft_power) or heat = \"6 kW\""};

constexpr std::array<std::string_view, 6> all_cylinders{"l1", "l2", "l3", "r1", "r2", "r3"};

double read_total_heat(base::SectionReader& section, const HeatKeys& keys, double shaft_power) {
  const std::optional<double> share = section.optional_quantity("heat_share", Dimension::Share, keys.share);
  const std::optional<double> heat = section.optional_quantity("heat", Dimension::Power, keys.heat);
  if (share && heat) {
    section.complain("heat", "stands beside heat_share: give exactly one of the two. Take one out.");
  }
  if (!share && !heat) {
    section.complain("", fmt::format("heat_share or heat is missing. Write {}, for example.", keys.example));
  }
  return heat.value_or(share.value_or(0.0) * shaft_power);
}

/// Each cylinder's part; equal parts when the file is silent.
std::vector<double> read_split(base::SectionReader& engine, int n_cylinders) {
  const auto n = static_cast<std::size_t>(n_cylinders);
  std::vector<double> equal(n, 1.0 / n_cylinders);
  const std::size_t n_before = engine.n_complaints();
  const std::vector<double> split = engine.quantities("heat_split", Dimension::Share, split_range);
  if (!engine.has("heat_split") || engine.n_complaints() > n_before) {
    return equal;
  }
  const double sum = std::accumulate(split.begin(), split.end(), 0.0);
  if (split.size() != n) {
    engine.complain(
        "heat_split",
        fmt::format("has {} values: must have one for each of the {} cylinders, left ones first, front to "
                    "rear.",
                    split.size(),
                    n));
    return equal;
  }
  if (!(std::abs(sum - 1.0) <= 0.005)) {  // half a percent: shares are rounded to whole percents
    engine.complain("heat_split",
                    fmt::format("adds up to {:.6g} %: must be 100 %. Correct the shares.", 100.0 * sum));
    return equal;
  }
  std::vector<double> normalised = split;
  for (double& part : normalised) {
    part /= sum;
  }
  return normalised;
}

/// Head and barrel of a split cylinder; the keys belong to one only.
void read_head(base::SectionReader& engine, const EngineBlock& block, CoreSpec& spec) {
  const bool is_split = block.head_width > 0.0;
  for (const std::string_view key : {"head_heat_share", "head_flow_share"}) {
    if (!is_split && engine.has(key)) {
      engine.complain(key,
                      "belongs to a head with a passage of its own. Give head_width too or take it out.");
    }
  }
  spec.head_heat_share =
      engine.quantity_or("head_heat_share", Dimension::Share, head_heat_range, spec.head_heat_share);
  spec.head_flow_share = engine.quantity_or(
      "head_flow_share", Dimension::Share, head_flow_range, block.head_width / block.width);
}

/// The engine's law for each cylinder, or the one of the cylinder's own section.
std::vector<Law> read_laws(const base::StudyFile& file,
                           const base::Variant& variant,
                           base::SectionReader& engine,
                           const EngineBlock& block,
                           base::Complaints& complaints) {
  const Law common = read_core_law(engine, block);
  const std::vector<std::string> names = cylinder_names(block.n_cylinders);
  std::vector<Law> laws(names.size(), common);
  for (const std::string_view cylinder : all_cylinders) {
    base::SectionReader section = file.section(fmt::format("cylinder_{}", cylinder), variant, complaints);
    if (has_core_law(section)) {
      const Law own = read_core_law(section, block);
      const auto at = std::find(names.begin(), names.end(), cylinder);
      if (at == names.end()) {
        section.complain("",
                         fmt::format("is no cylinder of an engine with [engine] cylinders = {}. Take the "
                                     "section out.",
                                     block.n_cylinders));
      } else {
        laws[static_cast<std::size_t>(at - names.begin())] = own;
      }
    } else if (section.section_present()) {
      section.complain("", "has no law of its own. Write core_mass_flow and so on, or take the section out.");
    }
    section.finish();
  }
  return laws;
}

}  // namespace

std::vector<std::string> cylinder_names(int n_cylinders) {
  std::vector<std::string> names;
  for (const char side : {'l', 'r'}) {
    for (int i = 1; i <= n_cylinders / 2; ++i) {
      names.push_back(fmt::format("{}{}", side, i));
    }
  }
  return names;
}

CoreSpec read_core_spec(const base::StudyFile& file,
                        const base::Variant& variant,
                        base::SectionReader& engine,
                        const EngineBlock& block,
                        base::Complaints& complaints) {
  CoreSpec spec;
  spec.law = read_laws(file, variant, engine, block, complaints);
  spec.transverse_ratio = engine.number_or("core_transverse", transverse_range, spec.transverse_ratio);
  const double total = read_total_heat(engine, engine_heat, block.shaft_power);
  for (const double part : read_split(engine, block.n_cylinders)) {
    spec.heat.push_back(part * total);
  }
  spec.heat_is_stated = engine.has("heat");
  read_head(engine, block, spec);
  return spec;
}

CoolerSpec read_cooler_spec(base::SectionReader& oil_cooler, double shaft_power) {
  return {read_flow_law(oil_cooler, cooler_keys),
          read_total_heat(oil_cooler, cooler_heat, shaft_power),
          oil_cooler.has("heat")};
}

}  // namespace cowlwright::core
