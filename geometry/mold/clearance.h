// SPDX-License-Identifier: GPL-3.0-or-later
//
// How near another body comes to the surface.
#pragma once

#include "geometry/mold/sheet.h"
#include "geometry/mold/tree.h"

namespace cowlwright::mold {

struct Clearance {
  double distance = 0.0;  ///< [m], exact between the two sets of triangles; 0 when they touch or cross
  Vec3 on_surface;
  Vec3 on_body;
  bool is_on_mold_side = false;  ///< the nearest point of the body lies on the side of the mold
};

/// @throws InputError  when the body has no triangles or a coordinate that is no finite number.
Clearance clearance_to(const Sheet& sheet, const Tree& tree, const shape::Surface& body);

}  // namespace cowlwright::mold
