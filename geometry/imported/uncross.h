// SPDX-License-Identifier: GPL-3.0-or-later
//
// Takes crossing triangles out and closes the gap.
#pragma once

#include "geometry/shape/surface.h"

#include <cstddef>

namespace cowlwright::imported {

struct Uncrossed {
  shape::Surface surface;  ///< triangles made anew have the patch `patch_names.size()`
  std::size_t n_left = 0;  ///< pairs that still cross
};

/// Leaves out the triangles that cross, with none to three rings of neighbours, what has come loose by that,
/// and closes the gaps over their borders' points; the fewest rings that help, as often as it helps. Where a
/// gap runs into an open border, the border takes its line. What is lost by it the caller measures.
///
/// @param surface      every edge with at most two triangles of opposite sense, every point with one fan.
/// @param n_crossings  pairs that cross now.
Uncrossed remove_crossings(const shape::Surface& surface, std::size_t n_crossings);

}  // namespace cowlwright::imported
