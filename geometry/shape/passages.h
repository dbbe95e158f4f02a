// SPDX-License-Identifier: GPL-3.0-or-later
//
// Everything air is forced through, as boxes: cores (or heads and barrels), the oil cooler and leaks. Parts,
// zones, planes and records of a passage all follow from its box.
#pragma once

#include "geometry/shape/installation.h"
#include "geometry/shape/patches.h"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::shape {

/// Least solid between a passage and other air [m].
inline constexpr double passage_wall = 0.010;
/// How far what opens into a room is carved into it, so that its walls cross the room's [m].
inline constexpr double room_poke = 0.006;
/// Solid between head and barrel of one cylinder [m].
inline constexpr double head_barrel_wall = 0.015;
/// Least side of a passage's section: less cannot be meshed [m].
inline constexpr double least_opening = 0.024;
/// A leak's opening over its effective area. A bare opening of that size would let through about twice the
/// flow; the rest of the drop is left to the resistance inside.
inline constexpr double leak_opening_ratio = 3.0;
/// Thickness of the centre wall round a leak through it, and the air kept clear of this boss [m].
inline constexpr double boss_thickness = 0.050;
inline constexpr double boss_clearance = 0.020;

struct PassageBox {
  Passage passage;
  base::Side side = base::Side::Centre;
  Patch wall = Patch::CoreWall;
  Box air;    ///< where the resistance is; across the flow from wall to wall
  Box duct;   ///< what is carved: the same, run on along the flow into the rooms it joins
  Box drawn;  ///< the zone: `air` drawn into the solid across the flow
};

/// Cores in the order of the cylinders, barrel before head; then the oil cooler; then leaks by LeakPlace.
std::vector<PassageBox> passage_boxes(const ShapeSpec& spec);

/// Axis (0 x, 1 y, 2 z) a direction points along or against.
int axis_of(const base::Vec3& direction);
double& component(base::Vec3& v, int axis);
double component(const base::Vec3& v, int axis);

/// Air of the oil cooler behind the rear baffle: the cooler's own duct and the closed chamber behind it that
/// leads down into the lower deck, as long as the cooler is high. Seen from the side an L.
Surface rear_cooler_duct(const ShapeSpec& spec, const PassageBox& cooler);
/// Station of that chamber's rear wall.
double rear_chamber_end(const ShapeSpec& spec);
/// Station of the front face of an oil cooler in the deck's floor.
double floor_cooler_front(const ShapeSpec& spec);

/// Solid round the leak through the centre wall, from inside the crankcase block up.
std::optional<Box> centre_wall_boss(const ShapeSpec& spec);

/// Key of a leak in the study file: "cowl_seal_left".
std::string_view leak_key(LeakPlace place);

/// One side of the rectangle a leak's opening has to fit into, and the dimension that widens it.
struct RoomSide {
  double length = 0.0;
  std::string key;
  double value = 0.0;
  double gain = 1.0;  ///< change of `length` with that dimension
  std::string remedy;
};

/// Where a leak may lie. One of its opening's sides per axis across the flow, in cyclic order after it.
struct LeakRoom {
  std::string name;  ///< of the passage
  base::Side side = base::Side::Centre;
  base::Vec3 direction{0.0, 0.0, -1.0};
  Box room;               ///< across the flow: where the opening may lie; along it: the passage itself
  double run_low = 0.0;   ///< of the duct beyond the passage's low end along the flow's axis
  double run_high = 0.0;  ///< and beyond its high end
  std::array<RoomSide, 2> sides;
};

/// One, or two alike for the crankcase's nose under a centre wall, which share the effective area.
std::vector<LeakRoom> leak_rooms(const ShapeSpec& spec, LeakPlace place);

/// Area of the openings together for an effective area in `n` rooms [m²].
double leak_opening_area(double effective_area, std::size_t n_rooms);

}  // namespace cowlwright::shape
