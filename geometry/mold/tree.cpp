// SPDX-License-Identifier: GPL-3.0-or-later
//
// Building and walking the tree.
#include "geometry/mold/tree.h"

#include "geometry/mold/triangle_distance.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace cowlwright::mold {
namespace {

constexpr std::uint32_t leaf_size = 4;
constexpr double infinity = std::numeric_limits<double>::infinity();

double at(const Vec3& v, int axis) {
  return axis == 0 ? v.x : axis == 1 ? v.y : v.z;
}
Vec3 lower(const Vec3& a, const Vec3& b) {
  return {std::min(a.x, b.x), std::min(a.y, b.y), std::min(a.z, b.z)};
}
Vec3 upper(const Vec3& a, const Vec3& b) {
  return {std::max(a.x, b.x), std::max(a.y, b.y), std::max(a.z, b.z)};
}

/// Distance along a ray to a triangle; infinity for a miss. The triangle is taken a hair larger than it is,
/// so that no ray slips through between two.
double ray_distance(const Ray& ray, const Triangle& t) {
  constexpr double hair = 1e-9;      // of an edge
  constexpr double parallel = 1e-9;  // sine of the angle between ray and face below which it lies in it
  const Vec3 e1 = t[1] - t[0];
  const Vec3 e2 = t[2] - t[0];
  const Vec3 p = cross(ray.direction, e2);
  const double det = dot(e1, p);
  const double twice_area = norm(cross(e1, e2));
  if (!(std::abs(det) > parallel * twice_area)) return infinity;
  const Vec3 s = ray.origin - t[0];
  const double u = dot(s, p) / det;
  if (u < -hair || u > 1.0 + hair) return infinity;
  const Vec3 q = cross(s, e1);
  const double v = dot(ray.direction, q) / det;
  if (v < -hair || u + v > 1.0 + hair) return infinity;
  const double distance = dot(e2, q) / det;
  return distance > 0.0 ? distance : infinity;
}

/// Where a ray enters a box; infinity for a miss. `inverse` holds 1/direction, infinite where it is 0.
double box_entry(const Vec3& low, const Vec3& high, const Vec3& origin, const Vec3& inverse) {
  double enter = 0.0;
  double leave = infinity;
  for (int axis = 0; axis < 3; ++axis) {
    const double i = at(inverse, axis);
    const double o = at(origin, axis);
    if (std::isinf(i)) {
      if (o < at(low, axis) || o > at(high, axis)) return infinity;
      continue;
    }
    const double a = (at(low, axis) - o) * i;
    const double b = (at(high, axis) - o) * i;
    enter = std::max(enter, std::min(a, b));
    leave = std::min(leave, std::max(a, b));
  }
  // A flat box has equal ends: a few units in the last place keep its faces.
  return enter <= leave * (1.0 + 1e-12) + 1e-15 ? enter : infinity;
}

double box_gap(const Vec3& low_a, const Vec3& high_a, const Vec3& low_b, const Vec3& high_b) {
  double sum = 0.0;
  for (int axis = 0; axis < 3; ++axis) {
    const double gap =
        std::max({0.0, at(low_a, axis) - at(high_b, axis), at(low_b, axis) - at(high_a, axis)});
    sum += gap * gap;
  }
  return std::sqrt(sum);
}

double inverse_of(double v) {
  return v != 0.0 ? 1.0 / v : infinity;
}

}  // namespace

Tree::Tree(std::span<const Vec3> points, std::span<const std::array<std::uint32_t, 3>> faces) {
  order_.resize(faces.size());
  std::iota(order_.begin(), order_.end(), 0U);
  std::vector<Vec3> centre(faces.size());
  std::vector<Triangle> corners(faces.size());
  for (std::size_t f = 0; f < faces.size(); ++f) {
    corners[f] = {points[faces[f][0]], points[faces[f][1]], points[faces[f][2]]};
    centre[f] = corners[f][0] + corners[f][1] + corners[f][2];
  }
  corners_ = corners;
  nodes_.reserve(faces.size());
  if (!faces.empty()) build(0, static_cast<std::uint32_t>(faces.size()), centre);
  for (std::size_t i = 0; i < order_.size(); ++i) corners_[i] = corners[order_[i]];
}

