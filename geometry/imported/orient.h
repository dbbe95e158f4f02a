// SPDX-License-Identifier: GPL-3.0-or-later
//
// From triangles in any sense to oriented shells whose every edge has at most two triangles.
#pragma once

#include "geometry/shape/surface.h"

#include <cstddef>

namespace cowlwright::imported {

struct Oriented {
  std::size_t n_turned = 0;         ///< triangles whose sense was changed
  std::size_t n_split_points = 0;   ///< copies of points made where more than one fan met
  std::size_t n_crowded_edges = 0;  ///< edges with more than two triangles
  std::size_t n_one_sided = 0;      ///< edges cut because the shell has only one side (Moebius strip)
};

/// 1. Neighbours get one sense. At a crowded edge, triangles of one shell stay together, the others pair up
/// as
///    flat as they can; what is left over gets an open edge.
/// 2. Each shell keeps the sense that most of its area has.
/// 3. Points where several fans meet become one point for each.
/// Afterwards every edge has one or two triangles of opposite sense and every point one fan.
Oriented orient(shape::Surface& surface);

/// Turns closed shells outward, or inward when they lie within another one (a cavity), and open ones so that
/// the body they enclose with flat lids has a positive volume. A sheet that bulges next to nothing stays as
/// it is.
///
/// @param surface  as orient() leaves it.
/// @return         number of triangles turned.
std::size_t turn_outward(shape::Surface& surface);

/// Signed volume [m³] with a flat lid (a fan from its middle) over every hole; that of the closed parts is
/// exact.
/// @param surface  as orient() leaves it.
double lidded_volume(const shape::Surface& surface);

}  // namespace cowlwright::imported
