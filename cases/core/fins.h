// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pressure drop of a finned cylinder under a baffle, from its dimensions.
//
// Air passes between the fins on both sides of the cylinder: many equal passages, each bounded by two fins,
// the barrel and the baffle. Published are the pressure drop of such a passage (laminar, with its developing
// entrance: Shah 1978; turbulent: Blasius) and the losses at its ends (Idelchik). That a cylinder is a sum of
// straight passages of the baffled arc's mean length is an assumption: the bend, the spread of the fins'
// temperature and leaks between baffle and fins are left out. A measured law is better.
#pragma once

#include <numbers>

namespace cowlwright::core {

struct Fins {
  double pitch = 0.0;                          ///< between the centres of neighbouring fins [m]
  double thickness = 0.0;                      ///< mean, of one fin [m], < pitch
  double depth = 0.0;                          ///< from the barrel to the tip [m]
  double bore = 0.0;                           ///< diameter of the barrel under the fins [m]
  double baffle_arc = 1.5 * std::numbers::pi;  ///< over which air is held between the fins, both sides
                                               ///< together [rad]; common practice, no source
};

/// Free area of all passages of a cylinder finned over `width` along its axis, both sides [m²].
double fin_flow_area(const Fins& fins, double width);

/// Friction and momentum of a developing laminar flow in a rectangular duct: apparent Fanning factor times
/// Reynolds number, mean from the entrance.
/// @param aspect    short side over long side, 0 (plates) to 1 (square).
/// @param distance  length / (hydraulic diameter * Reynolds number), > 0.
///
/// Source: [Shah 1978], within 2.4 % of the solutions for ducts of aspect 0, 0.2, 0.5 and 1; its constants
/// are interpolated between these. Fully developed values: polynomial of [Shah and London 1978].
double apparent_laminar_friction(double aspect, double distance);

/// Pressure drop from deck to deck [Pa].
/// @param block_area  of the whole block across the flow, which sets the losses at the ends [m²].
/// @param width       finned length along the cylinder's axis [m].
///
/// Sources: friction [Shah 1978], [Blasius 1913] where it is larger; sharp entrance 0.5 (1 - s), sudden exit
/// (1 - s)² of the dynamic pressure in the passages, s = free over block area [Idelchik].
double fin_pressure_drop(
    const Fins& fins, double width, double block_area, double mass_flow, double density, double viscosity);

}  // namespace cowlwright::core
