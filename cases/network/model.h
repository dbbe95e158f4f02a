// SPDX-License-Identifier: GPL-3.0-or-later
//
// The lumped network: two inlets, the upper deck in one or two parts, what joins the decks, the lower deck
// and the exit, solved for the pressures in the decks.
#pragma once

#include "cases/network/coefficients.h"
#include "cases/propeller/blade_table.h"

#include <array>
#include <memory>
#include <span>
#include <vector>

namespace cowlwright::network {

/// A flight condition and power setting.
struct Condition {
  double true_airspeed = 0.0;     ///< [m/s]
  base::AirState air;             ///< free stream
  double incidence = 0.0;         ///< nose up positive [rad]
  double shaft_power = 0.0;       ///< [W]
  double rotational_speed = 0.0;  ///< [rad/s]
};

/// The study's own.
Condition stated_condition(const VariantSpec& spec);

struct InletState {
  double mass_flow = 0.0;             ///< into the deck positive [kg/s]
  double total_pressure_ahead = 0.0;  ///< gauge [Pa]
  double propeller_rise = 0.0;        ///< part of it that the propeller gives, with the factor on it [Pa]
  double velocity_ratio = 0.0;        ///< 0 at rest
  double swirl = 0.0;                 ///< angle of the air ahead to the shaft line, clockwise positive [rad]
  double loss = 0.0;                  ///< total pressure ahead less deck pressure [Pa]
  double recovery = 0.0;              ///< deck total pressure over reference pressure
};

struct PassageState {
  double mass_flow = 0.0;           ///< [kg/s]
  double pressure_drop = 0.0;       ///< from deck to deck [Pa]
  double heat = 0.0;                ///< [W]
  double outlet_temperature = 0.0;  ///< [K]
};

struct State {
  Condition condition;
  double dynamic_pressure = 0.0;    ///< q [Pa]
  double disk_loading = 0.0;        ///< thrust over disk area [Pa]
  double reference_pressure = 0.0;  ///< as flight::reference_pressure() [Pa]
  std::array<InletState, 2> inlets;
  std::array<double, 2> upper_deck_pressure{};  ///< gauge [Pa]; equal when shared
  double lower_deck_pressure = 0.0;             ///< gauge [Pa]
  std::vector<PassageState> passages;           ///< as Coefficients::passages
  double inlet_temperature = 0.0;               ///< of the air in the upper deck, total [K]
  double exit_mass_flow = 0.0;                  ///< [kg/s]
  double exit_pressure = 0.0;                   ///< on the exit plane, gauge [Pa]
  double exit_density = 0.0;                    ///< of the heated air [kg/m³]
  double exit_temperature = 0.0;                ///< mixed [K]
  double exit_speed = 0.0;                      ///< on the exit plane [m/s]
  double mass_closure = 0.0;                    ///< (in - out) / in
  double energy_closure = 0.0;                  ///< (heat - enthalpy rise) / heat

  /// Mean upper less lower deck pressure [Pa].
  double deck_pressure_difference() const {
    return 0.5 * (upper_deck_pressure[0] + upper_deck_pressure[1]) - lower_deck_pressure;
  }
};

/// Where the air ahead of the inlets comes from: blade elements solved for the condition, or tables of them,
/// which are filled as they are asked for and agree within half a percent (propeller/blade_table.h).
enum class Route { Solved, Tabulated };

/// Everything of a variant that does not depend on the condition.
class Model {
 public:
  Model(const VariantSpec& spec, Coefficients coefficients);

  const Coefficients& coefficients() const { return coefficients_; }
  const VariantSpec& spec() const { return spec_; }

  /// The same variant with other coefficients; shares the tables.
  Model with(Coefficients coefficients) const;

  /// Closed in mass and energy to 1e-10; where openings are all but shut, to what the last digits of the
  /// pressures leave. Several threads may ask one model.
  /// @throws InputError   for a condition without anything that moves air.
  /// @throws ResultError  when the propeller cannot absorb the power, or no solution is found; says where.
  State solve(const Condition& condition, Route route = Route::Solved) const;

  /// The same with each of several sets of coefficients; the air ahead is found once.
  std::vector<State> solve_each(const Condition& condition,
                                std::span<const Coefficients> coefficients,
                                Route route = Route::Solved) const;

 private:
  VariantSpec spec_;
  Coefficients coefficients_;
  std::shared_ptr<propeller::BladeTable> table_;  ///< none without blades
};

}  // namespace cowlwright::network
