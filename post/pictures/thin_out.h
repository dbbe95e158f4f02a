// SPDX-License-Identifier: GPL-3.0-or-later
//
// Thinning out a triangulated surface that carries fields: fewer triangles, at a stated error.
#pragma once

#include "post/pictures/scene.h"

#include <vector>

namespace cowlwright::post {

/// What thinning out may do.
struct ThinningLimits {
  double distance =
      0.0;  ///< of any left-out point to the new surface, and of a border point to the border [m]
  std::vector<double> values;  ///< change of each of the piece's values at any left-out point, in its unit
};

/// Leaves out points of a surface piece, one after the other, each by drawing it onto a neighbour. Every
/// point ever left out stays assigned to a triangle near it and is checked again with each further step, so
/// that the limits hold for the result and not only for each step. A border is only drawn along itself; edges
/// with more than two triangles stay; no triangle turns over. What is kept keeps its position and values.
/// @return  the piece with `ScenePiece::Values::deviation` set to the largest change that was found.
ScenePiece thinned_out(const ScenePiece& piece, const ThinningLimits& limits);

}  // namespace cowlwright::post
