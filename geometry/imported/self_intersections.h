// SPDX-License-Identifier: GPL-3.0-or-later
//
// Triangles of one surface that cross each other.
#pragma once

#include "geometry/shape/surface.h"

#include <cstdint>
#include <utility>
#include <vector>

namespace cowlwright::imported {

/// Pairs of triangles that meet elsewhere than in the corners and edges they share by index.
///
/// @param surface  every edge with at most two triangles of opposite sense, every point with one fan.
/// @throws ResultError  when it is not so.
std::vector<std::pair<std::uint32_t, std::uint32_t>> crossing_triangles(const shape::Surface& surface);

}  // namespace cowlwright::imported
