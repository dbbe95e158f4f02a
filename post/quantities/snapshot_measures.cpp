// SPDX-License-Identifier: GPL-3.0-or-later
//
// Formulas of the quantities that follow from flows and deck pressures, at any iteration. Definitions in
// words are in the vocabulary; here q, V and p_inf are the free stream's dynamic pressure, speed and static
// pressure.
#include "geometry/base/air.h"
#include "geometry/base/units.h"
#include "post/quantities/measures.h"
#include "post/quantities/places.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace cowlwright::post {

namespace {

using base::PlaneRole;
using base::Side;
using base::ZoneRole;

double total_flow(const Snapshot& snapshot, const Places& planes) {
  double sum = 0.0;
  for (const std::size_t plane : planes) {
    sum += snapshot.flow[plane];
  }
  return sum;
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

  /// Upper less lower deck, of a case that has both.
  std::function<double(const Snapshot&)> deck_difference() const {
    return [upper = gauge_pressure(zones_of(manifest_, ZoneRole::UpperDeck)),
            lower = gauge_pressure(zones_of(manifest_, ZoneRole::LowerDeck))](const Snapshot& s) {
      return upper(s) - lower(s);
    };
  }

  bool has_both_decks() const {
    return !zones_of(manifest_, ZoneRole::UpperDeck).empty() &&
           !zones_of(manifest_, ZoneRole::LowerDeck).empty();
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
    if (!has_both_decks()) {
      return;
    }
    const auto difference = deck_difference();
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
    add_core_law(cores);
  }

  /// One core's law at its state in the last fields.
  struct LawAtState {
    std::size_t plane = 0;
    double viscous = 0.0;   // factor of v: a mu
    double inertial = 0.0;  // factor of v²: b rho
    double capacity = 0.0;  // mass flow at v = 1: rho A
  };

  void add_core_law(const Places& cores) {
    std::vector<LawAtState> laws;
    for (const std::size_t plane : cores) {
      const std::string& name = manifest_.planes[plane].name;
      const auto core = std::find_if(manifest_.passages.begin(),
                                     manifest_.passages.end(),
                                     [&](const base::PassageRecord& c) { return c.plane == name; });
      if (core != manifest_.passages.end() && core->area > 0.0) {
        const double density = fields_.planes[plane].density;
        laws.push_back({.plane = plane,
                        .viscous = core->viscous * base::dynamic_viscosity(core_temperature(core->zone)),
                        .inertial = core->inertial * density,
                        .capacity = density * core->area});
      }
    }
    if (laws.empty() || laws.size() != cores.size()) {
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
    add("core_law_pressure_drop", drop);
    if (has_both_decks()) {
      add("core_law_share", [drop, difference = deck_difference()](const Snapshot& s) {
        return percent * drop(s) / difference(s);
      });
    }
  }

  /// Mean temperature of a core's zone, or the free stream's when the case has none.
  double core_temperature(const std::string& zone) const {
    const auto mean = std::find_if(
        fields_.zones.begin(), fields_.zones.end(), [&](const ZoneMean& z) { return z.zone == zone; });
    return mean == fields_.zones.end() ? manifest_.flight.temperature
                                       : mean->temperature.value_or(manifest_.flight.temperature);
  }

  void add_exit_and_balances() {
    const Places inlets = planes_of(manifest_, PlaneRole::Inlet);
    const Places cores = planes_of(manifest_, PlaneRole::Core);
    const Places exits = planes_of(manifest_, PlaneRole::Exit);
    const auto shortfall = [](const Places& from, const Places& to) {
      return [from, to](const Snapshot& s) {
        const double in = total_flow(s, from);
        return percent * (in - total_flow(s, to)) / in;
      };
    };
    if (!exits.empty()) {
      add("exit_mass_flow", [=](const Snapshot& s) { return total_flow(s, exits); });
    }
    if (!exits.empty() && !inlets.empty()) {
      add("continuity_closure", shortfall(inlets, exits));
    }
    if (!cores.empty() && !inlets.empty()) {
      add("core_closure", shortfall(inlets, cores));
    }
    if (!cores.empty() && !exits.empty()) {
      add("core_exit_closure", shortfall(cores, exits));
    }
  }

  const base::Manifest& manifest_;
  std::span<const PlaneFlux> fluxes_;
  const FieldMeans& fields_;
  std::vector<Measure> measures_;
};

}  // namespace

std::vector<Measure> snapshot_measures(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields) {
  return MeasureList(manifest, fluxes, fields).all();
}

}  // namespace cowlwright::post
