// SPDX-License-Identifier: GPL-3.0-or-later
//
// Trim edges: where the surface ends, round an opening or at its own rim.
#pragma once

#include "geometry/mold/sheet.h"

namespace cowlwright::mold {

struct TrimEdge {
  std::vector<Vec3> line;     ///< closed: first and last point are equal
  std::vector<Vec3> normals;  ///< (line.size() - 1) of the face at each piece
  double length = 0.0;        ///< [m]
  Vec3 place;                 ///< middle of its points' box
  Vec3 size;                  ///< of that box [m]
  Vec3 plane_normal;          ///< of the plane that fits best
  double off_plane = 0.0;     ///< largest distance from that plane [m]
  bool is_flat = false;       ///< off_plane <= 1 mm + 0.1 % of the length
};
/// The longest first. Two edges that meet at a point are one or two, as they come.
std::vector<TrimEdge> trim_edges(const Sheet& sheet);

}  // namespace cowlwright::mold
