// SPDX-License-Identifier: GPL-3.0-or-later
//
// What passes cores, oil cooler and leaks, at any iteration. Definitions in words are in the vocabulary.
#include "geometry/base/air.h"
#include "post/quantities/measures.h"
#include "post/quantities/passages.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace cowlwright::post {

namespace {

using base::PassageKind;
using base::PassageRecord;
using base::PlaneRole;
using base::Side;
using base::ZoneRole;

void add(std::vector<Measure>& measures,
         std::string_view id,
         SnapshotValue value,
         std::string_view part = {}) {
  measures.push_back({empty_quantity(id, part), std::move(value)});
}

SnapshotValue flow_through(const Places& planes) {
  return [planes](const Snapshot& s) { return total_flow(s, planes); };
}

/// Share of the inlet flow [%].
SnapshotValue share_of_inlets(const Places& planes, const base::Manifest& manifest) {
  return [planes, inlets = planes_of(manifest, PlaneRole::Inlet)](const Snapshot& s) {
    return percent * total_flow(s, planes) / total_flow(s, inlets);
  };
}

void add_cylinder_flows(std::vector<Measure>& measures, const base::Manifest& manifest) {
  if (const Places cores = planes_of(manifest, PlaneRole::Core); !cores.empty()) {
    add(measures, "cylinders_mass_flow", flow_through(cores));
  }
  for (const std::size_t core : planes_of(manifest, PlaneRole::Core)) {
    add(measures, "core_mass_flow", flow_through({core}), manifest.planes[core].name);
  }
  const std::vector<HeatedPassage> all = cylinders(manifest);
  if (all.size() > 1) {
    add(measures, "core_mass_flow_spread", [all](const Snapshot& s) {
      std::vector<double> flows;
      double sum = 0.0;
      for (const HeatedPassage& cylinder : all) {
        flows.push_back(total_flow(s, cylinder.planes));
        sum += flows.back();
      }
      const auto [low, high] = std::minmax_element(flows.begin(), flows.end());
      return percent * (*high - *low) / (sum / static_cast<double>(flows.size()));
    });
  }
  const bool is_split = std::any_of(
      all.begin(), all.end(), [](const HeatedPassage& cylinder) { return cylinder.planes.size() > 1; });
  for (std::size_t i = 0; is_split && i < all.size(); ++i) {
    add(measures, "cylinder_mass_flow", flow_through(all[i].planes), all[i].name);
  }
}

/// One core's law at its state in the last fields.
struct LawAtState {
  std::size_t plane = 0;
  double viscous = 0.0;   // factor of v: a mu
  double inertial = 0.0;  // factor of v²: b rho
  double capacity = 0.0;  // mass flow at v = 1: rho A
};

/// Mean temperature of a core's zone, or the free stream's when the case has none.
double core_temperature(const base::Manifest& manifest, const FieldMeans& fields, const std::string& zone) {
  const auto mean = std::find_if(
      fields.zones.begin(), fields.zones.end(), [&](const ZoneMean& z) { return z.zone == zone; });
  return mean == fields.zones.end() ? manifest.flight.temperature
                                    : mean->temperature.value_or(manifest.flight.temperature);
}

void add_core_law(std::vector<Measure>& measures, const base::Manifest& manifest, const FieldMeans& fields) {
  std::vector<LawAtState> laws;
  for (const PassageRecord& core : manifest.passages) {
    const auto plane = find_plane(manifest, core.plane);
    if (core.kind == PassageKind::Core && plane && core.area > 0.0) {
      const double density = fields.planes[*plane].density;
      const double viscosity = base::dynamic_viscosity(core_temperature(manifest, fields, core.zone));
      laws.push_back({.plane = *plane,
                      .viscous = core.viscous * viscosity,
                      .inertial = core.inertial * density,
                      .capacity = density * core.area});
    }
  }
  if (laws.empty() || laws.size() != planes_of(manifest, PlaneRole::Core).size()) {
    return;
  }
  const auto drop = [laws](const Snapshot& s) {
    double sum = 0.0;
    for (const LawAtState& law : laws) {
      const double speed = s.flow[law.plane] / law.capacity;
      sum += law.viscous * speed + law.inertial * speed * std::abs(speed);
    }
    return sum / static_cast<double>(laws.size());
  };
  add(measures, "core_law_pressure_drop", drop);
  if (const auto difference = deck_difference(manifest, fields)) {
    add(measures, "core_law_share", [drop, difference = *difference](const Snapshot& s) {
      return percent * drop(s) / difference(s);
    });
  }
}

void add_cooler_flow(std::vector<Measure>& measures, const base::Manifest& manifest) {
  if (const std::optional<HeatedPassage> cooler = oil_cooler(manifest)) {
    add(measures, "cooler_mass_flow", flow_through(cooler->planes));
    add(measures, "cooler_flow_share", share_of_inlets(cooler->planes, manifest));
  }
}

/// Pressure that drives a leak along its intended direction.
std::optional<SnapshotValue> driving_pressure(const base::Manifest& manifest,
                                              const FieldMeans& fields,
                                              const PassageRecord& leak,
                                              Side side) {
  if (leak.joins_decks) {
    return deck_difference(manifest, fields, side);
  }
  const Places left = zones_of(manifest, ZoneRole::UpperDeck, Side::Left);
  const Places right = zones_of(manifest, ZoneRole::UpperDeck, Side::Right);
  if (left.empty() || right.empty()) {
    return std::nullopt;
  }
  return [on_left = gauge_pressure(manifest, fields, left),
          on_right = gauge_pressure(manifest, fields, right),
          sign = leak.direction.y < 0.0 ? -1.0 : 1.0](const Snapshot& s) {
    return sign * (on_left(s) - on_right(s));
  };
}

void add_leak(std::vector<Measure>& measures,
              const base::Manifest& manifest,
              const FieldMeans& fields,
              const PassageRecord& leak,
              std::size_t plane) {
  constexpr std::string_view prefix = "leak_";
  const std::string part = leak.zone.starts_with(prefix) ? leak.zone.substr(prefix.size()) : leak.zone;
  add(measures, "leak_mass_flow", flow_through({plane}), part);
  const auto driving = driving_pressure(manifest, fields, leak, manifest.planes[plane].side);
  if (!driving || !(leak.effective_area > 0.0)) {
    return;
  }
  const auto law = [driving = *driving, area = leak.effective_area, density = fields.planes[plane].density](
                       const Snapshot& s) {
    const double pressure = driving(s);
    return std::copysign(area * std::sqrt(2.0 * density * std::abs(pressure)), pressure);
  };
  add(measures, "leak_law_flow", law, part);
  add(
      measures, "leak_flow_ratio", [law, plane](const Snapshot& s) { return s.flow[plane] / law(s); }, part);
}

void add_leaks(std::vector<Measure>& measures, const base::Manifest& manifest, const FieldMeans& fields) {
  Places joining;
  for (const PassageRecord& leak : manifest.passages) {
    const auto plane = find_plane(manifest, leak.plane);
    if (leak.kind != PassageKind::Leak || !plane) {
      continue;
    }
    add_leak(measures, manifest, fields, leak, *plane);
    if (leak.joins_decks) {
      joining.push_back(*plane);
    }
  }
  if (!joining.empty()) {
    add(measures, "leak_mass_flow_all", flow_through(joining));
    add(measures, "leak_flow_share", share_of_inlets(joining, manifest));
  }
}

}  // namespace

std::vector<Measure> passage_measures(const base::Manifest& manifest, const FieldMeans& fields) {
  std::vector<Measure> measures;
  add_cylinder_flows(measures, manifest);
  add_core_law(measures, manifest, fields);
  add_cooler_flow(measures, manifest);
  add_leaks(measures, manifest, fields);
  return measures;
}

}  // namespace cowlwright::post
