// SPDX-License-Identifier: GPL-3.0-or-later
//
// Closed shells that run through each other become the one body they cover together.
#pragma once

#include "geometry/shape/surface.h"

#include <cstddef>
#include <string>

namespace cowlwright::imported {

struct UnitedShells {
  shape::Surface surface;            ///< as given when n_united is 0
  std::size_t n_united = 0;          ///< shells that went into another
  std::size_t n_crossings_left = 0;  ///< pairs of triangles that cross in `surface`
  std::string note{};
};

/// What lies inside another shell is lost, what is outside stays exactly. Shells that are open or cross
/// themselves stay as they are, and so do all when a union fails.
///
/// @param surface  consistently oriented, outward.
UnitedShells unite_crossing_shells(const shape::Surface& surface);

/// Gives triangles with an unknown patch that of the nearest triangle of `from`.
void take_patches(shape::Surface& surface, const shape::Surface& from);

}  // namespace cowlwright::imported
