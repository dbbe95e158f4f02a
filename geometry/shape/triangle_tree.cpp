// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/shape/triangle_tree.h"

#include "geometry/base/nearest_on_triangle.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace cowlwright::shape {

namespace {

using base::Vec3;

constexpr std::uint32_t leaf_size = 4;

Vec3 lower(const Vec3& a, const Vec3& b) {
  return {std::min(a.x, b.x), std::min(a.y, b.y), std::min(a.z, b.z)};
}
Vec3 upper(const Vec3& a, const Vec3& b) {
  return {std::max(a.x, b.x), std::max(a.y, b.y), std::max(a.z, b.z)};
}

double squared_distance_to_box(const Vec3& p, const Vec3& low, const Vec3& high) {
  const double x = std::max({low.x - p.x, 0.0, p.x - high.x});
  const double y = std::max({low.y - p.y, 0.0, p.y - high.y});
  const double z = std::max({low.z - p.z, 0.0, p.z - high.z});
  return x * x + y * y + z * z;
}

}  // namespace

TriangleTree::TriangleTree(const Surface& surface) {
  triangles_.reserve(surface.triangles.size());
  for (std::uint32_t i = 0; i < surface.triangles.size(); ++i) {
    const auto& t = surface.triangles[i];
    triangles_.push_back({surface.points[t[0]], surface.points[t[1]], surface.points[t[2]], i});
  }
  if (!triangles_.empty()) build(0, static_cast<std::uint32_t>(triangles_.size()));
}

/// Halves by the median of the centres along the longest side of their box.
void TriangleTree::build(std::uint32_t first, std::uint32_t count) {
  constexpr double far = std::numeric_limits<double>::infinity();
  Node node{{far, far, far}, {-far, -far, -far}, first, count};
  Vec3 low = node.low, high = node.high;
  const auto centre = [](const Triangle& t) { return t.a + t.b + t.c; };
  for (std::uint32_t i = first; i < first + count; ++i) {
    const Triangle& t = triangles_[i];
    node.low = lower(node.low, lower(t.a, lower(t.b, t.c)));
    node.high = upper(node.high, upper(t.a, upper(t.b, t.c)));
    low = lower(low, centre(t));
    high = upper(high, centre(t));
  }
  const std::size_t at = nodes_.size();
  nodes_.push_back(node);
  if (count <= leaf_size) return;
  const Vec3 size = high - low;
  double Vec3::*axis = size.x >= size.y && size.x >= size.z ? &Vec3::x
                       : size.y >= size.z                   ? &Vec3::y
                                                            : &Vec3::z;
  const std::uint32_t half = count / 2;
  const auto begin = triangles_.begin() + first;
  std::nth_element(begin, begin + half, begin + count, [&](const Triangle& s, const Triangle& t) {
    return centre(s).*axis < centre(t).*axis;
  });
  build(first, half);
  nodes_[at].first = static_cast<std::uint32_t>(nodes_.size());
  nodes_[at].count = 0;
  build(first + half, count - half);
}

NearestPoint TriangleTree::nearest(const Vec3& p, double within) const {
  NearestPoint best;
  best.distance = std::numeric_limits<double>::infinity();
  double bound = within * within;
  // Depth of the tree: 32 halvings are 4e9 leaves; two entries each.
  std::array<std::pair<std::uint32_t, double>, 80> stack;
  std::size_t n = 0;
  if (!nodes_.empty()) stack[n++] = {0, squared_distance_to_box(p, nodes_[0].low, nodes_[0].high)};
  while (n > 0) {
    const auto [at, away] = stack[--n];
    if (away > bound) continue;
    const Node& node = nodes_[at];
    if (node.count == 0) {
      const std::uint32_t left = at + 1, right = node.first;
      const double to_left = squared_distance_to_box(p, nodes_[left].low, nodes_[left].high);
      const double to_right = squared_distance_to_box(p, nodes_[right].low, nodes_[right].high);
      const bool left_first = to_left <= to_right;
      stack[n++] = left_first ? std::pair{right, to_right} : std::pair{left, to_left};
      stack[n++] = left_first ? std::pair{left, to_left} : std::pair{right, to_right};
      continue;
    }
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      const Triangle& t = triangles_[i];
      const base::OnTriangle found = base::nearest_on_triangle(t.a, t.b, t.c, p);
      const Vec3 gap = p - found.point;
      const double squared = dot(gap, gap);
      if (squared > bound || (squared == bound && std::isfinite(best.distance))) continue;
      bound = squared;
      best = {found.point, std::sqrt(squared), t.index, found.feature};
    }
  }
  return best;
}

}  // namespace cowlwright::shape
