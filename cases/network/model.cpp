// SPDX-License-Identifier: GPL-3.0-or-later
//
// From a condition to what drives the network, and from its balance to what is reported.
#include "cases/network/model.h"

#include "cases/network/air_ahead.h"
#include "cases/network/solve.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace cowlwright::network {
namespace {

using base::air::gas_constant;
using base::air::specific_heat;

void check(const VariantSpec& spec, const Condition& condition) {
  const base::AirState& air = condition.air;
  if (!(air.pressure > 0.0) || !(air.temperature > 0.0) || !(air.density > 0.0) ||
      !(condition.true_airspeed >= 0.0) || !std::isfinite(condition.true_airspeed) ||
      !std::isfinite(condition.incidence) || !(condition.shaft_power >= 0.0)) {
    throw base::InputError(
        fmt::format("estimate: true airspeed = {} m/s, air of {} Pa, {} K, {} kg/m3, incidence = {} rad, "
                    "shaft power = {} W: "
                    "must be >= 0, > 0, > 0, > 0, finite and >= 0. Check the condition.",
                    condition.true_airspeed,
                    air.pressure,
                    air.temperature,
                    air.density,
                    condition.incidence,
                    condition.shaft_power));
  }
  const bool propeller_turns = spec.propeller.present && condition.shaft_power > 0.0;
  if (!(condition.true_airspeed > 0.0) && !propeller_turns) {
    throw base::InputError(fmt::format(
        "estimate: true airspeed = {} m/s with {}: nothing moves the air. Raise the airspeed or {}.",
        condition.true_airspeed,
        spec.propeller.present ? "a shaft power of 0 W" : "no propeller",
        spec.propeller.present ? "the power" : "add the propeller"));
  }
}

Drive drive_of(const VariantSpec& spec,
               const Coefficients& coefficients,
               const Condition& condition,
               const Ahead& ahead) {
  Drive drive;
  const base::Vec3 wind = wind_of(condition, spec.flight.sideslip);
  drive.medium = {condition.air.pressure, condition.air.density, condition.true_airspeed};
  double mean_pressure = 0.0;
  for (std::size_t i = 0; i < 2; ++i) {
    const double factor = coefficients.inlets[i].propeller_rise.value;
    drive.ahead[i] = air_ahead(ahead.inlets[i], factor, condition.air.density, wind);
    mean_pressure += 0.5 * drive.ahead[i].total_pressure;
  }
  const double q = 0.5 * condition.air.density * condition.true_airspeed * condition.true_airspeed;
  drive.exit_pressure = coefficients.exit.pressure.value * (q + ahead.disk_loading);
  drive.outside_temperature = condition.air.temperature;
  drive.inlet_temperature =
      condition.air.temperature + std::max(mean_pressure, 0.0) / (condition.air.density * specific_heat);
  for (const PassageCoefficients& passage : coefficients.passages) {
    drive.heat.push_back(passage.heat_share * condition.shaft_power + passage.stated_heat);
  }
  return drive;
}

/// What comes in and goes out by all openings.
struct Openings {
  double in = 0.0;
  double out = 0.0;
  double energy = 0.0;  ///< out less in, over c_p

