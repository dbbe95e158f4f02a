// SPDX-License-Identifier: GPL-3.0-or-later
//
// A pressure-drop law from a table, from one point with an exponent, or from the fins' dimensions.
#include "cases/core/law.h"
#include "geometry/base/air.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace cowlwright::core {

namespace {

using base::Dimension;
using base::Range;

constexpr Range flow_range{0.005, 2.0, false, false, "air through one cylinder's fins or one oil cooler"};
constexpr Range drop_range{10.0, 20e3, false, false, "sigma*dp across it"};
constexpr Range exponent_range{
    1.0, 2.0, false, false, "1 is laminar, 2 fully turbulent; the solver's law knows no other"};
constexpr Range pitch_range{1.5e-3, 30e-3, false, false, "between the centres of neighbouring fins"};
constexpr Range thickness_range{0.2e-3, 10e-3, false, false, "mean of one fin"};
constexpr Range depth_range{5e-3, 80e-3, false, false, "from the barrel to the tips of the fins"};
constexpr Range bore_range{50e-3, 250e-3, false, false, "diameter of the barrel under the fins"};
constexpr Range arc_range{0.5 * std::numbers::pi,
                          2.0 * std::numbers::pi,
                          false,
                          false,
                          "of the cylinder's round, under the baffle"};

constexpr std::array<std::string_view, 5> fin_keys{
    "fin_pitch", "fin_thickness", "fin_depth", "bore", "baffle_arc"};

// A power law from one point is sampled over the flows the study may meet.
constexpr double lowest_multiple = 0.3;
constexpr double highest_multiple = 1.5;
constexpr int n_samples = 9;

// A law from fins is sampled over the pressures cowls work at; common practice, no source.
constexpr double lowest_drop = 100.0;      // Pa
constexpr double reference_drop = 1000.0;  // Pa
constexpr double highest_drop = 2500.0;    // Pa

// Stands in for a law that could not be read, so that reading goes on.
const Law harmless_law{LawKind::Table, {{0.1, 500.0}, {0.2, 1800.0}}, {0.1, 500.0}};

/// `n_samples` flows in equal steps.
std::vector<double> flows_between(double low, double high) {
  std::vector<double> flows;
  for (int i = 0; i < n_samples; ++i) {
    flows.push_back(low + (high - low) * i / static_cast<double>(n_samples - 1));
  }
  return flows;
}

Law power_law(const LawPoint& point, double exponent) {
  Law law{LawKind::PowerLaw, {}, point};
  for (const double multiple : flows_between(lowest_multiple, highest_multiple)) {
    law.points.push_back({point.mass_flow * multiple, point.pressure_drop * std::pow(multiple, exponent)});
  }
  return law;
}

/// True when each value is larger than the one before; complains of the first that is not.
bool is_rising(base::SectionReader& section, std::string_view key, const std::vector<double>& values) {
  for (std::size_t i = 1; i < values.size(); ++i) {
    if (!(values[i] > values[i - 1])) {
      section.complain(
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

Law table(base::SectionReader& section,
          const LawKeys& keys,
          const std::vector<double>& flow,
          const std::vector<double>& drop) {
  const bool flow_rises = is_rising(section, keys.mass_flow, flow);
  const bool drop_rises = is_rising(section, keys.pressure_drop, drop);
  if (!flow_rises || !drop_rises) {
    return harmless_law;
  }
  Law law;
  for (std::size_t i = 0; i < flow.size(); ++i) {
    law.points.push_back({flow[i], drop[i]});
  }
  law.reference = law.points[law.points.size() / 2];
  return law;
}

bool has_any_fin_key(const base::SectionReader& section) {
  return std::any_of(
      fin_keys.begin(), fin_keys.end(), [&](std::string_view key) { return section.has(key); });
}

std::string millimetres(double length) {
  return fmt::format("{:.4g} mm", 1000.0 * length);
}

/// Fins must leave air between them and fit into the block they stand for.
void check_fins(base::SectionReader& section, const Fins& fins, const EngineBlock& block) {
  if (!(fins.thickness <= 0.8 * fins.pitch)) {
    section.complain("fin_thickness",
                     fmt::format("= {}: must be at most 80 % of fin_pitch ({}), or no air passes. Lower it.",
                                 millimetres(fins.thickness),
                                 millimetres(fins.pitch)));
  }
  const double across = fins.bore + 2.0 * fins.depth;
  if (!(across <= block.length)) {
    section.complain("fin_depth",
                     fmt::format("= {}: bore + 2 fin_depth = {} must be at most [engine] core_length ({}), "
                                 "the room of one cylinder. Correct one of the three.",
                                 millimetres(fins.depth),
                                 millimetres(across),
                                 millimetres(block.length)));
  }
}

Law read_fins(base::SectionReader& section, const EngineBlock& block) {
  const std::size_t n_before = section.n_complaints();
  Fins fins;
  fins.pitch = section.quantity("fin_pitch", Dimension::Length, pitch_range);
  fins.thickness = section.quantity("fin_thickness", Dimension::Length, thickness_range);
  fins.depth = section.quantity("fin_depth", Dimension::Length, depth_range);
  fins.bore = section.quantity("bore", Dimension::Length, bore_range);
  fins.baffle_arc = section.quantity_or("baffle_arc", Dimension::Angle, arc_range, fins.baffle_arc);
  if (section.n_complaints() == n_before) {
    check_fins(section, fins, block);
  }
  return section.n_complaints() == n_before ? fin_law(fins, block) : harmless_law;
}

/// Reads keys that only the other kind of law has, so that they are complained of as a contradiction.
void refuse_flow_keys(base::SectionReader& section) {
  for (const std::string_view key : {core_keys.mass_flow, core_keys.pressure_drop, core_keys.exponent}) {
    if (section.has(key)) {
      section.complain(key, "contradicts fin_pitch and its like: give the law or the fins. Take one out.");
    }
  }
  section.quantities(core_keys.mass_flow, Dimension::MassFlow, flow_range);
  section.quantities(core_keys.pressure_drop, Dimension::Pressure, drop_range);
  section.number_or(core_keys.exponent, exponent_range, 2.0);
}

}  // namespace

Law read_flow_law(base::SectionReader& section, const LawKeys& keys) {
  const std::size_t n_before = section.n_complaints();
  const std::vector<double> flow = section.quantities(keys.mass_flow, Dimension::MassFlow, flow_range);
  const std::vector<double> drop = section.quantities(keys.pressure_drop, Dimension::Pressure, drop_range);
  const double exponent = section.number_or(keys.exponent, exponent_range, 2.0);
  for (const std::string_view key : {keys.mass_flow, keys.pressure_drop}) {
    if (!section.has(key)) {
      section.complain(
          key,
          fmt::format("is missing. Give one value and {}, or a list of the measured table.", keys.exponent));
    }
  }
  if (section.n_complaints() > n_before) {
    return harmless_law;
  }
  if (flow.size() != drop.size()) {
    section.complain(keys.pressure_drop,
                     fmt::format("has {} values, {} has {}: must be equally many. Complete the table.",
                                 drop.size(),
                                 keys.mass_flow,
                                 flow.size()));
    return harmless_law;
  }
  const bool has_exponent = section.has(keys.exponent);
  if ((flow.size() == 1) != has_exponent) {
    section.complain(
        keys.exponent,
        has_exponent
            ? "contradicts a table of several points: it belongs to a single point. Take it out."
            : fmt::format("is missing: a single point of the law needs it. Write {} = 1.85, for example, or "
                          "give a table of at least 2 points.",
                          keys.exponent));
    return harmless_law;
  }
  return has_exponent ? power_law({flow.front(), drop.front()}, exponent) : table(section, keys, flow, drop);
}

Law read_core_law(base::SectionReader& section, const EngineBlock& block) {
  if (has_any_fin_key(section)) {
    refuse_flow_keys(section);
    return read_fins(section, block);
  }
  return read_flow_law(section, core_keys);
}

bool has_core_law(const base::SectionReader& section) {
  return section.has(core_keys.mass_flow) || section.has(core_keys.pressure_drop) ||
         section.has(core_keys.exponent) || has_any_fin_key(section);
}

Law fin_law(const Fins& fins, const EngineBlock& block) {
  // At sea-level density sigma is 1. Elsewhere sigma*dp at a mass flow is the same, for what the flow's
  // Reynolds number and length decide holds at any density.
  const auto drop_at = [&](double flow) {
    return fin_pressure_drop(
        fins, block.width, block.length * block.width, flow, base::air::sea_level_density, block.viscosity);
  };
  // The drop rises with the flow: halving finds the flow of a drop to the last digits.
  const auto flow_at = [&](double drop) {
    double low = 0.0;
    double high = 1.0;
    while (drop_at(high) < drop) {
      high *= 2.0;
    }
    for (int i = 0; i < 60; ++i) {
      const double middle = 0.5 * (low + high);
      (drop_at(middle) < drop ? low : high) = middle;
    }
    return high;
  };
  Law law{LawKind::Fins, {}, {flow_at(reference_drop), reference_drop}};
  for (const double flow : flows_between(flow_at(lowest_drop), flow_at(highest_drop))) {
    law.points.push_back({flow, drop_at(flow)});
  }
  return law;
}

Law share_of_flow(const Law& law, double share) {
  Law part = law;
  part.reference.mass_flow *= share;
  for (LawPoint& point : part.points) {
    point.mass_flow *= share;
  }
  return part;
}

}  // namespace cowlwright::core
