// SPDX-License-Identifier: GPL-3.0-or-later
//
// Blade-element/momentum solve of a propeller in axial free air, and the tables that carry the same blade
// into the solver's rotor-disk source.
#pragma once

#include "cases/propeller/spec.h"

#include <span>
#include <vector>

namespace cowlwright::propeller {

/// Lift and drag coefficient of a blade section at an angle of attack [rad] to its flat lower face, -pi to
/// pi.
///
/// @param polar  of the section, straight lines between its points; beyond its ends the force goes over to
///               that of a separated plate. Empty: a thin Clark-Y-like section.
///
/// Limits of the latter: no Mach or Reynolds number. Unstalled propeller loads agree with NACA TR 640 within
/// one degree of blade setting; near standstill the stalled drag is too small and power comes out up to 41 %
/// low.
struct SectionForce {
  double lift = 0.0;
  double drag = 0.0;
};
SectionForce section_force(double angle_of_attack, std::span<const PolarPoint> polar = {});

struct Operating {
  double airspeed = 0.0;          ///< axial [m/s], >= 0
  double density = 0.0;           ///< [kg/m³]
  double rotational_speed = 0.0;  ///< [rad/s]
};

struct Performance {
  double collective = 0.0;  ///< added to every station's pitch angle [rad]
  double thrust = 0.0;      ///< [N], forward positive
  double torque = 0.0;      ///< [N m], absorbed
  double power = 0.0;       ///< [W]
  double efficiency = 0.0;  ///< T V / P; 0 at V = 0
  /// Power of an ideal rotor at rest with this thrust over the power: sqrt(T³ / (2 rho A)) / P. Says at rest
  /// what the efficiency says in flight.
  double figure_of_merit = 0.0;
  double froude_limit = 0.0;  ///< ideal efficiency of a uniform disk at the same thrust
  double disk_loading = 0.0;  ///< thrust per area of the whole disk [Pa]
  double mean_swirl = 0.0;    ///< mass-weighted swirl angle just behind the disk [rad]
};

/// Loads at a given collective. @throws ResultError when a station's inflow does not converge, naming it.
Performance performance_at(const PropellerSpec& propeller, const Operating& operating, double collective);

/// Collective at which the blade absorbs `propeller.shaft_power`, and the loads there.
/// @throws ResultError  when no collective in the searched range absorbs the power; gives the range and its
/// powers.
Performance trim_to_power(const PropellerSpec& propeller, const Operating& operating);

/// The loads of a study's propeller: trimmed to its shaft power, or at its pitch as given, by its pitch mode.
/// @throws ResultError  as the two above.
Performance performance(const PropellerSpec& propeller, const Operating& operating);

/// One station as the rotor-disk source wants it: twist, chord and coefficients already turned from the flow
/// frame into the disk frame (axial and tangential), because that source applies them without turning them by
/// the inflow angle. Its axis is along thrust, and clockwise as the pilot sees it is its positive speed. For
/// a negative speed it takes the angle of attack with the other sign and forces still in the positive sense,
/// so the tables of an anticlockwise propeller are mirrored: -angle, -tangential.
struct DiskStation {
  double radius = 0.0;                  ///< [m]
  double twist = 0.0;                   ///< blade angle to the disk plane, collective included [rad]
  double chord = 0.0;                   ///< [m]
  std::vector<double> angle_of_attack;  ///< rising, -pi to pi [rad]
  std::vector<double> tangential;       ///< opposing the source's positive sense, same size
  std::vector<double> axial;            ///< coefficient along thrust, same size
};

/// How the solver's cells show the flow at the disk. The source acts in one layer of cells and reads the
/// velocity of those very cells. On a collocated grid that is not the mean of the flow through the disk:
///   axial:  U_read = U + axial * dp / (rho U),  dp = thrust per area of the annulus;
///   swirl:  share of the annulus's whole swirl that the cell shows; the blade itself meets half of it.
/// The shares depend on the scheme of div(phi,U), not on the size of cells.
///
/// Derivation (one dimension, small disturbance): the pressure equation spreads the jump evenly over both
/// faces of the cell, so central gradients leave dp/2 of the source in the cell and -dp/4 in either
/// neighbour; the convection scheme turns these into velocities. `upwind` adds them up along the flow: -1/4,
/// +1/4, 0 of dp/(rho U); swirl 0, 1, 1. `linearUpwind` with a limited gradient falls back to it, since the
/// cell is an extreme. With central gradients it answers a unit source by -(sqrt5 - 2) c in the cell before,
/// c in the cell and 1 - (sqrt5 - 2)(1 - c) in the next, c = (5 + sqrt5)/10.
struct CellReading {
  double axial = 0.0;
  double swirl = 0.5;
};

namespace cell_reading {
inline constexpr CellReading exact{0.0, 0.5};
inline constexpr CellReading upwind{0.25, 1.0};  ///< also of linearUpwind with a limited gradient
inline constexpr CellReading linear_upwind{0.170820, 0.723607};
}  // namespace cell_reading

/// Stations from hub to tip. The coefficients answer the inflow that the source reads: at a reading it will
/// make, they give the force of the blade at the true inflow.
std::vector<DiskStation> disk_stations(const PropellerSpec& propeller,
                                       double collective,
                                       const CellReading& reading = cell_reading::upwind);

/// Induced velocity at a uniform disk [m/s]: 0.5 (-V + sqrt(V² + 2T/(rho A))), V >= 0, thrust >= 0.
double induced_velocity(double airspeed, double thrust, double density, double disk_area);

}  // namespace cowlwright::propeller
