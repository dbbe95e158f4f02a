// SPDX-License-Identifier: GPL-3.0-or-later
//
// One annulus of the disk: what the blades do to the azimuthal mean of the flow. Shared by the blade-element
// solve and by the tables for the solver's rotor disk, so that both feel the same blade. Internal to the
// folder.
#pragma once

#include "cases/propeller/spec.h"

#include <span>

namespace cowlwright::propeller {

/// Geometry of an annulus; lengths [m], angles [rad].
struct Annulus {
  double radius = 0.0;
  double chord = 0.0;
  double blade_angle = 0.0;  ///< to the disk plane, collective included
  double solidity = 0.0;     ///< blades * chord / circumference
  double tip_radius = 0.0;
  double hub_radius = 0.0;
  int n_blades = 0;
  std::span<const PolarPoint> polar;  ///< the propeller's, which must outlive the annulus
};

Annulus annulus_at(const PropellerSpec& propeller, double radius, double collective);

/// Share of the blade's own induced velocity that is left in the azimuthal mean, 0..1 (Prandtl; tip and hub).
/// @param inflow_angle  at the blade [rad].
double loss_factor(const Annulus& annulus, double inflow_angle);

/// Coefficients in the disk frame, referred to the dynamic pressure of the mean flow relative to the blade.
struct DiskForce {
  double axial = 0.0;       ///< along thrust
  double tangential = 0.0;  ///< opposing rotation
};

/// Force for a mean inflow angle [rad] (-pi..pi): the angle between the disk plane and the azimuthal mean of
/// the velocity relative to the blade, positive when air comes from ahead.
///
/// With few blades the blade itself meets more induced velocity than the mean, v/F against v (F =
/// loss_factor). The mean is all that a rotor disk in the solver sees, so the difference is solved for here:
///   tan(phi_blade) cos(phi) = sin(phi) + (1/F - 1) v,   v = solidity * axial / (4 |sin(phi)|)
/// with speeds over that of the mean flow. The like difference in swirl is left out: it is below 1 % of the
/// blade's speed where the blade carries load.
DiskForce disk_force(const Annulus& annulus, double inflow_angle);

/// Mean inflow angle at which blade and momentum agree, axial flow at `airspeed` [m/s].
///   axial:       solidity * axial * W² / 4      = |U| v,    U = V + v
///   tangential:  solidity * tangential * W² / 4 = |U| v_t,  blade meets rotational_speed * r - v_t
/// @throws ResultError  when it does not converge; names the station.
double mean_inflow_angle(const Annulus& annulus, double airspeed, double rotational_speed);

}  // namespace cowlwright::propeller
