// SPDX-License-Identifier: GPL-3.0-or-later
//
// A tree of boxes over triangles: what a ray meets first, and how near two surfaces come. Queries may run on
// many threads at once.
#pragma once

#include "geometry/base/vec3.h"

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::mold {

using base::Vec3;

struct Ray {
  Vec3 origin;
  Vec3 direction;  ///< unit
  double reach;    ///< [m] nothing further away counts
};

struct Hit {
  std::int32_t face = -1;  ///< -1: nothing
  double distance = 0.0;   ///< [m]
};

/// Where two triangles come nearest.
struct Approach {
  double distance = 0.0;   ///< [m]; 0 when they touch or cross
  std::int32_t face = -1;  ///< of the tree; -1: none within the bound
  Vec3 here;               ///< on the tree's triangle
  Vec3 there;              ///< on the other
};

using Triangle = std::array<Vec3, 3>;

class Tree {
 public:
  /// Keeps a copy of the corners.
  Tree(std::span<const Vec3> points, std::span<const std::array<std::uint32_t, 3>> faces);

  /// The nearest face hit from either side, none of `skip` (-1: no entry). A hit on an edge is a hit of at
  /// least one of its faces; a face the ray lies in is never hit.
  Hit first_hit(const Ray& ray, const std::array<std::int32_t, 4>& skip = {-1, -1, -1, -1}) const;

  /// The nearest approach to a triangle below `bound` [m]; exact: corners to faces and edges to edges.
  Approach nearest(const Triangle& other, double bound) const;

 private:
  struct Box {
    Vec3 low, high;
  };
  struct Node {
    Box box;
    std::uint32_t first;  ///< leaf: first of its faces in order_; else its second child
    std::uint32_t count;  ///< faces of a leaf; 0: inner node, its first child follows
  };
  void build(std::uint32_t first, std::uint32_t count, std::vector<Vec3>& centre);

  std::vector<Node> nodes_;
  std::vector<std::uint32_t> order_;  ///< face numbers, leaf by leaf
  std::vector<Triangle> corners_;     ///< in that order
};

}  // namespace cowlwright::mold
