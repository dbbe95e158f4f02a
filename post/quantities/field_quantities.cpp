// SPDX-License-Identifier: GPL-3.0-or-later
//
// Formulas of the quantities that only the fields of the last write give: inlets, exit and walls; heat and
// propeller have sources of their own. Definitions in words are in the vocabulary.
#include "post/quantities/cooling_drag.h"
#include "post/quantities/measures.h"
#include "post/quantities/places.h"

#include <algorithm>
#include <initializer_list>
#include <limits>
#include <string>
#include <utility>

namespace cowlwright::post {

namespace {

using base::PlaneRole;
using base::Side;
using base::ZoneRole;

/// Area-weighted (or flow-weighted) joint share of several planes.
double joint_area_share(std::span<const PlaneFlux> fluxes, const Places& planes) {
  double reverse = 0.0;
  double area = 0.0;
  for (const std::size_t plane : planes) {
    reverse += fluxes[plane].reverse_area_share * fluxes[plane].area;
    area += fluxes[plane].area;
  }
  return percent * reverse / area;
}

double joint_flow_share(std::span<const PlaneFlux> fluxes, const Places& planes) {
  double reverse = 0.0;
  double forward = 0.0;
  for (const std::size_t plane : planes) {
    reverse += fluxes[plane].reverse_flow;
    forward += fluxes[plane].forward_flow;
  }
  return percent * reverse / forward;
}

void add_sides(std::vector<Quantity>& quantities,
               const base::Manifest& manifest,
               std::span<const PlaneFlux> fluxes,
               const FieldMeans& fields) {
  for (const Side side : {Side::Left, Side::Right}) {
    const Places half = zones_of(manifest, ZoneRole::UpperDeck, side);
    if (!half.empty()) {
      const double total =
          zone_mean(fields.zones, half, [&](std::size_t zone) { return fields.zones[zone].total_pressure; });
      add_value(
          quantities,
          (is_by_q(manifest.flight) ? "inlet_recovery_" : "inlet_recovery_of_loading_") + side_name(side),
          (total - manifest.flight.pressure) / manifest.flight.reference_pressure);
    }
    const Places inlets = planes_of(manifest, PlaneRole::Inlet, side);
    if (!inlets.empty()) {
      add_value(quantities, "inlet_spill_area_" + side_name(side), joint_area_share(fluxes, inlets));
      add_value(quantities, "inlet_spill_flow_" + side_name(side), joint_flow_share(fluxes, inlets));
    }
  }
}

void add_exit(std::vector<Quantity>& quantities,
              const base::Manifest& manifest,
              std::span<const PlaneFlux> fluxes,
              const FieldMeans& fields) {
  const Places exits = planes_of(manifest, PlaneRole::Exit);
  if (exits.empty()) {
    return;
  }
  double pressure = 0.0;
  double exit_area = 0.0;
  for (const std::size_t plane : exits) {
    pressure += fields.planes[plane].static_pressure * fluxes[plane].area;
    exit_area += fluxes[plane].area;
  }
  add_value(quantities,
            is_by_q(manifest.flight) ? "exit_pressure_coefficient" : "exit_pressure_of_loading",
            (pressure / exit_area - manifest.flight.pressure) / manifest.flight.reference_pressure);
  add_value(quantities, "exit_reverse_area", joint_area_share(fluxes, exits));
  add_value(quantities, "exit_reverse_flow", joint_flow_share(fluxes, exits));
  double inlet_area = 0.0;
  for (const std::size_t plane : planes_of(manifest, PlaneRole::Inlet)) {
    inlet_area += fluxes[plane].area;
  }
  if (inlet_area > 0.0) {
    add_value(quantities, "exit_to_inlet_area", exit_area / inlet_area, {}, Basis::Fixed);
  }
}

/// y+ on one part of the walls, from those of its patches that the solver tells of.
void add_y_plus(std::vector<Quantity>& quantities,
                const base::Manifest& manifest,
                const FieldMeans& fields,
                std::string_view part,
                std::initializer_list<std::string_view> patches) {
  double area = 0.0;
  double sum = 0.0;
  double smallest = std::numeric_limits<double>::infinity();
  double largest = 0.0;
  for (const base::PatchRecord& patch : manifest.patches) {
    const auto row = std::find_if(fields.y_plus.begin(), fields.y_plus.end(), [&](const PatchYPlus& y_plus) {
      return y_plus.patch == patch.name;
    });
    const bool belongs = std::find(patches.begin(), patches.end(), patch.name) != patches.end();
    if (belongs && row != fields.y_plus.end()) {
      area += patch.area;
      sum += patch.area * row->mean;
      smallest = std::min(smallest, row->smallest);
      largest = std::max(largest, row->largest);
    }
  }
  if (!(area > 0.0)) {
    return;
  }
  for (const auto& [id, value] : {std::pair{"y_plus_mean", sum / area},
                                  std::pair{"y_plus_smallest", smallest},
                                  std::pair{"y_plus_largest", largest}}) {
    add_value(quantities, id, value, part);
  }
}

void add_walls(std::vector<Quantity>& quantities, const base::Manifest& manifest, const FieldMeans& fields) {
  add_y_plus(quantities, manifest, fields, "cowl", {"cowl"});
  add_y_plus(quantities, manifest, fields, "inlet_rings", {"ring_left", "ring_right"});
  add_y_plus(quantities, manifest, fields, "exit", {"exit_wall", "exit_lip"});
}

}  // namespace

void add_value(std::vector<Quantity>& quantities,
               std::string_view id,
               double value,
               std::string_view part,
               Basis basis) {
  Quantity& quantity = quantities.emplace_back(empty_quantity(id, part));
  quantity.value = value;
  quantity.basis = basis;
}

std::vector<Quantity> field_quantities(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields) {
  std::vector<Quantity> quantities;
  add_sides(quantities, manifest, fluxes, fields);
  add_exit(quantities, manifest, fluxes, fields);
  for (auto& more : {heat_quantities(manifest, fluxes, fields),
                     propeller_quantities(manifest, fields),
                     momentum_drag(manifest, fluxes, fields)}) {
    quantities.insert(quantities.end(), more.begin(), more.end());
  }
  add_walls(quantities, manifest, fields);
  return quantities;
}

}  // namespace cowlwright::post
