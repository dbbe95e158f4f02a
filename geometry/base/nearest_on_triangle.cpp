// SPDX-License-Identifier: GPL-3.0-or-later
//
// Regions of Voronoi by signs of barycentric terms.
#include "geometry/base/nearest_on_triangle.h"

namespace cowlwright::base {

OnTriangle nearest_on_triangle(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p) {
  const Vec3 ab = b - a, ac = c - a, ap = p - a, bp = p - b, cp = p - c;
  const double d1 = dot(ab, ap), d2 = dot(ac, ap);
  if (d1 <= 0.0 && d2 <= 0.0) return {a, {1.0, 0.0, 0.0}, 4};
  const double d3 = dot(ab, bp), d4 = dot(ac, bp);
  if (d3 >= 0.0 && d4 <= d3) return {b, {0.0, 1.0, 0.0}, 5};
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 && d1 > d3) {
    const double v = d1 / (d1 - d3);
    return {a + v * ab, {1.0 - v, v, 0.0}, 1};
  }
  const double d5 = dot(ab, cp), d6 = dot(ac, cp);
  if (d6 >= 0.0 && d5 <= d6) return {c, {0.0, 0.0, 1.0}, 6};
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 && d2 > d6) {
    const double w = d2 / (d2 - d6);
    return {a + w * ac, {1.0 - w, 0.0, w}, 3};
  }
  const double va = d3 * d6 - d5 * d4;
  const double e1 = d4 - d3, e2 = d5 - d6;
  if (va <= 0.0 && e1 >= 0.0 && e2 >= 0.0 && e1 + e2 > 0.0) {
    const double w = e1 / (e1 + e2);
    return {b + w * (c - b), {0.0, 1.0 - w, w}, 2};
  }
  const double sum = va + vb + vc;
  if (!(sum > 0.0)) return {a, {1.0, 0.0, 0.0}, 4};
  const double v = vb / sum, w = vc / sum;
  return {a + v * ab + w * ac, {1.0 - v - w, v, w}, 0};
}

}  // namespace cowlwright::base
