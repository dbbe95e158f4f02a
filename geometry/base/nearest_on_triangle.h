// SPDX-License-Identifier: GPL-3.0-or-later
//
// The point of a triangle nearest to another point.
#pragma once

#include "geometry/base/vec3.h"

#include <array>

namespace cowlwright::base {

struct OnTriangle {
  Vec3 point;
  std::array<double, 3>
      weights{};  ///< of the corners a, b, c: they make the point, and weigh values at the corners
  /// Where in the triangle: 0 its inside, 1 to 3 the edge behind corner a, b, c, 4 to 6 corner a, b, c.
  int feature = 0;
};

/// The point of the triangle a, b, c nearest to p. A triangle without area falls to its edges or corners.
/// Source: C. Ericson, Real-Time Collision Detection, 2005, section 5.1.5: by the region the point projects
/// to.
OnTriangle nearest_on_triangle(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p);

}  // namespace cowlwright::base
