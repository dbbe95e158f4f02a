// SPDX-License-Identifier: GPL-3.0-or-later
//
// Formulas of the quantities that only the fields of the last write give. Definitions in words are in the
// vocabulary.
#include "geometry/base/air.h"
#include "post/quantities/measures.h"
#include "post/quantities/places.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <limits>
#include <numbers>
#include <string>
#include <utility>

namespace cowlwright::post {

namespace {

using base::PlaneRole;
using base::Side;
using base::ZoneRole;

void add_value(std::vector<Quantity>& quantities, std::string_view id, double value) {
  Quantity& quantity = quantities.emplace_back(empty_quantity(id));
  quantity.value = value;
}

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
      add_value(quantities,
                "inlet_recovery_" + side_name(side),
                (total - manifest.flight.pressure) / manifest.flight.dynamic_pressure);
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
            "exit_pressure_coefficient",
            (pressure / exit_area - manifest.flight.pressure) / manifest.flight.dynamic_pressure);
  add_value(quantities, "exit_reverse_area", joint_area_share(fluxes, exits));
  add_value(quantities, "exit_reverse_flow", joint_flow_share(fluxes, exits));
  double inlet_area = 0.0;
  for (const std::size_t plane : planes_of(manifest, PlaneRole::Inlet)) {
    inlet_area += fluxes[plane].area;
  }
  if (inlet_area > 0.0) {
    add_value(quantities, "exit_to_inlet_area", exit_area / inlet_area);
    quantities.back().basis = Basis::Fixed;
  }
}

/// Total temperature above the free stream's over some planes.
struct HeatFlow {
  double mean = 0.0;  ///< weighted with the mass flow of the fields [K]
  double flow = 0.0;  ///< that mean times the mass flow of the face fluxes [kg K/s]
  bool is_known = false;
};

HeatFlow heat_flow(std::span<const PlaneFlux> fluxes, const FieldMeans& fields, const Places& planes) {
  double excess = 0.0;
  double field_flow = 0.0;
  double solver_flow = 0.0;
  bool is_known = !planes.empty();
  for (const std::size_t plane : planes) {
    is_known = is_known && fields.planes[plane].temperature_excess_flow.has_value();
    excess += fields.planes[plane].temperature_excess_flow.value_or(0.0);
    field_flow += fields.planes[plane].mass_flow;
    solver_flow += fluxes[plane].mass_flow;
  }
  const double mean = excess / field_flow;
  return {.mean = mean, .flow = mean * solver_flow, .is_known = is_known};
}

void add_heat(std::vector<Quantity>& quantities,
              const base::Manifest& manifest,
              std::span<const PlaneFlux> fluxes,
              const FieldMeans& fields) {
  double heat = 0.0;
  for (const base::PassageRecord& core : manifest.passages) {
    heat += core.heat;
  }
  add_value(quantities, "heat", heat / 1000.0);
  quantities.back().basis = Basis::Fixed;
  const HeatFlow in = heat_flow(fluxes, fields, planes_of(manifest, PlaneRole::Inlet));
  const HeatFlow out = heat_flow(fluxes, fields, planes_of(manifest, PlaneRole::Exit));
  if (!in.is_known || !out.is_known) {
    return;
  }
  add_value(quantities, "temperature_rise", out.mean - in.mean);
  if (heat > 0.0) {
    add_value(quantities,
              "energy_closure",
              percent * (heat - base::air::specific_heat * (out.flow - in.flow)) / heat);
  }
}

/// The force field is the air's reaction on the blades: thrust points forward (-x), and the moment opposes
/// the rotation, whose vector points forward when the propeller turns clockwise as the pilot sees it.
void add_propeller(std::vector<Quantity>& quantities,
                   const base::Manifest& manifest,
                   const FieldMeans& fields) {
  if (manifest.propeller && manifest.propeller->force_field.empty()) {  // a uniform disk: put in, not found
    add_value(quantities, "propeller_thrust", manifest.propeller->thrust);
    quantities.back().basis = Basis::Fixed;
  }
  if (!manifest.propeller || !fields.rotor) {
    return;
  }
  const base::PropellerRecord& propeller = *manifest.propeller;
  const double thrust = -fields.rotor->force.x;
  const double torque = (propeller.clockwise ? 1.0 : -1.0) * fields.rotor->moment.x;
  const double power = torque * propeller.rotational_speed;
  add_value(quantities, "propeller_thrust", thrust);
  add_value(quantities, "propeller_torque", torque);
  add_value(quantities, "propeller_power", power / 1000.0);
  add_value(quantities, "propeller_efficiency", thrust * manifest.flight.true_airspeed / power);
  const double annulus =
      0.25 * std::numbers::pi *
      (propeller.diameter * propeller.diameter - propeller.hub_diameter * propeller.hub_diameter);
  const double loading = thrust / (manifest.flight.dynamic_pressure * annulus);
  add_value(quantities, "propeller_efficiency_limit", 2.0 / (1.0 + std::sqrt(1.0 + loading)));
  add_value(quantities,
            "propeller_thrust_deviation",
            percent * (thrust - propeller.thrust) / std::abs(propeller.thrust));
  add_value(quantities,
            "propeller_torque_deviation",
            percent * (torque - propeller.torque) / std::abs(propeller.torque));
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
    quantities.push_back(empty_quantity(id, part));
    quantities.back().value = value;
  }
}

void add_walls(std::vector<Quantity>& quantities, const base::Manifest& manifest, const FieldMeans& fields) {
  add_y_plus(quantities, manifest, fields, "cowl", {"cowl"});
  add_y_plus(quantities, manifest, fields, "inlet_rings", {"ring_left", "ring_right"});
  add_y_plus(quantities, manifest, fields, "exit", {"exit_wall", "exit_lip"});
}

}  // namespace

std::vector<Quantity> field_quantities(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields) {
  std::vector<Quantity> quantities;
  add_sides(quantities, manifest, fluxes, fields);
  add_exit(quantities, manifest, fluxes, fields);
  add_heat(quantities, manifest, fluxes, fields);
  add_propeller(quantities, manifest, fields);
  add_walls(quantities, manifest, fields);
  return quantities;
}

}  // namespace cowlwright::post
