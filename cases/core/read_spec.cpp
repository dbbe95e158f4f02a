// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading the core law and the heat from [engine].
#include "cases/core/spec.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <cmath>
#include <numeric>
#include <optional>
#include <string_view>

namespace cowlwright::core {

namespace {

using base::Dimension;
using base::Range;

constexpr Range flow_range{0.005, 2.0, false, false, "through one cylinder's fins"};
constexpr Range drop_range{10.0, 20e3, false, false, "sigma*dp across one cylinder's fins"};
constexpr Range exponent_range{
    1.0, 2.0, false, false, "1 is laminar, 2 fully turbulent; the solver's law knows no other"};
constexpr Range share_range{
    0.0, 1.5, false, false, "heat to the cooling air as part of shaft_power; 0 % is a cold run"};
constexpr Range heat_range{
    0.0, 500e3, false, false, "heat of all cylinders to the cooling air; 0 W is a cold run"};
constexpr Range split_range{0.0, 1.0, false, false, "one cylinder's part of the heat"};
constexpr Range transverse_range{
    1.0, 1000.0, false, true, "1 lets air through alike in all directions; 1000 made the solver diverge"};

// A power law from one point is sampled over the flows the study may meet.
constexpr double lowest_multiple = 0.3;
constexpr double highest_multiple = 1.5;
constexpr int n_samples = 9;

// Stands in for a law that could not be read, so that reading goes on.
const std::vector<LawPoint> harmless_law{{0.1, 500.0}, {0.2, 1800.0}};

std::vector<LawPoint> power_law(const LawPoint& point, double exponent) {
  std::vector<LawPoint> law;
  for (int i = 0; i < n_samples; ++i) {
    const double multiple =
        lowest_multiple + (highest_multiple - lowest_multiple) * i / static_cast<double>(n_samples - 1);
    law.push_back({point.mass_flow * multiple, point.pressure_drop * std::pow(multiple, exponent)});
  }
  return law;
}

/// True when each value is larger than the one before; complains of the first that is not.
bool is_rising(base::SectionReader& engine, std::string_view key, const std::vector<double>& values) {
  for (std::size_t i = 1; i < values.size(); ++i) {
    if (!(values[i] > values[i - 1])) {
      engine.complain(
          key,
          fmt::format(
              "is not rising: value {} ({:.6g}) is not above value {} ({:.6g}), in SI units. Order the "
              "table by flow and check it.",
              i + 1,
              values[i],
              i,
              values[i - 1]));
      return false;
    }
  }
  return true;
}

std::vector<LawPoint> read_law(base::SectionReader& engine) {
  const std::size_t n_before = engine.n_complaints();
  const std::vector<double> flow = engine.quantities("core_mass_flow", Dimension::MassFlow, flow_range);
  const std::vector<double> drop = engine.quantities("core_pressure_drop", Dimension::Pressure, drop_range);
  const double exponent = engine.number_or("core_exponent", exponent_range, 2.0);
  for (const std::string_view key : {"core_mass_flow", "core_pressure_drop"}) {
    if (!engine.has(key)) {
      engine.complain(key, "is missing. Give one value and core_exponent, or a list of the measured table.");
    }
  }
  if (engine.n_complaints() > n_before) {
    return harmless_law;
  }
  if (flow.size() != drop.size()) {
    engine.complain(
        "core_pressure_drop",
        fmt::format("has {} values, core_mass_flow has {}: must be equally many. Complete the table.",
                    drop.size(),
                    flow.size()));
    return harmless_law;
  }
  const bool has_exponent = engine.has("core_exponent");
  if ((flow.size() == 1) != has_exponent) {
    engine.complain("core_exponent",
                    has_exponent
                        ? "contradicts a table of several points: it belongs to a single point. Take it out."
                        : "is missing: a single point of the core law needs it. Write core_exponent = 1.85, "
                          "for example, or give a table of at least 2 points.");
    return harmless_law;
  }
  if (has_exponent) {
    return power_law({flow.front(), drop.front()}, exponent);
  }
  const bool flow_rises = is_rising(engine, "core_mass_flow", flow);
  const bool drop_rises = is_rising(engine, "core_pressure_drop", drop);
  if (!flow_rises || !drop_rises) {
    return harmless_law;
  }
  std::vector<LawPoint> law;
  for (std::size_t i = 0; i < flow.size(); ++i) {
    law.push_back({flow[i], drop[i]});
  }
  return law;
}

double read_total_heat(base::SectionReader& engine, double shaft_power) {
  const std::optional<double> share = engine.optional_quantity("heat_share", Dimension::Share, share_range);
  const std::optional<double> heat = engine.optional_quantity("heat", Dimension::Power, heat_range);
  if (share && heat) {
    engine.complain("heat", "stands beside heat_share: give exactly one of the two. Take one out.");
  }
  if (!share && !heat) {
    engine.complain(
        "",
        "heat_share or heat is missing. Write heat_share = \"50 %\" (of shaft_power) or heat = \"40 kW\", "
        "for example.");
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

}  // namespace

CoreSpec read_core_spec(base::SectionReader& engine,
                        int n_cylinders,
                        double shaft_power,
                        base::Complaints& /*complaints*/) {
  CoreSpec spec;
  spec.law = read_law(engine);
  spec.transverse_ratio = engine.number_or("core_transverse", transverse_range, spec.transverse_ratio);
  const double total = read_total_heat(engine, shaft_power);
  for (const double part : read_split(engine, n_cylinders)) {
    spec.heat.push_back(part * total);
  }
  return spec;
}

}  // namespace cowlwright::core
