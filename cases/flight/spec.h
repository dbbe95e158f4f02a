// SPDX-License-Identifier: GPL-3.0-or-later
//
// The flight condition: speed, air and attitude.
#pragma once

#include "geometry/base/air.h"
#include "geometry/base/study_file.h"
#include "geometry/base/vec3.h"

namespace cowlwright::flight {

struct FlightSpec {
  double true_airspeed = 0.0;  ///< [m/s], > 0
  base::AirState air;          ///< free stream
  double incidence = 0.0;      ///< of the free stream to the shaft line, positive nose up [rad]
  double sideslip = 0.0;       ///< wind from the pilot's right positive [rad]
};

/// Reads [flight]: `true_airspeed` or `calibrated_airspeed`, exactly two of `pressure_altitude`,
/// `density_altitude`, `outside_temperature`, `isa_deviation`; optional `incidence`, `sideslip`. Complains of
/// too few, too many or contradictory values.
FlightSpec read_flight_spec(const base::StudyFile& file,
                            const base::Variant& variant,
                            base::Complaints& complaints);

/// 0.5 rho V² [Pa].
double dynamic_pressure(const FlightSpec& flight);

/// Free-stream velocity components (x aft, y right, z up) [m/s] of a wind with this incidence and sideslip.
base::Vec3 wind(const FlightSpec& flight);

}  // namespace cowlwright::flight
