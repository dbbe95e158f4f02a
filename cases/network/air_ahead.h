// SPDX-License-Identifier: GPL-3.0-or-later
//
// What flight and propeller put before the two inlets. Internal to the folder.
#pragma once

#include "cases/network/elements.h"
#include "cases/network/model.h"

#include <array>

namespace cowlwright::network {

/// Of one inlet, without factors on it.
struct AheadOfInlet {
  double pressure_rise = 0.0;  ///< of the propeller, axial [Pa]
  double swirl_speed = 0.0;    ///< along the blades' motion [m/s]
  base::Vec3 motion;           ///< unit, the blades' motion at the inlet; nil on the shaft line
};

struct Ahead {
  double disk_loading = 0.0;  ///< [Pa]
  std::array<AheadOfInlet, 2> inlets;
};

/// Where an inlet's centre lies and how the blades pass it.
struct InletPlace {
  double y = 0.0;  ///< [m]
  double z = 0.0;
  double radius = 0.0;
  base::Vec3 motion;
};
InletPlace inlet_place(const VariantSpec& spec, base::Side side);

/// Component of the wind along the blades' motion [m/s].
double following_wind(const InletPlace& place, const base::Vec3& wind);

/// The wind of a condition with the study's sideslip.
base::Vec3 wind_of(const Condition& condition, double sideslip);

/// From the blade elements themselves, or from a table of them at the radii of the two inlets.
Ahead ahead_of_inlets(const VariantSpec& spec,
                      const Condition& condition,
                      const propeller::BladeTable* table);

/// Of an inlet, with the factor on the propeller's rise.
AirAhead air_ahead(const AheadOfInlet& inlet, double factor, double density, const base::Vec3& wind);

}  // namespace cowlwright::network
