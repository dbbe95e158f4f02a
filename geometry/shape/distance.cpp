// SPDX-License-Identifier: GPL-3.0-or-later
//
// A tree of boxes over the triangles.
#include "geometry/shape/distance.h"

#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/AABB_triangle_primitive.h>
#include <CGAL/Simple_cartesian.h>

#include <cmath>
#include <vector>

namespace cowlwright::shape {

namespace {

using Kernel = CGAL::Simple_cartesian<double>;
using Triangles = std::vector<Kernel::Triangle_3>;
using Primitive = CGAL::AABB_triangle_primitive<Kernel, Triangles::const_iterator>;

Kernel::Point_3 to_point(const base::Vec3& p) {
  return {p.x, p.y, p.z};
}

}  // namespace

struct DistanceTo::Tree {
  Triangles triangles;
  CGAL::AABB_tree<CGAL::AABB_traits<Kernel, Primitive>> boxes;
};

DistanceTo::DistanceTo(const Surface& surface) : tree_(std::make_unique<Tree>()) {
  for (const auto& t : surface.triangles) {
    const Kernel::Triangle_3 triangle(
        to_point(surface.points[t[0]]), to_point(surface.points[t[1]]), to_point(surface.points[t[2]]));
    if (!triangle.is_degenerate()) tree_->triangles.push_back(triangle);
  }
  tree_->boxes.insert(tree_->triangles.cbegin(), tree_->triangles.cend());
  tree_->boxes.build();
  tree_->boxes.accelerate_distance_queries();
}

DistanceTo::DistanceTo(DistanceTo&&) noexcept = default;
DistanceTo& DistanceTo::operator=(DistanceTo&&) noexcept = default;
DistanceTo::~DistanceTo() = default;

double DistanceTo::operator()(const base::Vec3& point) const {
  return std::sqrt(tree_->boxes.squared_distance(to_point(point)));
}

}  // namespace cowlwright::shape
