// SPDX-License-Identifier: GPL-3.0-or-later
//
// Draft: the angle between the surface and the direction its part of the mold is drawn off. It is positive
// where the mold comes free, 0 on a wall along the pull, negative where the surface faces away.
#pragma once

#include "geometry/mold/normals.h"

#include <span>

namespace cowlwright::mold {

/// Which pull (index) each face is drawn by.
using Halves = std::vector<std::uint8_t>;

/// At most this many parts of a mold.
inline constexpr std::size_t most_pulls = 8;

/// Halves met at the corners of each face, bit k for half k: more than its own where the parting line passes.
/// The line may run across such a face, so only what no half it touches can draw is held against it.
std::vector<std::uint8_t> halves_touched(const Sheet& sheet, const Halves& halves);

/// Of a face with these shares under some condition in two halves, the share under it in both when every
/// point is so in one of them at least.
double share_in_both(double own, double other);

/// Draft of the smooth surface at each face's centroid [rad], along the pull of its half, or of a half it
/// touches when that is larger. 0 on a face without area.
std::vector<double> draft_angles(const Sheet& sheet,
                                 const CornerNormals& normals,
                                 std::span<const Vec3> pulls,
                                 const Halves& halves);

/// Share (0 to 1) of each face's area whose draft lies below a limit [rad], taken as linear across the face,
/// so that the area does not depend on how fine the facets are.
std::vector<double> share_below(const Sheet& sheet,
                                const CornerNormals& normals,
                                std::span<const Vec3> pulls,
                                const Halves& halves,
                                double limit);

/// Normal of the smooth surface at a point of a face given by its weights at the corners; unit.
Vec3 normal_at(const std::array<Vec3, 3>& corners, const std::array<double, 3>& weight);

}  // namespace cowlwright::mold
