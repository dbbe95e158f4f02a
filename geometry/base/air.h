// SPDX-License-Identifier: GPL-3.0-or-later
//
// Air of the ISO 2533 standard atmosphere and its viscosity. Altitudes are geopotential, from sea level up to
// 11 km.
#pragma once

namespace cowlwright::base {

/// Constants of ISO 2533:1975 and, for viscosity, of the same standard's Sutherland formula.
namespace air {
inline constexpr double sea_level_temperature = 288.15;  // K
inline constexpr double sea_level_pressure = 101325.0;   // Pa
inline constexpr double sea_level_density = 1.225;       // kg/m³
inline constexpr double lapse_rate = 0.0065;             // K/m, to 11 km
inline constexpr double gas_constant = 287.05287;        // J/(kg K)
inline constexpr double gravity = 9.80665;               // m/s²
inline constexpr double heat_capacity_ratio = 1.4;
inline constexpr double specific_heat =
    heat_capacity_ratio * gas_constant / (heat_capacity_ratio - 1.0);  // J/(kg K)
inline constexpr double prandtl_number = 0.71;                         // of air near 300 K, customary value
}  // namespace air

/// State of still air.
struct AirState {
  double pressure = air::sea_level_pressure;        ///< static, absolute [Pa]
  double temperature = air::sea_level_temperature;  ///< [K]
  double density = air::sea_level_density;          ///< [kg/m³]
};

/// Standard state at a geopotential altitude [m], -2000 to 11000. @throws InputError outside.
AirState standard_air(double altitude);

/// Geopotential altitude [m] where the standard atmosphere has this pressure [Pa]. @throws InputError outside
/// -2 to 11 km.
double pressure_altitude(double pressure);

/// Geopotential altitude [m] where the standard atmosphere has this density [kg/m³]. @throws InputError as
/// above.
double density_altitude(double density);

/// Dynamic viscosity [Pa s] at a temperature [K], > 0. Source: ISO 2533 (Sutherland).
double dynamic_viscosity(double temperature);

/// Speed of sound [m/s] at a temperature [K], > 0.
double speed_of_sound(double temperature);

}  // namespace cowlwright::base
