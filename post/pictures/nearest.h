// SPDX-License-Identifier: GPL-3.0-or-later
//
// The place of a triangle that is nearest to a point.
#pragma once

#include "geometry/base/vec3.h"

#include <array>
#include <limits>

namespace cowlwright::post {

/// As weights of the corners, which also weigh the corners' values there; all distances in m.
struct NearestPlace {
  std::array<double, 3> weights{};
  double distance = std::numeric_limits<double>::infinity();
};

/// Source: Ericson, Real-Time Collision Detection, 2005, section 5.1.5: by the region the point projects to.
/// A triangle without area falls to its edges or corners.
NearestPlace nearest_on_triangle(const base::Vec3& point,
                                 const base::Vec3& a,
                                 const base::Vec3& b,
                                 const base::Vec3& c);

}  // namespace cowlwright::post
