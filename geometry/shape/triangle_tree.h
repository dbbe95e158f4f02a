// SPDX-License-Identifier: GPL-3.0-or-later
//
// The point of a surface nearest to another point.
#pragma once

#include "geometry/shape/surface.h"

#include <array>
#include <cstdint>
#include <vector>

namespace cowlwright::shape {

struct NearestPoint {
  base::Vec3 point;            ///< on the surface [m]
  double distance = 0.0;       ///< [m], >= 0; infinite when the surface has no triangle nearer than asked for
  std::uint32_t triangle = 0;  ///< index in the surface
  /// Where in the triangle, as of base::OnTriangle.
  int feature = 0;
};

/// Tree of bounding boxes over the triangles. Queries may run in several threads at once.
class TriangleTree {
 public:
  explicit TriangleTree(const Surface& surface);

  /// @param within  [m]: look no further than this.
  NearestPoint nearest(const base::Vec3& p, double within) const;

 private:
  struct Node {
    base::Vec3 low, high;
    std::uint32_t first = 0;  ///< of a leaf: its first triangle; else the node of the second half
    std::uint32_t count = 0;  ///< of a leaf; 0 for a node whose first half is the next node
  };
  struct Triangle {
    base::Vec3 a, b, c;
    std::uint32_t index = 0;
  };
  void build(std::uint32_t first, std::uint32_t count);

  std::vector<Triangle> triangles_;
  std::vector<Node> nodes_;
};

}  // namespace cowlwright::shape
