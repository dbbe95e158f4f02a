// SPDX-License-Identifier: GPL-3.0-or-later
//
// Distance between two triangles.
#pragma once

#include "geometry/base/vec3.h"

#include <array>

namespace cowlwright::mold {

struct PairDistance {
  double distance = 0.0;  ///< [m]; 0 when they touch or cross
  base::Vec3 on_first;
  base::Vec3 on_second;
};

/// The nearest points of two triangles: of all corners to faces and edges to edges, which is exact unless
/// they cross, and then one's edge goes through the other.
PairDistance triangle_distance(const std::array<base::Vec3, 3>& first,
                               const std::array<base::Vec3, 3>& second);

}  // namespace cowlwright::mold