  void add(double mass_flow, double temperature_in, double temperature_out) {
    (mass_flow > 0.0 ? in : out) += std::abs(mass_flow);
    energy -= mass_flow * (mass_flow > 0.0 ? temperature_in : temperature_out);
  }
};

void set_closures(const Coefficients& coefficients,
                  const Drive& drive,
                  const Balance& balance,
                  State& state) {
  Openings openings;
  for (std::size_t i = 0; i < 2; ++i) {
    const std::size_t node = coefficients.is_split ? i : 0;
    openings.add(balance.inlet_flow[i], drive.inlet_temperature, balance.temperature[node]);
  }
  openings.add(-balance.exit_flow, drive.outside_temperature, balance.temperature[2]);
  double heat = 0.0;
  for (const double taken : balance.heat) heat += taken;
  // Below a millionth of what the throats would pass at 1 m/s there is no flow to speak of.
  const double least =
      1e-6 * drive.medium.density * (coefficients.inlets[0].area + coefficients.inlets[1].area);
  state.mass_closure = (openings.in - openings.out) / std::max(openings.in, least);
  state.energy_closure = heat > 0.0 ? (heat - specific_heat * openings.energy) / heat : 0.0;
}

void set_inlets(const Coefficients& coefficients,
                const Drive& drive,
                const Ahead& ahead,
                const Balance& balance,
                double sense,
                State& state) {
  for (std::size_t i = 0; i < 2; ++i) {
    InletState& inlet = state.inlets[i];
    const AirAhead& air = drive.ahead[i];
    const double deck = balance.pressure[coefficients.is_split ? i : 0];
    const double speed = balance.inlet_flow[i] / (drive.medium.density * coefficients.inlets[i].area);
    const bool moves = drive.medium.airspeed > 0.0;
    inlet.mass_flow = balance.inlet_flow[i];
    inlet.total_pressure_ahead = air.total_pressure;
    inlet.propeller_rise = air.propeller_rise;
    inlet.velocity_ratio = moves ? speed / drive.medium.airspeed : 0.0;
    inlet.swirl = sense * std::atan2(ahead.inlets[i].swirl_speed, air.axial_speed);
    inlet.loss = air.total_pressure - deck;
    inlet.recovery = deck / state.reference_pressure;
    state.upper_deck_pressure[i] = deck;
  }
}

void set_passages(const Coefficients& coefficients, const Balance& balance, State& state) {
  const std::array<double, 2>& upper = state.upper_deck_pressure;
  for (std::size_t i = 0; i < coefficients.passages.size(); ++i) {
    const PassageCoefficients& passage = coefficients.passages[i];
    const std::size_t half = coefficients.is_split && passage.side == base::Side::Right ? 1 : 0;
    const double flow = balance.passage_flow[i];
    const std::size_t behind = passage.joins_decks ? 2 : 1;
    const double before = balance.temperature[flow < 0.0 ? behind : (passage.joins_decks ? half : 0)];
    const double rise = flow == 0.0 ? 0.0 : balance.heat[i] / (specific_heat * std::abs(flow));
    state.passages.push_back(
        {flow,
         passage.joins_decks ? upper[half] - state.lower_deck_pressure : upper[0] - upper[1],
         balance.heat[i],
         before + rise});
  }
}

/// The network at one condition with the air ahead known.
State solve_with(const VariantSpec& spec,
                 const Coefficients& coefficients,
                 const Condition& condition,
                 const Ahead& ahead) {
  const Drive drive = drive_of(spec, coefficients, condition, ahead);
  const Balance balance = solve_balance(coefficients, drive);
  State state;
  state.condition = condition;
  state.dynamic_pressure = 0.5 * condition.air.density * condition.true_airspeed * condition.true_airspeed;
  state.disk_loading = ahead.disk_loading;
  const flight::FlightSpec flight{.true_airspeed = condition.true_airspeed, .air = condition.air};
  state.reference_pressure = flight::reference_pressure(flight, ahead.disk_loading).value;
  state.lower_deck_pressure = balance.pressure[2];
  const double sense = spec.propeller.rotation == propeller::Rotation::Clockwise ? 1.0 : -1.0;
  set_inlets(coefficients, drive, ahead, balance, sense, state);
  set_passages(coefficients, balance, state);
  state.inlet_temperature = drive.inlet_temperature;
  state.exit_mass_flow = balance.exit_flow;
  state.exit_pressure = drive.exit_pressure;
  state.exit_temperature = balance.exit_flow < 0.0 ? drive.outside_temperature : balance.temperature[2];
  state.exit_density = condition.air.pressure / (gas_constant * state.exit_temperature);
  state.exit_speed = coefficients.exit.area > 0.0
                         ? state.exit_mass_flow / (state.exit_density * coefficients.exit.area)
                         : 0.0;
  set_closures(coefficients, drive, balance, state);
  return state;
}

}  // namespace

Condition stated_condition(const VariantSpec& spec) {
  return {spec.flight.true_airspeed,
          spec.flight.air,
          spec.flight.incidence,
          spec.propeller.shaft_power,
          spec.propeller.rotational_speed};
}

Model::Model(const VariantSpec& spec, Coefficients coefficients)
    : spec_(spec), coefficients_(std::move(coefficients)) {
  if (!spec_.propeller.present) return;
  table_ = std::make_shared<propeller::BladeTable>(
      spec_.propeller,
      std::vector{inlet_place(spec_, base::Side::Left).radius, inlet_place(spec_, base::Side::Right).radius});
}

Model Model::with(Coefficients coefficients) const {
  Model other = *this;
  other.coefficients_ = std::move(coefficients);
  return other;
}

State Model::solve(const Condition& condition, Route route) const {
  return solve_each(condition, {&coefficients_, 1}, route).front();
}

std::vector<State> Model::solve_each(const Condition& condition,
                                     std::span<const Coefficients> coefficients,
                                     Route route) const {
  check(spec_, condition);
  const Ahead ahead = ahead_of_inlets(spec_, condition, route == Route::Tabulated ? table_.get() : nullptr);
  std::vector<State> states;
  states.reserve(coefficients.size());
  for (const Coefficients& one : coefficients) states.push_back(solve_with(spec_, one, condition, ahead));
  return states;
}

}  // namespace cowlwright::network
