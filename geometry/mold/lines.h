// SPDX-License-Identifier: GPL-3.0-or-later
//
// Lines on a surface: joining edges to polylines, smoothing, the plane that fits best.
#pragma once

#include "geometry/base/vec3.h"

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::mold {

using base::Vec3;

/// Joins segments given by the numbers of their two ends to chains of numbers. A closed chain begins and ends
/// with the same number. Chains end where one or more than two segments meet.
std::vector<std::vector<std::uint64_t>> join_segments(std::span<const std::array<std::uint64_t, 2>> segments);

double line_length(std::span<const Vec3> line);

/// A staircase of edges as the line it stands for: low-pass smoothing that shrinks nothing (alternating steps
/// of +0.5 and -0.53 towards the neighbours' mean, Taubin 1995). The ends of an open line stay, no point
/// moves more than 10 mm.
std::vector<Vec3> smoothed(std::vector<Vec3> line);

struct FittedPlane {
  Vec3 point;
  Vec3 normal;             ///< unit; its largest component is positive
  double off_plane = 0.0;  ///< largest distance of a point [m]
};
/// Least squares over the lines' length.
FittedPlane fit_plane(std::span<const std::vector<Vec3>> lines);

}  // namespace cowlwright::mold
