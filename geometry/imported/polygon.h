// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cuts a plane or nearly plane polygon into triangles. Internal to this folder.
#pragma once

#include "geometry/base/vec3.h"

#include <array>
#include <cstddef>
#include <span>
#include <vector>

namespace cowlwright::imported {

/// Ear clipping in the plane of the polygon's mean normal; a concave polygon is cut inside. One that crosses
/// itself is cut all the same, into as many triangles, which then overlap.
///
/// @param corners  (n >= 3) in order round the polygon.
/// @return         n - 2 triangles as positions in `corners`, with the polygon's sense.
std::vector<std::array<std::size_t, 3>> cut_polygon(std::span<const base::Vec3> corners);

}  // namespace cowlwright::imported
