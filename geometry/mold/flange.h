// SPDX-License-Identifier: GPL-3.0-or-later
//
// Room for flanges: how far a flange can stand out from a line before another part of the surface is in the
// way.
#pragma once

#include "geometry/mold/openings.h"
#include "geometry/mold/parting.h"
#include "geometry/mold/tree.h"

namespace cowlwright::mold {

/// Further than this nothing is looked for [m].
inline constexpr double flange_reach = 0.2;

struct FlangeRoom {
  double least = flange_reach;  ///< [m]; flange_reach: free as far as was looked
  double length = 0.0;          ///< of the line that was looked at [m]
  double length_below = 0.0;    ///< of it, with less room than the limit [m]
  Vec3 place;                   ///< of the least room
};

/// A trim edge's flange runs on from the surface, in its tangent plane, square to the edge. Rays every 5 mm,
/// at two heights (0.5 and 5 mm) on the mold's side.
FlangeRoom room_at(const TrimEdge& edge, const Tree& tree, double limit);

/// A parting line's flange stands up from the surface, square to it. Rays every 5 mm, 3 mm to either
/// side of the line, from 5 mm off it on.
FlangeRoom room_at(const PartingLine& line, const Tree& tree, double limit);

}  // namespace cowlwright::mold
