// SPDX-License-Identifier: GPL-3.0-or-later
//
// Undercuts: what cannot be seen along a pull from outside, either because it faces away or because another
// part of the surface stands in the way.
#pragma once

#include "geometry/mold/draft.h"
#include "geometry/mold/tree.h"

namespace cowlwright::mold {

/// A surface is seen past roughness up to this height [m]: rays start this far off it, and what locks by less
/// is not found. Also the draft below zero that still counts as a wall along the pull [rad].
inline constexpr double surface_roughness = 5e-5;
inline constexpr double draft_noise = 0.05 / 180.0 * 3.14159265358979323846;

/// What is seen of each face along one pull.
struct Sight {
  std::vector<double> hidden;           ///< (n_faces) share of the face that is not seen, 0 to 1
  std::vector<std::int32_t> hidden_by;  ///< (n_faces) the face in the way of the first sample hidden; -1:
                                        ///< none, what is hidden faces away
};

/// Rays along the pull from samples on every face: one for a small face, more, spread evenly, for one larger
/// than the diagonal of the whole over 300. The error of a partly hidden face is about one sample's share.
Sight sight_along(const Sheet& sheet,
                  const CornerNormals& normals,
                  const Creases& creases,
                  const Tree& tree,
                  const Vec3& pull);

}  // namespace cowlwright::mold
