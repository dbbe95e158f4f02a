// SPDX-License-Identifier: GPL-3.0-or-later
//
// On which side of a surface a point lies.
#pragma once

#include "geometry/shape/surface.h"
#include "geometry/shape/triangle_tree.h"

#include <array>
#include <cstdint>
#include <vector>

namespace cowlwright::imported {

/// Angle-weighted normals, by which the side of a point follows from its nearest point (closed, outward
/// surface). Source: Baerentzen and Aanaes, IEEE Trans. Visualization and Computer Graphics 11 (2005) 243.
class SideNormals {
 public:
  explicit SideNormals(const shape::Surface& surface);

  /// +1 outside or on it, -1 inside.
  double side(const base::Vec3& p, const shape::NearestPoint& nearest) const;
  /// At a point of the surface, not of unit length.
  const base::Vec3& at_point(std::uint32_t i) const { return point_[i]; }
  /// Of a triangle, unit length; zero for one without area.
  const base::Vec3& at_triangle(std::uint32_t i) const { return triangle_[i]; }

 private:
  std::vector<base::Vec3> point_, triangle_;
  std::vector<std::array<base::Vec3, 3>> edge_;
  std::vector<std::array<std::uint32_t, 3>> corners_;
};

}  // namespace cowlwright::imported
