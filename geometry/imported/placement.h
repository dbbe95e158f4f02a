// SPDX-License-Identifier: GPL-3.0-or-later
//
// How the coordinates of a surface file become ours. A file does not say what its numbers and axes mean; the
// user does.
#pragma once

#include "geometry/base/vec3.h"

#include <array>
#include <string>
#include <vector>

namespace cowlwright::imported {

/// p_ours = unit * R * (p_file - origin), R a signed permutation with determinant +1.
struct Placement {
  double unit = 0;                   ///< metres per file unit, > 0
  std::array<base::Vec3, 3> axes{};  ///< rows of R: the file's directions that point aft, right and up
  base::Vec3 origin{};  ///< the origin of our frame (crankshaft line at the propeller plane), in file units
};

/// Symbols read_placement() takes as unit, the commonest first: mm, in, m, cm, ft.
std::vector<std::string> file_units();

/// Metres per unit. Source: NIST SP 811 (2008) app. B for in and ft.
/// @throws InputError  for a unit that is not in file_units().
double file_unit_length(const std::string& unit);

/// @param unit    one of file_units().
/// @param axes    three of x, y, z, each once and with a sign if need be: the file axes that point aft, to
/// the pilot's
///                right and up, "x y z" or "-x y -z".
/// @param origin  three numbers in file units, "0 0 0".
/// @throws InputError  naming the option, what was given and the rule; also for axes that would mirror the
/// surface.
Placement read_placement(const std::string& unit, const std::string& axes, const std::string& origin);

/// A point of the file in our frame [m].
base::Vec3 place(const Placement& placement, const base::Vec3& in_file);

}  // namespace cowlwright::imported
