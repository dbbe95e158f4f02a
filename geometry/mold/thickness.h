// SPDX-License-Identifier: GPL-3.0-or-later
//
// Section thickness of a closed part.
#pragma once

#include "geometry/mold/sheet.h"
#include "geometry/mold/tree.h"

namespace cowlwright::mold {

struct Thickness {
  bool is_known = false;  ///< false: a sheet, which has none
  double least = 0.0;     ///< [m]
  Vec3 place;
  double area_below = 0.0;  ///< of the surface over material thinner than the limit [m²]
};

/// From each face's centroid straight in to the opposite wall: the first face whose normal is within 60 deg
/// of the ray. `is_mold_outside`: the material lies behind the faces' normals.
Thickness section_thickness(const Sheet& sheet, const Tree& tree, bool is_mold_outside, double limit);

}  // namespace cowlwright::mold
