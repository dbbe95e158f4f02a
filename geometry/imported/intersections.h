// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pairs of triangles that meet in more than the corners and edges they share. Internal to this folder.
#pragma once

#include "geometry/imported/faults.h"

#include <span>

namespace cowlwright::imported {

struct Intersections {
  std::vector<std::array<std::uint32_t, 2>> pairs{};  ///< lower face first, in ascending order
  bool is_complete = true;
};

/// Exact on the positions as they are. Faces whose entry in `left_out` is not 0, and those without area, are
/// passed over.
Intersections find_intersections(const shape::Surface& surface,
                                 std::span<const std::uint8_t> left_out,
                                 const FaultLimits& limits);

}  // namespace cowlwright::imported
