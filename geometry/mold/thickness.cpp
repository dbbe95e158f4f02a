// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/thickness.h"

#include "geometry/base/parallel.h"

#include <limits>

namespace cowlwright::mold {

Thickness section_thickness(const Sheet& sheet, const Tree& tree, bool is_mold_outside, double limit) {
  constexpr double opposite = 0.5;  // cosine of 60 deg
  Thickness result;
  if (!sheet.is_closed) return result;
  constexpr double infinity = std::numeric_limits<double>::infinity();
  std::vector<double> through(sheet.n_faces(), infinity);
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    if (!(sheet.area[f] > 0.0)) return;
    const Vec3 in = (is_mold_outside ? -1.0 : 1.0) * sheet.normal[f];
    const Hit hit = tree.first_hit({sheet.centroid[f], in, 2.0 * sheet.size()},
                                   {static_cast<std::int32_t>(f), -1, -1, -1});
    if (hit.face < 0) return;
    const Vec3& wall = sheet.normal[static_cast<std::size_t>(hit.face)];
    if (dot(wall, in) * (is_mold_outside ? 1.0 : -1.0) > opposite) through[f] = hit.distance;
  });
  result.least = infinity;
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    if (through[f] < limit) result.area_below += sheet.area[f];
    if (!(through[f] < result.least)) continue;
    result.least = through[f];
    result.place = sheet.centroid[f];
    result.is_known = true;
  }
  return result;
}

}  // namespace cowlwright::mold
