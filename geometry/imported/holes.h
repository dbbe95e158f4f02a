// SPDX-License-Identifier: GPL-3.0-or-later
//
// Holes of a surface: measured, and closed when small enough.
#pragma once

#include "geometry/imported/mend.h"
#include "geometry/imported/topology.h"

#include <string>
#include <vector>

namespace cowlwright::imported {

/// A hole that stays.
struct Opening {
  base::Vec3 centre;         ///< mean of its border's points [m]
  double extent = 0.0;       ///< greatest distance between two points of the border [m]
  double perimeter = 0.0;    ///< [m]
  double area = 0.0;         ///< of its shadow along its mean normal [m²]
  std::size_t n_points = 0;  ///< of the border
};

/// @param surface  as orient() leaves it. Order: largest first.
std::vector<Opening> openings(const shape::Surface& surface);

Opening measure_opening(const shape::Surface& surface, const BorderLoop& loop);

/// Name of the patch that closed holes get.
inline const std::string filled_patch = "filled";

struct Filled {
  std::size_t n_holes = 0;
  std::size_t n_triangles = 0;
  double area = 0.0;      ///< of the new triangles [m²]
  double greatest = 0.0;  ///< extent of the largest hole closed [m]
  std::size_t n_left_over =
      0;  ///< small enough, but no fill was found, or it is a crumb's outline and not a hole
};

/// Closes every hole with an extent of at most `largest` [m] with triangles over its border's points. A
/// border whose lid has more than half of its shell's area is the outline of a sheet: it stays.
Filled fill_holes(TracedSurface& traced, double largest);

/// The surface and a lid over each of its holes; `first_lid` is the number of the first lid triangle.
struct LiddedSurface {
  shape::Surface surface;
  std::size_t first_lid = 0;
};
LiddedSurface with_lids(const shape::Surface& surface);

}  // namespace cowlwright::imported
