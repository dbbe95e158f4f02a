// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads the surface a user brings: STL (ASCII, binary), OBJ, PLY (ASCII, binary of both byte orders), OFF,
// STEP. Files come from strangers: whatever is wrong with one ends in a message, never in a crash or in
// unbounded memory.
#pragma once

#include "geometry/imported/placement.h"
#include "geometry/shape/surface.h"

#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::imported {

/// Bounds of what is read; a larger file is refused with a message that names the bound.
struct ReadLimits {
  std::size_t most_triangles = 12'000'000;  ///< more would take more than 5 GB to judge
  std::size_t most_points = 36'000'000;     ///< three per triangle
  std::size_t most_patches = 65'535;        ///< what a patch index can hold
  double farthest = 1e6;  ///< [m] of a coordinate: beyond, the unit is wrong or the file is damaged
};

/// How finely a STEP file's curved faces become triangles.
struct StepTolerances {
  double deflection = 1e-4;  ///< [m], > 0: largest distance between triangle and face
  double angle = 0.35;       ///< [rad], > 0: largest turn between neighbouring chords of a curve
};

struct ReadOptions {
  ReadLimits limits{};
  StepTolerances step{};
  bool check_step_unit = true;  ///< a STEP file states its unit: the placement's must be the same
};

struct SurfaceFile {
  shape::Surface surface;            ///< only points that a triangle uses
  std::string format;                ///< "binary STL", "OBJ", ...
  std::size_t n_polygons = 0;        ///< faces with more than three corners; they were cut into triangles
  std::size_t n_unused_points = 0;   ///< points in the file that no face uses; they were left out
  base::Vec3 first_unused{};         ///< [m], when there is one
  std::string stated_unit{};         ///< one of file_units(), when the file states it (STEP)
  std::vector<std::string> notes{};  ///< sentences for the report
};

/// Reads a file and puts it into our frame. Corners whose placed coordinates are exactly equal become one
/// point; nothing is welded, turned or left out beyond that. One patch per named solid, group, object or
/// body, named for it (letters, digits, `_`, `-`, `.`; anything else becomes `_`); "surface" where the format
/// has no names. The format is told by the content (STL, PLY, OFF, STEP), else by the extension (OBJ).
/// Normals, colours and textures are not read.
///
/// @throws InputError  naming file, line or byte, what stands there and the rule: absent, not a regular file,
/// cut short,
///                     not a number, not finite, index out of range, a count the file cannot hold, beyond a
///                     limit.
SurfaceFile read_surface_file(const std::filesystem::path& path,
                              const Placement& placement,
                              const ReadOptions& options = {});

/// The surface of read_surface_file() alone.
shape::Surface read_surface(const std::filesystem::path& path, const Placement& placement);

/// What a file that was given without unit or axes looks like: a proposal for the user to judge, never used
/// silently.
struct PlacementProposal {
  std::string unit;         ///< "mm"
  std::string unit_reason;  ///< a sentence
  std::string axes;         ///< "x y z"
  std::string axes_reason;  ///< a sentence
};
/// @throws InputError  as read_surface_file().
PlacementProposal propose_placement(const std::filesystem::path& path);

}  // namespace cowlwright::imported
