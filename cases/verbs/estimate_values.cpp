// SPDX-License-Identifier: GPL-3.0-or-later
//
// Formulas of the vocabulary on a state of the network. Definitions in words are in the vocabulary.
#include "cases/verbs/estimate_values.h"

#include "geometry/base/units.h"
#include "geometry/base/vec3.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string_view>

namespace cowlwright::verbs {
namespace {

using base::Dimension;
using base::PassageKind;
using network::PassageState;

constexpr std::array<std::string_view, 2> sides{"_left", "_right"};

double celsius(double temperature) {
  return base::in_unit(temperature, "degC", Dimension::Temperature);
}

class Values {
 public:
  Values(const VariantSpec& spec,
         const base::Manifest& manifest,
         const network::Coefficients& coefficients,
         const network::State& state)
      : spec_(spec), manifest_(manifest), c_(coefficients), s_(state) {}

  std::vector<EstimatedValue> make() && {
    add_decks();
    add_inlets();
    add_cylinders();
    add_cooler();
    add_leaks();
    add_exit();
    add_balances();
    add_propeller();
    add_drag();
    return std::move(list_);
  }

 private:
  void add(std::string_view id, double value, std::string_view part = {}, bool is_input = false) {
    list_.push_back({std::string(id), std::string(part), value, is_input});
  }
  /// `of_q`, or its like near standstill, over the reference pressure.
  void add_share(std::string_view of_q, std::string_view of_loading, double pressure) {
    add(is_by_q(manifest_.flight) ? of_q : of_loading, pressure / s_.reference_pressure);
  }
  double inlet_flow() const { return s_.inlets[0].mass_flow + s_.inlets[1].mass_flow; }
  double sum_over(PassageKind kind, double PassageState::*member) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < c_.passages.size(); ++i) {
      if (c_.passages[i].kind == kind && c_.passages[i].joins_decks) sum += s_.passages[i].*member;
    }
    return sum;
  }
  double total_heat() const {
    return sum_over(PassageKind::Core, &PassageState::heat) +
           sum_over(PassageKind::Cooler, &PassageState::heat);
  }

  void add_decks();
  void add_inlets();
  void add_cylinders();
  void add_cooler();
  void add_leaks();
  void add_exit();
  void add_balances();
  void add_propeller();
  void add_drag();

  const VariantSpec& spec_;
  const base::Manifest& manifest_;
  const network::Coefficients& c_;
  const network::State& s_;
  std::vector<EstimatedValue> list_;
};

void Values::add_decks() {
  const auto& upper = s_.upper_deck_pressure;
  const double difference = s_.deck_pressure_difference();
  add("upper_deck_pressure", 0.5 * (upper[0] + upper[1]));
  for (std::size_t i = 0; i < 2; ++i) add("upper_deck_pressure" + std::string(sides[i]), upper[i]);
  add("lower_deck_pressure", s_.lower_deck_pressure);
  add("deck_pressure_difference", difference);
  add("deck_pressure_difference_inh2o", base::in_unit(difference, "inH2O", Dimension::Pressure));
  add_share("deck_pressure_difference_of_q", "deck_pressure_difference_of_loading", difference);
  for (std::size_t i = 0; i < 2; ++i) {
    add("deck_pressure_difference" + std::string(sides[i]), upper[i] - s_.lower_deck_pressure);
  }
}

void Values::add_inlets() {
  const auto& in = s_.inlets;
  add("inlet_mass_flow", inlet_flow());
  for (std::size_t i = 0; i < 2; ++i) add("inlet_mass_flow" + std::string(sides[i]), in[i].mass_flow);
  add("inlet_imbalance", 100.0 * (in[1].mass_flow - in[0].mass_flow) / inlet_flow());
  for (std::size_t i = 0; i < 2; ++i) {
    const std::string side(sides[i]);
    add_share("inlet_recovery" + side, "inlet_recovery_of_loading" + side, s_.upper_deck_pressure[i]);
    if (s_.condition.true_airspeed > 0.0) add("inlet_velocity_ratio" + side, in[i].velocity_ratio);
  }
}

void Values::add_cylinders() {
  std::vector<double> flows;
  std::vector<double> outlets;
  const bool is_split = spec_.shape.engine.head_width > 0.0;
  add("cylinders_mass_flow", sum_over(PassageKind::Core, &PassageState::mass_flow));
  for (std::size_t i = 0; i < c_.passages.size(); ++i) {
    if (c_.passages[i].kind != PassageKind::Core) continue;
    const std::string& name = c_.passages[i].name;
    flows.push_back(s_.passages[i].mass_flow);
    outlets.push_back(s_.passages[i].outlet_temperature);
    if (is_split) {
      add("core_mass_flow", (1.0 - spec_.core.head_flow_share) * flows.back(), "core_" + name + "_barrel");
      add("core_mass_flow", spec_.core.head_flow_share * flows.back(), "core_" + name + "_head");
      add("cylinder_mass_flow", flows.back(), name);
    } else {
      add("core_mass_flow", flows.back(), "core_" + name);
    }
    add("cylinder_outlet_temperature", celsius(outlets.back()), name);
  }
  const auto [low, high] = std::minmax_element(flows.begin(), flows.end());
  const double mean =
      sum_over(PassageKind::Core, &PassageState::mass_flow) / static_cast<double>(flows.size());
  add("core_mass_flow_spread", 100.0 * (*high - *low) / mean);
  const auto [coolest, warmest] = std::minmax_element(outlets.begin(), outlets.end());
  add("cylinder_outlet_spread", *warmest - *coolest);
}

