// SPDX-License-Identifier: GPL-3.0-or-later
//
// The troposphere layer of ISO 2533 and its two inverses.
#include "geometry/base/air.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <cmath>
#include <string_view>

namespace cowlwright::base {

namespace {

constexpr double lowest_altitude = -2000.0;   // m, where ISO 2533 begins to be tabulated
constexpr double highest_altitude = 11000.0;  // m, top of the layer of constant lapse rate

// Exponents of the hydrostatic equation with T = T0 - L h: p ~ T^(g/RL), rho ~ T^(g/RL - 1).
constexpr double pressure_exponent = air::gravity / (air::gas_constant * air::lapse_rate);
constexpr double density_exponent = pressure_exponent - 1.0;

// rho0 from p0, T0 and R, not the rounded 1.225, so that altitude -> density -> altitude closes.
constexpr double density_at_zero = air::sea_level_pressure / (air::gas_constant * air::sea_level_temperature);

double altitude_of_temperature_ratio(double ratio, double value, std::string_view what) {
  const double altitude = air::sea_level_temperature / air::lapse_rate * (1.0 - ratio);
  // A millimetre of slack: the limits themselves must come back through the inverse.
  if (!(altitude >= lowest_altitude - 1e-3 && altitude <= highest_altitude + 1e-3)) {
    throw InputError(fmt::format(
        "{} = {:.6g}: outside the standard atmosphere's range, {:.0f} m to {:.0f} m. Check the air's state.",
        what,
        value,
        lowest_altitude,
        highest_altitude));
  }
  return altitude;
}

}  // namespace

AirState standard_air(double altitude) {
  if (!(altitude >= lowest_altitude && altitude <= highest_altitude)) {
    throw InputError(fmt::format("altitude = {:.6g} m: must be from {:.0f} m to {:.0f} m. Check the unit.",
                                 altitude,
                                 lowest_altitude,
                                 highest_altitude));
  }
  AirState state;
  state.temperature = air::sea_level_temperature - air::lapse_rate * altitude;
  state.pressure =
      air::sea_level_pressure * std::pow(state.temperature / air::sea_level_temperature, pressure_exponent);
  state.density = state.pressure / (air::gas_constant * state.temperature);
  return state;
}

double pressure_altitude(double pressure) {
  return altitude_of_temperature_ratio(
      std::pow(pressure / air::sea_level_pressure, 1.0 / pressure_exponent), pressure, "pressure [Pa]");
}

double density_altitude(double density) {
  return altitude_of_temperature_ratio(
      std::pow(density / density_at_zero, 1.0 / density_exponent), density, "density [kg/m3]");
}

double dynamic_viscosity(double temperature) {
  // ISO 2533: beta_s = 1.458e-6 kg/(m s K^0.5), S = 110.4 K.
  return 1.458e-6 * std::pow(temperature, 1.5) / (temperature + 110.4);
}

double speed_of_sound(double temperature) {
  return std::sqrt(air::heat_capacity_ratio * air::gas_constant * temperature);
}

}  // namespace cowlwright::base
