// SPDX-License-Identifier: GPL-3.0-or-later
//
// Triangles across the border of a hole.
#pragma once

#include "geometry/base/vec3.h"

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::imported {

/// Triangles over a closed polygon in space, no new points, each in the sense of the polygon; as flat as the
/// border lets them be, then of least area. Empty when there are none that do not cross.
///
/// @param polygon  [m], at least three points, in order round, the first not repeated.
std::vector<std::array<std::uint32_t, 3>> fill_polygon(std::span<const base::Vec3> polygon);

}  // namespace cowlwright::imported
