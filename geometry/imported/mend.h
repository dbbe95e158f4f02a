// SPDX-License-Identifier: GPL-3.0-or-later
//
// The first steps of a repair, on triangles that need not hang together yet. Each says how much it did.
#pragma once

#include "geometry/shape/surface.h"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace cowlwright::imported {

/// A surface under repair that knows where its triangles come from.
struct TracedSurface {
  static constexpr std::uint32_t made = 0xffffffff;  ///< source of a triangle that the repair has added

  shape::Surface surface;
  std::vector<std::uint32_t> source;  ///< (n_triangles) triangle of the surface given, or `made`

  explicit TracedSurface(shape::Surface given);
  void add(const std::array<std::uint32_t, 3>& triangle, std::uint16_t patch, std::uint32_t from);
  /// Leaves out the triangles marked 0. @return their number.
  std::size_t keep(const std::vector<char>& is_kept);
};

struct Moved {
  std::size_t count = 0;
  double greatest = 0.0;  ///< [m]
};

/// Makes one of equal points, then lets points on open or crowded edges join the nearest point within
/// `tolerance`. Points inside a sound surface stay where they are, so a thin wall does not collapse. A point
/// never joins one it shares a triangle with.
Moved weld(TracedSurface& traced, double tolerance);

/// Splits triangles where a point of an open edge lies within `tolerance` of another open edge's inside: the
/// crack between unlike divisions of one seam.
Moved split_at_hanging_points(TracedSurface& traced, double tolerance);

/// Triangles with two equal corners are left out.
std::size_t drop_collapsed(TracedSurface& traced);

/// Of triangles with the same three corners, in whatever sense, the first is kept.
std::size_t drop_duplicates(TracedSurface& traced);

/// Triangles with three corners on a line (less than `least_height` high) give the corner in the middle to
/// the neighbour across their longest edge, or are left out when there is none.
std::size_t drop_flat(TracedSurface& traced, double least_height);

}  // namespace cowlwright::imported
