// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which law, heat and resistance belong to which passage.
#include "cases/foam/passages.h"

#include "cases/network/model.h"
#include "geometry/base/air.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <stdexcept>

namespace cowlwright::foam {

namespace {

/// The part of a cylinder that a core passage is.
struct Part {
  double flow = 1.0;  ///< share of the cylinder's flow
  double heat = 1.0;  ///< share of its heat
};

Part part_of_cylinder(const core::CoreSpec& core, const shape::Passage& passage) {
  if (passage.name.ends_with("_head")) {
    return {core.head_flow_share, core.head_heat_share};
  }
  if (passage.name.ends_with("_barrel")) {
    return {1.0 - core.head_flow_share, 1.0 - core.head_heat_share};
  }
  return {};
}

/// Place of a core's cylinder in CoreSpec.
std::size_t cylinder_index(const VariantSpec& spec, const shape::Passage& passage) {
  const std::vector<std::string> names = core::cylinder_names(spec.shape.engine.n_cylinders);
  const auto at = std::find(names.begin(), names.end(), passage.cylinder);
  assert(at != names.end());
  return static_cast<std::size_t>(at - names.begin());
}

double passage_heat(const VariantSpec& spec, const shape::Passage& passage) {
  switch (passage.kind) {
    case base::PassageKind::Core:
      return part_of_cylinder(spec.core, passage).heat * spec.core.heat.at(cylinder_index(spec, passage));
    case base::PassageKind::Cooler:
      return spec.oil_cooler.value().heat;
    case base::PassageKind::Leak:
      break;
  }
  return 0.0;
}

core::CoreFit resistance(const VariantSpec& spec, const shape::Passage& passage) {
  if (passage.kind == base::PassageKind::Leak) {
    return core::leak_resistance(passage.area, passage.effective_area);
  }
  return core::fit_core_law(passage_law(spec, passage).points,
                            passage.area,
                            spec.flight.air.density,
                            base::dynamic_viscosity(spec.flight.air.temperature));
}

}  // namespace

core::Law passage_law(const VariantSpec& spec, const shape::Passage& passage) {
  assert(passage.kind != base::PassageKind::Leak);
  if (passage.kind == base::PassageKind::Cooler) {
    return spec.oil_cooler.value().law;
  }
  return core::share_of_flow(spec.core.law.at(cylinder_index(spec, passage)),
                             part_of_cylinder(spec.core, passage).flow);
}

std::vector<base::PassageRecord> passage_records(const VariantSpec& spec,
                                                 const std::vector<shape::Passage>& passages) {
  std::vector<base::PassageRecord> records;
  for (const shape::Passage& passage : passages) {
    const core::CoreFit fit = resistance(spec, passage);
    base::PassageRecord record{.zone = passage.name,
                               .plane = passage.name,
                               .area = passage.area,
                               .depth = passage.depth,
                               .viscous = fit.viscous,
                               .inertial = fit.inertial,
                               .fit_residual = fit.residual,
                               .heat = passage_heat(spec, passage),
                               .kind = passage.kind,
                               .direction = passage.direction,
                               .outlet = passage.outlet,
                               .cylinder = passage.cylinder,
                               .joins_decks = passage.joins_decks,
                               .effective_area = passage.effective_area};
    if (passage.kind == base::PassageKind::Core) {
      record.transverse_ratio = spec.core.transverse_ratio;
    } else if (passage.kind == base::PassageKind::Leak) {
      record.transverse_ratio = 1.0;  // its walls keep the air along it
    }
    records.push_back(record);
  }
  return records;
}

namespace {

// A leak has the same resistance in all directions and finds its speed at once; a jet from nothing does harm.
constexpr double fastest_leak_start = 3.0;

}  // namespace

double expected_deck_difference(const VariantSpec& spec, double reference_pressure) {
  double difference = 0.0;
  try {
    const network::Model model(spec, network::default_coefficients(spec));
    difference = model.solve(network::stated_condition(spec)).deck_pressure_difference();
  } catch (const std::runtime_error&) {  // no balance found: a guess less, no fault of the study's
  }
  return difference > 0.0 ? difference : reference_pressure;
}

std::map<std::string, double> start_speeds(const base::Manifest& manifest, double deck_difference) {
  std::map<std::string, double> speeds;
  for (const base::PassageRecord& passage : manifest.passages) {
    if (!passage.joins_decks) continue;
    // deck_difference = linear v + square v², by the root that stays sound without the square.
    const double linear = passage.viscous * base::dynamic_viscosity(manifest.flight.temperature);
    const double square = passage.inertial * manifest.flight.density;
    const double root = std::sqrt(linear * linear + 4.0 * square * deck_difference);
    double speed = deck_difference > 0.0 ? 2.0 * deck_difference / (linear + root) : 0.0;
    if (passage.kind == base::PassageKind::Leak) speed = std::min(speed, fastest_leak_start);
    speeds[passage.zone] = std::round(speed * 1000.0) / 1000.0;  // for readers of the files
  }
  return speeds;
}

}  // namespace cowlwright::foam