void Tree::build(std::uint32_t first, std::uint32_t count, std::vector<Vec3>& centre) {
  const std::size_t self = nodes_.size();
  Vec3 low{infinity, infinity, infinity}, high{-infinity, -infinity, -infinity};
  Vec3 low_centre = low, high_centre = high;
  for (std::uint32_t i = first; i < first + count; ++i) {
    for (const Vec3& p : corners_[order_[i]]) {
      low = lower(low, p);
      high = upper(high, p);
    }
    low_centre = lower(low_centre, centre[order_[i]]);
    high_centre = upper(high_centre, centre[order_[i]]);
  }
  nodes_.push_back({{low, high}, first, count});
  if (count <= leaf_size) return;
  const Vec3 size = high_centre - low_centre;
  const int axis = size.x >= size.y && size.x >= size.z ? 0 : size.y >= size.z ? 1 : 2;
  const std::uint32_t half = count / 2;
  std::nth_element(
      order_.begin() + first,
      order_.begin() + first + half,
      order_.begin() + first + count,
      [&](std::uint32_t a, std::uint32_t b) { return at(centre[a], axis) < at(centre[b], axis); });
  nodes_[self].count = 0;
  build(first, half, centre);
  nodes_[self].first = static_cast<std::uint32_t>(nodes_.size());
  build(first + half, count - half, centre);
}

Hit Tree::first_hit(const Ray& ray, const std::array<std::int32_t, 4>& skip) const {
  Hit best{-1, ray.reach};
  if (nodes_.empty()) return best;
  const Vec3 inverse{inverse_of(ray.direction.x), inverse_of(ray.direction.y), inverse_of(ray.direction.z)};
  std::array<std::uint32_t, 64> stack{};
  std::size_t depth = 0;
  stack[depth++] = 0;
  while (depth > 0) {
    const std::uint32_t index = stack[--depth];
    const Node& node = nodes_[index];
    if (!(box_entry(node.box.low, node.box.high, ray.origin, inverse) <= best.distance)) continue;
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      const auto face = static_cast<std::int32_t>(order_[i]);
      if (std::find(skip.begin(), skip.end(), face) != skip.end()) continue;
      const double distance = ray_distance(ray, corners_[i]);
      if (distance < best.distance) best = {face, distance};
    }
    if (node.count == 0) {
      stack[depth++] = node.first;
      stack[depth++] = index + 1;
    }
  }
  return best;
}

Approach Tree::nearest(const Triangle& other, double bound) const {
  Approach best;
  best.distance = bound;
  if (nodes_.empty()) return best;
  const Vec3 low = lower(lower(other[0], other[1]), other[2]);
  const Vec3 high = upper(upper(other[0], other[1]), other[2]);
  const auto gap_to = [&](std::uint32_t n) {
    return box_gap(nodes_[n].box.low, nodes_[n].box.high, low, high);
  };
  std::array<std::uint32_t, 64> stack{};
  std::size_t depth = 0;
  stack[depth++] = 0;
  while (depth > 0 && best.distance > 0.0) {
    const std::uint32_t index = stack[--depth];
    const Node& node = nodes_[index];
    if (!(gap_to(index) < best.distance)) continue;
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      const PairDistance pair = triangle_distance(corners_[i], other);
      if (!(pair.distance < best.distance)) continue;
      best = {pair.distance, static_cast<std::int32_t>(order_[i]), pair.on_first, pair.on_second};
    }
    if (node.count == 0) {
      const bool is_second_nearer = gap_to(node.first) < gap_to(index + 1);
      stack[depth++] = is_second_nearer ? index + 1 : node.first;
      stack[depth++] = is_second_nearer ? node.first : index + 1;
    }
  }
  return best;
}

}  // namespace cowlwright::mold
