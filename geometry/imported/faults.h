// SPDX-License-Identifier: GPL-3.0-or-later
//
// What is wrong with a surface, counted and located. Nothing is changed.
#pragma once

#include "geometry/shape/surface.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <vector>

namespace cowlwright::imported {

struct FaultLimits {
  double tiny_edge =
      5e-5;  ///< [m] a triangle is tiny when its longest edge is shorter; common practice, no source
  double needle_ratio =
      100;  ///< a needle: longest edge over height on it is more; common practice, no source
  double crumb_share =
      1e-3;  ///< a crumb: a shell with less than this share of the whole area; common practice, no source
  std::size_t most_intersections = 1'000'000;  ///< pairs; the search ends there
  std::size_t most_tests_per_face = 1000;      ///< pairs of boxes tested, on average; the search ends there
};

/// An open edge of the surface: a hole, or the rim of a sheet. Which of both it is only the user knows.
struct BoundaryLoop {
  std::size_t n_edges = 0;
  double length = 0;    ///< [m] along the edges
  double diagonal = 0;  ///< [m] largest distance of two of its points; above 2000 points found to 3 %
  base::Vec3 centre{};  ///< [m] mean of its edges' middles, weighted with their lengths
};

/// Faces connected through edges, copies of faces left out.
struct Shell {
  std::size_t n_faces = 0;
  double area = 0;         ///< [m²]
  base::Vec3 centre{};     ///< [m] of the area
  bool is_closed = false;  ///< every edge has two faces
  bool is_crumb = false;
  bool is_one_sided = false;  ///< no turning of faces makes all agree, as in a Moebius band
  bool is_inside_out =
      false;  ///< closed, oriented inward, and in the box of none of the 1000 largest closed ones
};

/// Two shells that cross or touch in more than corners, or one shell whose faces all exist twice (a == b).
struct ShellOverlap {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  std::size_t n_pairs = 0;  ///< crossing pairs of faces, or copied faces
  base::Vec3 first{};       ///< [m]
};

/// Numbers are indices into the surface's triangles or points, in ascending order.
struct Faults {
  std::vector<Shell> shells{};            ///< in the order of their first face
  std::vector<std::uint32_t> shell_of{};  ///< (n_triangles); no_shell for a face with a repeated corner
  std::vector<BoundaryLoop> loops{};      ///< the longest first
  std::vector<std::array<std::uint32_t, 2>> boundary_edges{};  ///< pairs of points
  std::size_t n_disagreeing_edges = 0;                         ///< traversed twice in one sense
  std::vector<std::uint32_t>
      flipped_faces{};  ///< the smaller side of each sheet whose faces disagree: to be turned
  std::vector<std::uint32_t> duplicated_faces{};  ///< copies beyond the first, of either sense
  std::vector<std::array<std::uint32_t, 2>>
      intersections{};                ///< pairs of faces that meet in more than what they share
  bool has_all_intersections = true;  ///< false when the search ended at a limit
  std::vector<std::array<std::uint32_t, 2>>
      non_manifold_edges{};                          ///< with three faces or more; pairs of points
  std::vector<std::uint32_t> non_manifold_points{};  ///< where fans of faces meet in the point alone
  std::vector<ShellOverlap> overlaps{};
  std::vector<std::uint32_t>
      degenerate_faces{};  ///< a repeated corner, or a height below what single precision resolves
  std::vector<std::uint32_t> tiny_faces{};    ///< those that are not degenerate
  std::vector<std::uint32_t> needle_faces{};  ///< those that are neither degenerate nor tiny
  std::vector<std::uint32_t> unused_points{};

  bool is_closed() const { return boundary_edges.empty() && non_manifold_edges.empty(); }
  static constexpr std::uint32_t no_shell = std::numeric_limits<std::uint32_t>::max();
};

/// Finds all of them, on all cores. Faces are neighbours when they share two points of one index: a surface
/// whose corners nearly meet is open there. Predicates on positions are exact. 10 million triangles
/// take 0.75 GB with their surface, 3.8 GB when no two share a corner.
///
/// @param surface  any; indices in range and coordinates finite, as read_surface() gives.
Faults diagnose(const shape::Surface& surface, const FaultLimits& limits = {});

/// VTK XML PolyData (.vtp): vertices (non-manifold points), lines (open and non-manifold edges) and
/// triangles, with a cell array of 0 and 1 per kind of fault, `shell` and `patch`. @throws ExternalError when
/// it cannot be written.
void write_faults_vtp(const shape::Surface& surface, const Faults& faults, const std::filesystem::path& path);

}  // namespace cowlwright::imported
