// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/extent.h"

#include <numeric>

namespace cowlwright::mold {

Extent measure_extent(const Sheet& sheet, const Halves& halves, std::size_t n_pulls, const LayUp& lay_up) {
  Extent extent;
  extent.low = sheet.low;
  extent.high = sheet.high;
  extent.area_of_half.assign(n_pulls, 0.0);
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) extent.area_of_half[halves[f]] += sheet.area[f];
  extent.area = std::accumulate(extent.area_of_half.begin(), extent.area_of_half.end(), 0.0);
  const double cloth = std::accumulate(lay_up.plies.begin(), lay_up.plies.end(), 0.0);
  extent.laminate_mass = extent.area * cloth / (1.0 - lay_up.resin_share);
  extent.gel_mass = extent.area * lay_up.gel_thickness * lay_up.gel_density;
  return extent;
}

}  // namespace cowlwright::mold
