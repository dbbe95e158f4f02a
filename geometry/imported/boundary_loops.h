// SPDX-License-Identifier: GPL-3.0-or-later
//
// Open edges strung into loops. Internal to this folder.
#pragma once

#include "geometry/imported/faults.h"

namespace cowlwright::imported {

/// An edge with one face, and which fan of faces it belongs to at either end.
struct OpenEdge {
  std::array<std::uint32_t, 2> points{};
  std::array<std::uint32_t, 2> fans{};
};

/// Where several loops touch in a point, each goes on along its own fan of faces. The longest loop comes
/// first.
std::vector<BoundaryLoop> boundary_loops(const shape::Surface& surface, const std::vector<OpenEdge>& edges);

}  // namespace cowlwright::imported
