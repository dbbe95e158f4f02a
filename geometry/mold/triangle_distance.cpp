// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/triangle_distance.h"

#include "geometry/base/nearest_on_triangle.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace cowlwright::mold {
namespace {

using base::Vec3;
using Triangle = std::array<Vec3, 3>;

Vec3 nearest_on_segment(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 along = b - a;
  const double length2 = dot(along, along);
  const double t = length2 > 0.0 ? std::clamp(dot(p - a, along) / length2, 0.0, 1.0) : 0.0;
  return a + t * along;
}

/// Nearest points of two segments: the common normal's feet where both lie inside, else an end.
PairDistance segment_distance(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1) {
  const Vec3 u = a1 - a0, v = b1 - b0, w = a0 - b0;
  const double uu = dot(u, u), uv = dot(u, v), vv = dot(v, v), uw = dot(u, w), vw = dot(v, w);
  const double det = uu * vv - uv * uv;
  double s = det > 1e-14 * uu * vv ? std::clamp((uv * vw - vv * uw) / det, 0.0, 1.0) : 0.0;
  const Vec3 on_b = nearest_on_segment(a0 + s * u, b0, b1);
  const Vec3 on_a = nearest_on_segment(on_b, a0, a1);
  return {norm(on_a - on_b), on_a, on_b};
}

/// Where a segment goes through a triangle.
std::optional<Vec3> crossing(const Vec3& a, const Vec3& b, const Triangle& t) {
  const Vec3 n = cross(t[1] - t[0], t[2] - t[0]);
  const double da = dot(a - t[0], n);
  const double db = dot(b - t[0], n);
  if (!(da * db < 0.0)) return std::nullopt;
  const Vec3 p = a + (da / (da - db)) * (b - a);
  for (std::size_t k = 0; k < 3; ++k) {
    if (dot(cross(t[(k + 1) % 3] - t[k], p - t[k]), n) < 0.0) return std::nullopt;
  }
  return p;
}

Vec3 nearest(const Triangle& t, const Vec3& p) {
  return base::nearest_on_triangle(t[0], t[1], t[2], p).point;
}

}  // namespace

PairDistance triangle_distance(const Triangle& first, const Triangle& second) {
  PairDistance best{std::numeric_limits<double>::infinity(), {}, {}};
  const auto take = [&](const PairDistance& candidate) {
    if (candidate.distance < best.distance) best = candidate;
  };
  for (std::size_t i = 0; i < 3; ++i) {
    const Vec3 q = nearest(second, first[i]);
    take({norm(first[i] - q), first[i], q});
    const Vec3 r = nearest(first, second[i]);
    take({norm(second[i] - r), r, second[i]});
    for (std::size_t k = 0; k < 3; ++k) {
      take(segment_distance(first[i], first[(i + 1) % 3], second[k], second[(k + 1) % 3]));
    }
    if (const auto p = crossing(first[i], first[(i + 1) % 3], second)) take({0.0, *p, *p});
    if (const auto p = crossing(second[i], second[(i + 1) % 3], first)) take({0.0, *p, *p});
  }
  return best;
}

}  // namespace cowlwright::mold
