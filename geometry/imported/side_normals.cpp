// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/side_normals.h"

#include "geometry/imported/topology.h"

#include <cmath>
#include <span>

namespace cowlwright::imported {

using base::Vec3;

namespace {

double angle_between(const Vec3& u, const Vec3& v) {
  return std::atan2(norm(cross(u, v)), dot(u, v));
}

}  // namespace

SideNormals::SideNormals(const shape::Surface& surface)
    : point_(surface.points.size()),
      triangle_(surface.triangles.size()),
      edge_(surface.triangles.size()),
      corners_(surface.triangles) {
  for (std::size_t i = 0; i < corners_.size(); ++i) {
    const auto& t = corners_[i];
    const std::array<Vec3, 3> p{surface.points[t[0]], surface.points[t[1]], surface.points[t[2]]};
    const Vec3 n = cross(p[1] - p[0], p[2] - p[0]);
    const double length = norm(n);
    if (!(length > 0.0)) continue;
    triangle_[i] = (1.0 / length) * n;
    for (std::size_t k = 0; k < 3; ++k) {
      const double angle = angle_between(p[(k + 1) % 3] - p[k], p[(k + 2) % 3] - p[k]);
      point_[t[k]] = point_[t[k]] + angle * triangle_[i];
    }
  }
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> uses) {
    Vec3 sum;
    for (const EdgeUse& use : uses) sum = sum + triangle_[use.triangle];
    for (const EdgeUse& use : uses) edge_[use.triangle][use.corner] = sum;
  });
}

double SideNormals::side(const Vec3& p, const shape::NearestPoint& nearest) const {
  const Vec3 gap = p - nearest.point;
  const auto& t = corners_[nearest.triangle];
  const std::size_t k = static_cast<std::size_t>((nearest.feature + 2) % 3);
  const Vec3& normal = nearest.feature == 0  ? triangle_[nearest.triangle]
                       : nearest.feature < 4 ? edge_[nearest.triangle][k]
                                             : point_[t[k]];
  return dot(gap, normal) >= 0.0 ? 1.0 : -1.0;
}

}  // namespace cowlwright::imported
