// SPDX-License-Identifier: GPL-3.0-or-later
//
// Sharp edges, and the direction of the smooth surface the facets stand for.
#pragma once

#include "geometry/mold/sheet.h"

namespace cowlwright::mold {

/// Turning at a line beyond which facets cannot be told from a sharp edge: an arc of 90 deg is then drawn
/// with fewer than three facets [rad].
inline constexpr double sharp_turn = 30.0 / 180.0 * 3.14159265358979323846;
/// A smaller turning counts as sharp when it stands alone: the lines beside it turn less than a quarter
/// [rad].
inline constexpr double lone_turn = 6.0 / 180.0 * 3.14159265358979323846;

/// Edges at which the surface turns sharply.
struct Creases {
  std::vector<std::array<bool, 3>> is_sharp;  ///< (n_faces) of edge k; false at a trim edge
  std::vector<std::array<double, 3>> turn;    ///< (n_faces) [rad] > 0 where the mold is hollow (an outside
                                              ///< edge of the part), < 0 where the mold has an edge
};
Creases find_creases(const Sheet& sheet);

/// Unit normal at each corner of each face: the mean of the faces round that point up to the next sharp edge,
/// weighted by their angles there. Linear in between, it has the draft and curvature of the smooth surface to
/// second order in the facets' size.
using CornerNormals = std::vector<std::array<Vec3, 3>>;
CornerNormals corner_normals(const Sheet& sheet, const Creases& creases);

}  // namespace cowlwright::mold
