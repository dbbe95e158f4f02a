// SPDX-License-Identifier: GPL-3.0-or-later
//
// A triangulated surface with a named patch per triangle.
#pragma once

#include "geometry/base/vec3.h"

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::shape {

struct Surface {
  std::vector<base::Vec3> points;  ///< [m]
  std::vector<std::array<std::uint32_t, 3>>
      triangles;                     ///< indices into points, counter-clockwise seen from outside
  std::vector<std::uint16_t> patch;  ///< (n_triangles) index into patch_names
  std::vector<std::string> patch_names;
};

/// Area [m²] of one patch, of all patches when `patch_name` is empty. 0 for a name that is not there.
double surface_area(const Surface& surface, const std::string& patch_name = {});

/// Signed volume [m³] enclosed by a closed surface; positive when its normals point out.
double enclosed_volume(const Surface& surface);

struct Box {
  base::Vec3 low;
  base::Vec3 high;
};
Box bounding_box(const Surface& surface);

/// Volume of a box [m³].
double volume(const Box& box);

/// ASCII STL with one `solid` per patch, in m. Empty patches are not written. (Asked for by cases/foam.)
std::string stl_text(const Surface& surface);

/// stl_text() into a file.
/// @throws ExternalError  when the file cannot be written.
void write_stl(const Surface& surface, const std::filesystem::path& path);

/// VTK XML PolyData (.vtp, ASCII) with the cell array `patch` (index) and field data with the names.
void write_vtp(const Surface& surface, const std::filesystem::path& path);

/// Reads ASCII STL with named solids as written by write_stl(). @throws InputError with file and line.
Surface read_stl(const std::filesystem::path& path);

}  // namespace cowlwright::shape
