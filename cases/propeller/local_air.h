// SPDX-License-Identifier: GPL-3.0-or-later
//
// The air just behind one place of the disk: what the blades have done to its total pressure and its swirl.
#pragma once

#include "cases/propeller/blade_element.h"
#include "cases/propeller/spec.h"

namespace cowlwright::propeller {

/// A place behind the disk, in the plane of the disk.
struct DiskPlace {
  double radius = 0.0;  ///< from the shaft line [m], > 0
  /// Of the air ahead along the blades' own motion at this place [m/s]: a crosswind or incidence takes from
  /// the speed the blades meet where it goes with them and adds to it where it comes against them.
  double following_wind = 0.0;
};

struct LocalAir {
  double pressure_rise = 0.0;  ///< thrust per area of the annulus [Pa]: static, or axial total pressure
  double swirl_speed = 0.0;    ///< along the blades' motion [m/s]

  /// Total pressure gained, that of the swirl included [Pa].
  double total_pressure_rise(double density) const {
    return pressure_rise + 0.5 * density * swirl_speed * swirl_speed;
  }
};

/// What the annulus through a place does. Nothing inside the blades' roots and outside their tips.
///
/// Source: the same blade elements and axial momentum as performance_at(), for this annulus alone.
/// Limits: quasi-steady: at incidence each place is treated as an annulus that has the inflow of this place
/// all round. Mean over time; no contraction of the slipstream and no other body.
/// @throws ResultError  when the inflow does not converge, naming the station.
LocalAir local_air(const PropellerSpec& propeller,
                   const Operating& operating,
                   double collective,
                   const DiskPlace& place);

}  // namespace cowlwright::propeller
