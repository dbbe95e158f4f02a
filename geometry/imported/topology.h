// SPDX-License-Identifier: GPL-3.0-or-later
//
// Shells and holes of a surface that is being mended.
#pragma once

#include "geometry/shape/connectivity.h"
#include "geometry/shape/surface.h"

#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::imported {

using shape::DisjointSets;
using shape::drop_unused_points;
using shape::edge_uses;
using shape::EdgeUse;
using shape::for_each_edge;

/// Shell number of each triangle, from 0 in order of first triangle; triangles that share an edge are one
/// shell.
std::vector<std::uint32_t> shells(const shape::Surface& surface);

/// The border of one hole: points in the sense of the triangles that would close it.
struct BorderLoop {
  std::vector<std::uint32_t> points;
  std::uint32_t triangle = 0;  ///< one beside it
};

/// @param surface  every edge with at most two triangles of opposite sense, every point with one fan.
std::vector<BorderLoop> border_loops(const shape::Surface& surface);

}  // namespace cowlwright::imported
