// SPDX-License-Identifier: GPL-3.0-or-later
//
// Size, area, and what the laminate weighs.
#pragma once

#include "geometry/mold/draft.h"

namespace cowlwright::mold {

/// A lay-up. The defaults are common practice for a light cowl laid up by hand, no source.
struct LayUp {
  std::vector<double> plies{0.2, 0.2, 0.2};  ///< dry cloth [kg/m²]
  double resin_share = 0.45;                 ///< resin's share of the laminate's mass, 0 to below 1
  double gel_thickness = 0.0004;             ///< [m]
  double gel_density = 1200.0;               ///< [kg/m³]
};

struct Extent {
  Vec3 low;
  Vec3 high;
  double area = 0.0;                 ///< [m²]
  std::vector<double> area_of_half;  ///< [m²], in the order of the pulls
  double laminate_mass = 0.0;        ///< [kg]
  double gel_mass = 0.0;             ///< [kg]
};
Extent measure_extent(const Sheet& sheet, const Halves& halves, std::size_t n_pulls, const LayUp& lay_up);

}  // namespace cowlwright::mold
