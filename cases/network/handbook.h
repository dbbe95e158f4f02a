// SPDX-License-Identifier: GPL-3.0-or-later
//
// Published loss coefficients, on the dynamic pressure in the throat.
#pragma once

namespace cowlwright::network {

/// Loss of a rounded entrance that stands free in still air, r lip radius over D hydraulic diameter, >= 0.
/// Source: [Idelchik], diagram 3-4 a; straight lines between its rows, flat beyond 0.20.
double proud_entrance_loss(double radius_over_diameter);

/// The same flush in a wall. Source: [Idelchik], diagram 3-4 b.
double flush_entrance_loss(double radius_over_diameter);

/// Loss of a conical diffuser's widening without its friction, on its inlet's dynamic pressure.
/// @param full_angle   of the cone [rad], > 0.
/// @param area_ratio   inlet over outlet area, 0..1.
/// Source: [Idelchik], conical diffusers; straight lines between its rows and columns; below 3 deg towards 0
/// at 0 deg, and to nothing at an area ratio of 1 (Borda-Carnot's trend beyond the last column).
double diffuser_loss(double full_angle, double area_ratio);

}  // namespace cowlwright::network
