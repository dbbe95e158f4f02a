// SPDX-License-Identifier: GPL-3.0-or-later
//
// Blade-element/momentum solve of a propeller in axial free air, and the tables that carry the same blade
// into the solver's rotor-disk source.
#pragma once

#include "cases/propeller/spec.h"

#include <vector>

namespace cowlwright::propeller {

/// Lift and drag coefficient of a blade section at an angle of attack [rad], valid from -pi to pi.
struct SectionForce {
  double lift = 0.0;
  double drag = 0.0;
};
SectionForce section_force(double angle_of_attack);

struct Operating {
  double airspeed = 0.0;          ///< axial [m/s], >= 0
  double density = 0.0;           ///< [kg/m³]
  double rotational_speed = 0.0;  ///< [rad/s]
};

struct Performance {
  double collective = 0.0;    ///< added to every station's pitch angle [rad]
  double thrust = 0.0;        ///< [N], forward positive
  double torque = 0.0;        ///< [N m], absorbed
  double power = 0.0;         ///< [W]
  double efficiency = 0.0;    ///< T V / P; 0 at V = 0
  double froude_limit = 0.0;  ///< ideal efficiency of a uniform disk at the same thrust
  double mean_swirl = 0.0;    ///< mass-weighted swirl angle just behind the disk [rad]
};

/// Loads at a given collective. @throws ResultError when a station's inflow does not converge, naming it.
Performance performance_at(const PropellerSpec& propeller, const Operating& operating, double collective);

/// Collective at which the blade absorbs `propeller.shaft_power`, and the loads there.
/// @throws ResultError  when no collective in the searched range absorbs the power; gives the range and its
/// powers.
Performance trim_to_power(const PropellerSpec& propeller, const Operating& operating);

/// One station as the rotor-disk source wants it: twist, chord and coefficients already turned from the flow
/// frame into the disk frame (axial and tangential), because that source applies them without turning them by
/// the inflow angle.
struct DiskStation {
  double radius = 0.0;                  ///< [m]
  double twist = 0.0;                   ///< blade angle to the disk plane, collective included [rad]
  double chord = 0.0;                   ///< [m]
  std::vector<double> angle_of_attack;  ///< rising, -pi to pi [rad]
  std::vector<double> tangential;       ///< coefficient opposing rotation, same size
  std::vector<double> axial;            ///< coefficient along thrust, same size
};
std::vector<DiskStation> disk_stations(const PropellerSpec& propeller, double collective);

/// Induced velocity at a uniform disk [m/s]: 0.5 (-V + sqrt(V² + 2T/(rho A))), V >= 0, thrust >= 0.
double induced_velocity(double airspeed, double thrust, double density, double disk_area);

}  // namespace cowlwright::propeller
