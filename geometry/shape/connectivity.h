// SPDX-License-Identifier: GPL-3.0-or-later
//
// How the triangles of a surface hang together: its open edges, joined to closed loops, and its pieces.
#pragma once

#include "geometry/shape/surface.h"

#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::shape {

/// Every loop of open edges as indices into surface.points, each in the sense in which its triangles pass
/// along it, from its lowest index on; the longest loop first.
///
/// @throws InputError  when an edge has more than two triangles or two of one sense, or two loops touch in a
/// point; names the place.
std::vector<std::vector<std::uint32_t>> edge_loops(const Surface& surface);

/// Length round a loop [m].
double loop_length(const Surface& surface, std::span<const std::uint32_t> loop);

/// Box round a loop [m].
Box loop_box(const Surface& surface, std::span<const std::uint32_t> loop);

/// Number of pieces that no triangle joins.
std::size_t n_pieces(const Surface& surface);

}  // namespace cowlwright::shape
