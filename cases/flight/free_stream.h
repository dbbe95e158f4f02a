// SPDX-License-Identifier: GPL-3.0-or-later
//
// The air ahead of the aeroplane from what a pilot can state: altitudes, temperature, calibrated airspeed.
#pragma once

#include "geometry/base/air.h"

#include <optional>

namespace cowlwright::flight {

/// Exactly two must be given; any two fix the state of the air.
struct AirInputs {
  std::optional<double> pressure_altitude;    ///< [m]
  std::optional<double> density_altitude;     ///< [m]
  std::optional<double> outside_temperature;  ///< static [K]
  std::optional<double> isa_deviation;        ///< outside temperature minus the standard one at h_p [K]
};

/// Number of values given.
int n_given(const AirInputs& inputs);

/// State of the air. Density altitude h_d fixes rho = rho_ISA(h_d), pressure altitude h_p fixes p =
/// p_ISA(h_p); p = rho R T gives the third.
///
/// @throws InputError  when not exactly two are given, or when the two contradict each other: the air would
/// lie
///                     outside -2 to 11 km or more than 60 K from the standard temperature.
///
/// Source: ISO 2533; definitions of pressure and density altitude. Dry air.
base::AirState free_stream_air(const AirInputs& inputs);

/// Total less static pressure [Pa] at which a pitot-static instrument shows this calibrated airspeed [m/s], >= 0. It
/// is what an airspeed indicator measures wherever its two ports are connected.
///
/// Source: isentropic pitot relation (Saint-Venant), gamma = 1.4, sea-level standard air: the definition of
/// calibrated airspeed.
double impact_pressure(double calibrated_airspeed);

/// True airspeed [m/s] that a pitot-static system without position error shows as this calibrated airspeed
/// [m/s], >= 0, below the speed of sound.
///
/// Source: isentropic pitot relation (Saint-Venant), gamma = 1.4, the definition of calibrated airspeed.
double true_from_calibrated(double calibrated_airspeed, const base::AirState& air);

}  // namespace cowlwright::flight
