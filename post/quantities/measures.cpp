// SPDX-License-Identifier: GPL-3.0-or-later
//
// The formulas. Definitions in words are in the vocabulary; here q, V and p_inf are the free stream's dynamic
// pressure, speed and static pressure.
#include "post/quantities/measures.h"

#include "geometry/base/air.h"
#include "geometry/base/units.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

namespace cowlwright::post {

namespace {

using base::PlaneRole;
using base::Side;
using base::ZoneRole;
using Places = std::vector<std::size_t>;  // positions in the manifest's list of planes or zones

constexpr double percent = 100.0;

Places planes_of(const base::Manifest& manifest, PlaneRole role, std::optional<Side> side = std::nullopt) {
  Places places;
  for (std::size_t i = 0; i < manifest.planes.size(); ++i) {
    if (manifest.planes[i].role == role && (!side || manifest.planes[i].side == *side)) {
      places.push_back(i);
    }
  }
  return places;
}

Places zones_of(const base::Manifest& manifest, ZoneRole role, std::optional<Side> side = std::nullopt) {
  Places places;
  for (std::size_t i = 0; i < manifest.zones.size(); ++i) {
    if (manifest.zones[i].role == role && (!side || manifest.zones[i].side == *side)) {
      places.push_back(i);
    }
  }
  return places;
}

double total_flow(const Snapshot& snapshot, const Places& planes) {
  double sum = 0.0;
  for (const std::size_t plane : planes) {
    sum += snapshot.flow[plane];
  }
  return sum;
}

/// Volume-weighted mean of `value(zone)` over some zones.
template <typename Value>
double zone_mean(const std::vector<ZoneMean>& zones, const Places& places, Value value) {
  double sum = 0.0;
  double volume = 0.0;
  for (const std::size_t place : places) {
    sum += zones[place].volume * value(place);
    volume += zones[place].volume;
  }
  return sum / volume;
}

std::string side_name(Side side) {
  return side == Side::Left ? "left" : "right";
}

/// Adds measures to a list; one object a case, so that the formulas read without baggage.
class MeasureList {
 public:
  MeasureList(const base::Manifest& manifest, std::span<const PlaneFlux> fluxes, const FieldMeans& fields)
      : manifest_(manifest), fluxes_(fluxes), fields_(fields) {}

  std::vector<Measure> all() && {
    add_deck_pressures();
    add_inlet_flows();
    add_core_flows();
    add_exit_and_balances();
    return std::move(measures_);
  }

 private:
  void add(std::string_view id, std::function<double(const Snapshot&)> value, std::string_view part = {}) {
    measures_.push_back({empty_quantity(id, part), std::move(value)});
  }

  /// Mean static pressure of some zones in a snapshot, gauge.
  std::function<double(const Snapshot&)> gauge_pressure(const Places& zones) const {
    return [volumes = fields_.zones, zones, p_inf = manifest_.flight.pressure](const Snapshot& snapshot) {
      return zone_mean(volumes, zones, [&](std::size_t zone) { return snapshot.pressure[zone]; }) - p_inf;
    };
  }

  void add_deck_pressures() {
    const Places upper = zones_of(manifest_, ZoneRole::UpperDeck);
    const Places lower = zones_of(manifest_, ZoneRole::LowerDeck);
    const auto lower_pressure = gauge_pressure(lower);
    if (!upper.empty()) {
      add("upper_deck_pressure", gauge_pressure(upper));
    }
    if (!lower.empty()) {
      add("lower_deck_pressure", lower_pressure);
    }
    for (const Side side : {Side::Left, Side::Right}) {
      const Places half = zones_of(manifest_, ZoneRole::UpperDeck, side);
      if (half.empty()) {
        continue;
      }
      const auto half_pressure = gauge_pressure(half);
      add("upper_deck_pressure_" + side_name(side), half_pressure);
      if (!lower.empty()) {
        add("deck_pressure_difference_" + side_name(side),
            [=](const Snapshot& s) { return half_pressure(s) - lower_pressure(s); });
      }
    }
    if (upper.empty() || lower.empty()) {
      return;
    }
    const auto difference = [upper_pressure = gauge_pressure(upper), lower_pressure](const Snapshot& s) {
      return upper_pressure(s) - lower_pressure(s);
    };
    add("deck_pressure_difference", difference);
    add("deck_pressure_difference_inh2o",
        [=](const Snapshot& s) { return base::in_unit(difference(s), "inH2O", base::Dimension::Pressure); });
    add("deck_pressure_difference_of_q",
        [=, q = manifest_.flight.dynamic_pressure](const Snapshot& s) { return difference(s) / q; });
  }

