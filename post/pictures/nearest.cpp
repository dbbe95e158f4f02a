// SPDX-License-Identifier: GPL-3.0-or-later
//
// By the region of the triangle's plane that the point projects to.
#include "post/pictures/nearest.h"

namespace cowlwright::post {

using base::Vec3;

NearestPlace nearest_on_triangle(const Vec3& point, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 ab = b - a;
  const Vec3 ac = c - a;
  const Vec3 ap = point - a;
  const double d1 = dot(ab, ap);
  const double d2 = dot(ac, ap);
  const auto result = [&](double v, double w) {
    return NearestPlace{{1.0 - v - w, v, w}, norm(ap - v * ab - w * ac)};
  };
  if (d1 <= 0.0 && d2 <= 0.0) return result(0.0, 0.0);
  const Vec3 bp = point - b;
  const double d3 = dot(ab, bp);
  const double d4 = dot(ac, bp);
  if (d3 >= 0.0 && d4 <= d3) return result(1.0, 0.0);
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 && d1 > d3) return result(d1 / (d1 - d3), 0.0);
  const Vec3 cp = point - c;
  const double d5 = dot(ab, cp);
  const double d6 = dot(ac, cp);
  if (d6 >= 0.0 && d5 <= d6) return result(0.0, 1.0);
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 && d2 > d6) return result(0.0, d2 / (d2 - d6));
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0 && d4 - d3 + d5 - d6 > 0.0) {
    const double w = (d4 - d3) / ((d4 - d3) + (d5 - d6));
    return result(1.0 - w, w);
  }
  const double sum = va + vb + vc;
  return sum > 0.0 ? result(vb / sum, vc / sum) : result(0.0, 0.0);
}

}  // namespace cowlwright::post
