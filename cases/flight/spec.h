// SPDX-License-Identifier: GPL-3.0-or-later
//
// The flight condition: speed, air and attitude.
#pragma once

#include "geometry/base/air.h"
#include "geometry/base/study_file.h"
#include "geometry/base/vec3.h"

#include <string>

namespace cowlwright::flight {

struct FlightSpec {
  double true_airspeed = 0.0;          ///< [m/s], >= 0
  base::AirState air;                  ///< free stream
  double incidence = 0.0;              ///< of the free stream to the shaft line, positive nose up [rad]
  double sideslip = 0.0;               ///< wind from the pilot's right positive [rad]
  double turbulence_intensity = 0.01;  ///< rms of a velocity component over airspeed, at the far field
  double eddy_viscosity_ratio = 10.0;  ///< turbulent over molecular viscosity, at the far field
};

/// Reads [flight]: `true_airspeed` or `calibrated_airspeed`, exactly two of `pressure_altitude`,
/// `density_altitude`, `outside_temperature`, `isa_deviation`; optional `incidence`, `sideslip`,
/// `turbulence_intensity`, `eddy_viscosity_ratio`. Complains of
/// too few, too many or contradictory values.
FlightSpec read_flight_spec(const base::StudyFile& file,
                            const base::Variant& variant,
                            base::Complaints& complaints);

/// The keys that fix the air, and the airspeed in it, of any section that states a moment of flight. Sea-level
/// standard air, or half the highest speed, after a complaint.
base::AirState read_air(base::SectionReader& section);
double read_true_airspeed(base::SectionReader& section, const base::AirState& air, bool air_is_sound);

/// 0.5 rho V² [Pa].
double dynamic_pressure(const FlightSpec& flight);

/// What pressures of a case are divided by.
struct ReferencePressure {
  double value = 0.0;     ///< > 0 where air moves at all [Pa]
  std::string name{"q"};  ///< "q" or "thrust per disk area"
  double speed = 0.0;     ///< of air with this dynamic pressure: V, or the slipstream's far behind [m/s]
  bool is_in_flight = true;
};

/// q; where it is below 1 % of the propeller's thrust per disk area [Pa] (airspeed below a fifth of what the
/// disk induces), the latter: near standstill q is no measure of the air at the inlets.
ReferencePressure reference_pressure(const FlightSpec& flight, double disk_loading);

/// Turbulence intensity left this far [m] downstream of the far field, >= 0, in a stream without shear:
/// k = k0 (1 + beta omega0 x / V)^(-beta*/beta).
/// Source: k-omega SST away from walls [Menter 1994], beta* = 0.09, beta = 0.0828.
double decayed_intensity(const FlightSpec& flight, double distance);

/// Free-stream velocity components (x aft, y right, z up) [m/s] of a wind with this incidence and sideslip.
base::Vec3 wind(const FlightSpec& flight);

}  // namespace cowlwright::flight