  void add_inlet_flows() {
    const Places all = planes_of(manifest_, PlaneRole::Inlet);
    const Places left = planes_of(manifest_, PlaneRole::Inlet, Side::Left);
    const Places right = planes_of(manifest_, PlaneRole::Inlet, Side::Right);
    if (!all.empty()) {
      add("inlet_mass_flow", [=](const Snapshot& s) { return total_flow(s, all); });
    }
    for (const Side side : {Side::Left, Side::Right}) {
      const Places& own = side == Side::Left ? left : right;
      if (own.empty()) {
        continue;
      }
      double capacity = 0.0;  // flow at V with the throat's mean density
      for (const std::size_t plane : own) {
        capacity += fields_.planes[plane].density * fluxes_[plane].area * manifest_.flight.true_airspeed;
      }
      add("inlet_mass_flow_" + side_name(side), [=](const Snapshot& s) { return total_flow(s, own); });
      add("inlet_velocity_ratio_" + side_name(side),
          [=](const Snapshot& s) { return total_flow(s, own) / capacity; });
    }
    if (!left.empty() && !right.empty()) {
      add("inlet_imbalance", [=](const Snapshot& s) {
        const double on_left = total_flow(s, left);
        const double on_right = total_flow(s, right);
        return percent * (on_right - on_left) / (on_right + on_left);
      });
    }
  }

  void add_core_flows() {
    const Places cores = planes_of(manifest_, PlaneRole::Core);
    for (const std::size_t core : cores) {
      add(
          "core_mass_flow", [=](const Snapshot& s) { return s.flow[core]; }, manifest_.planes[core].name);
    }
    if (cores.size() > 1) {
      add("core_mass_flow_spread", [=](const Snapshot& s) {
        const auto smaller = [&s](std::size_t a, std::size_t b) { return s.flow[a] < s.flow[b]; };
        const auto [low, high] = std::minmax_element(cores.begin(), cores.end(), smaller);
        const double mean = total_flow(s, cores) / static_cast<double>(cores.size());
        return percent * (s.flow[*high] - s.flow[*low]) / mean;
      });
    }
  }

  void add_exit_and_balances() {
    const Places inlets = planes_of(manifest_, PlaneRole::Inlet);
    const Places cores = planes_of(manifest_, PlaneRole::Core);
    const Places exits = planes_of(manifest_, PlaneRole::Exit);
    const auto shortfall = [inlets](const Places& out) {
      return [inlets, out](const Snapshot& s) {
        const double in = total_flow(s, inlets);
        return percent * (in - total_flow(s, out)) / in;
      };
    };
    if (!exits.empty()) {
      add("exit_mass_flow", [=](const Snapshot& s) { return total_flow(s, exits); });
    }
    if (!exits.empty() && !inlets.empty()) {
      add("continuity_closure", shortfall(exits));
    }
    if (!cores.empty() && !inlets.empty()) {
      add("core_closure", shortfall(cores));
    }
  }

  const base::Manifest& manifest_;
  std::span<const PlaneFlux> fluxes_;
  const FieldMeans& fields_;
  std::vector<Measure> measures_;
};

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
  for (const base::CoreRecord& core : manifest.cores) {
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
  add_value(quantities,
            "propeller_thrust_deviation",
            percent * (thrust - propeller.thrust) / std::abs(propeller.thrust));
  add_value(quantities,
            "propeller_torque_deviation",
            percent * (torque - propeller.torque) / std::abs(propeller.torque));
}

}  // namespace

std::vector<Measure> snapshot_measures(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields) {
  return MeasureList(manifest, fluxes, fields).all();
}

std::vector<Quantity> field_quantities(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields) {
  std::vector<Quantity> quantities;
  add_sides(quantities, manifest, fluxes, fields);
  add_exit(quantities, manifest, fluxes, fields);
  add_heat(quantities, manifest, fluxes, fields);
  add_propeller(quantities, manifest, fields);
  return quantities;
}

}  // namespace cowlwright::post
