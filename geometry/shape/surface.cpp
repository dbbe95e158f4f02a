// SPDX-License-Identifier: GPL-3.0-or-later
//
// Areas, volumes and extents of triangulated surfaces.
#include "geometry/shape/surface.h"

#include <algorithm>
#include <limits>

namespace cowlwright::shape {

double surface_area(const Surface& surface, const std::string& patch_name) {
  double sum = 0.0;
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    if (!patch_name.empty() && surface.patch_names[surface.patch[i]] != patch_name) continue;
    const auto& t = surface.triangles[i];
    const base::Vec3& a = surface.points[t[0]];
    sum += 0.5 * norm(cross(surface.points[t[1]] - a, surface.points[t[2]] - a));
  }
  return sum;
}

double enclosed_volume(const Surface& surface) {
  // Taken about a point of the surface: a far origin would cost digits.
  if (surface.points.empty()) return 0.0;
  const base::Vec3 o = surface.points.front();
  double sum = 0.0;
  for (const auto& t : surface.triangles) {
    sum += dot(surface.points[t[0]] - o, cross(surface.points[t[1]] - o, surface.points[t[2]] - o));
  }
  return sum / 6.0;
}

Box bounding_box(const Surface& surface) {
  constexpr double far = std::numeric_limits<double>::infinity();
  Box box{{far, far, far}, {-far, -far, -far}};
  for (const base::Vec3& p : surface.points) {
    box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y), std::min(box.low.z, p.z)};
    box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y), std::max(box.high.z, p.z)};
  }
  return box;
}

double volume(const Box& box) {
  const base::Vec3 size = box.high - box.low;
  return size.x * size.y * size.z;
}

}  // namespace cowlwright::shape