void Values::add_cooler() {
  for (std::size_t i = 0; i < c_.passages.size(); ++i) {
    if (c_.passages[i].kind != PassageKind::Cooler) continue;
    const PassageState& cooler = s_.passages[i];
    add("cooler_mass_flow", cooler.mass_flow);
    add("cooler_flow_share", 100.0 * cooler.mass_flow / inlet_flow());
    add("cooler_heat", cooler.heat / 1000.0, {}, true);
    add("cooler_temperature_rise", cooler.outlet_temperature - s_.inlet_temperature);
    add("cooler_outlet_temperature", celsius(cooler.outlet_temperature));
  }
}

void Values::add_leaks() {
  constexpr std::string_view prefix = "leak_";
  bool has_joining = false;
  for (std::size_t i = 0; i < c_.passages.size(); ++i) {
    if (c_.passages[i].kind != PassageKind::Leak) continue;
    const std::string& name = c_.passages[i].name;
    add("leak_mass_flow",
        s_.passages[i].mass_flow,
        name.starts_with(prefix) ? name.substr(prefix.size()) : name);
    has_joining = has_joining || c_.passages[i].joins_decks;
  }
  if (!has_joining) return;
  const double all = sum_over(PassageKind::Leak, &PassageState::mass_flow);
  add("leak_mass_flow_all", all);
  add("leak_flow_share", 100.0 * all / inlet_flow());
}

void Values::add_exit() {
  add("exit_mass_flow", s_.exit_mass_flow);
  add_share("exit_pressure_coefficient", "exit_pressure_of_loading", s_.exit_pressure);
  add("exit_speed", s_.exit_speed);
  add("exit_temperature", celsius(s_.exit_temperature));
  add("exit_to_inlet_area", c_.exit.area / (c_.inlets[0].area + c_.inlets[1].area), {}, true);
}

void Values::add_balances() {
  const double through = sum_over(PassageKind::Core, &PassageState::mass_flow) +
                         sum_over(PassageKind::Cooler, &PassageState::mass_flow) +
                         sum_over(PassageKind::Leak, &PassageState::mass_flow);
  add("continuity_closure", 100.0 * s_.mass_closure);
  add("core_closure", 100.0 * (inlet_flow() - through) / inlet_flow());
  add("heat", sum_over(PassageKind::Core, &PassageState::heat) / 1000.0, {}, true);
  add("temperature_rise", s_.exit_temperature - s_.inlet_temperature);
  if (total_heat() > 0.0) add("energy_closure", 100.0 * s_.energy_closure);
}

void Values::add_propeller() {
  const bool clockwise = !manifest_.propeller || manifest_.propeller->clockwise;
  if (manifest_.propeller) {
    const double diameter = manifest_.propeller->diameter;
    add("propeller_thrust", s_.disk_loading * 0.25 * std::numbers::pi * diameter * diameter);
  }
  for (std::size_t i = 0; i < 2; ++i) {
    const std::string side(sides[i]);
    if (manifest_.propeller) {
      const double along = (clockwise ? 1.0 : -1.0) * s_.inlets[i].swirl;  // positive the way the blades turn
      add("inlet_swirl" + side, base::in_unit(along, "deg", Dimension::Angle));
    }
    add_share("inlet_total_pressure" + side,
              "inlet_total_pressure_of_loading" + side,
              s_.inlets[i].total_pressure_ahead);
  }
}

/// As post/quantities/cooling_drag.h, with the mean speed on the exit plane.
void Values::add_drag() {
  const double density = s_.condition.air.density;
  const base::Vec3 wind = base::wind_direction(s_.condition.incidence, spec_.flight.sideslip);
  const auto exit = std::find_if(manifest_.planes.begin(), manifest_.planes.end(), [](const auto& plane) {
    return plane.role == base::PlaneRole::Exit;
  });
  if (exit == manifest_.planes.end()) return;
  const double along = dot(wind, exit->normal);
  const double speed = s_.exit_speed * along;
  double ahead = 0.0;
  for (const network::InletState& inlet : s_.inlets) {
    ahead += inlet.mass_flow * std::sqrt(std::max(0.0, 2.0 * inlet.total_pressure_ahead / density));
  }
  const double leaving = s_.exit_mass_flow * speed + s_.exit_pressure * c_.exit.area * along;
  const double expanded = speed * std::abs(speed) + 2.0 * s_.exit_pressure / s_.exit_density;
  const double momentum = ahead - leaving;
  add("cooling_drag_free_stream", inlet_flow() * s_.condition.true_airspeed - leaving);
  add("cooling_drag_momentum", momentum);
  add("cooling_drag_ideal", ahead - s_.exit_mass_flow * std::sqrt(std::max(0.0, expanded)));
  if (!(s_.condition.true_airspeed > 0.0)) return;
  add("cooling_drag_area", 1e4 * momentum / s_.dynamic_pressure, "momentum");
  add("cooling_drag_power", s_.condition.true_airspeed * momentum / 1000.0, "momentum");
}

}  // namespace

std::vector<EstimatedValue> estimated_values(const VariantSpec& spec,
                                             const base::Manifest& manifest,
                                             const network::Coefficients& coefficients,
                                             const network::State& state) {
  return Values(spec, manifest, coefficients, state).make();
}

}  // namespace cowlwright::verbs
