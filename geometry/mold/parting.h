// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which half of the mold takes which face, and the line between the halves.
#pragma once

#include "geometry/mold/undercut.h"

#include <string>

namespace cowlwright::mold {

/// A plane given as a station: "BL 0" is the plane of symmetry, "WL -50" lies 50 mm below the shaft line, "FS
/// 300" 300 mm behind the propeller plane.
struct SplitPlane {
  Vec3 normal;          ///< unit: along x, y or z
  double offset = 0.0;  ///< dot(normal, p) on the plane [m]
  std::string text;     ///< as given
};
/// @throws InputError  naming the text and the form wanted.
SplitPlane parse_split(const std::string& text);

/// Halves by a plane: each face goes with the pull that points to its side. Pulls along the plane are loose
/// pieces and take what their half cannot draw but they can.
/// @throws InputError  when no pull points to one of the sides.
Halves halves_by_plane(const Sheet& sheet,
                       std::span<const Vec3> pulls,
                       std::span<const Sight> sights,
                       const SplitPlane& plane);

/// Halves that cost least: the undercut area left, a quarter of the area with a draft below `error_limit`, a
/// tenth of that below `warning_limit` [rad], 0.15 of what goes to loose pieces (the third pull on), and
/// `line_cost` [m² per m of line, so m] to keep the line short and clean. Two pulls: the least there is (a
/// minimum cut); more: pull by pull until nothing gains. Islands that no mold could have then go to the half
/// round them: of the first two pulls those below 2 % of the surface, of others (loose pieces) those below 10
/// cm².
struct PartingCosts {
  double error_limit = 0.0;
  double warning_limit = 0.0;
  double line_cost = 0.002;
};
Halves proposed_halves(const Sheet& sheet,
                       const CornerNormals& normals,
                       std::span<const Vec3> pulls,
                       std::span<const Sight> sights,
                       const PartingCosts& costs);

/// Share of each face that its own half cannot draw, nor another that it touches: the line is known to one
/// facet.
std::vector<double> undercut_shares(const Sheet& sheet, const Halves& halves, std::span<const Sight> sights);

/// The line between the halves.
struct PartingLine {
  std::vector<std::vector<Vec3>> pieces;   ///< polylines; closed when the ends are equal; the longest first
  std::vector<std::vector<Vec3>> normals;  ///< the surface's, at each of their points
  double length = 0.0;                     ///< [m]
  Vec3 plane_point;                        ///< of the plane that fits it best
  Vec3 plane_normal;
  double off_plane = 0.0;  ///< largest distance of the line from that plane [m]
};
/// Along the facets' edges between halves, smoothed over a few facets' widths.
PartingLine line_between(const Sheet& sheet, const Halves& halves);
/// Exactly where the plane cuts the surface.
PartingLine line_of_plane(const Sheet& sheet, const SplitPlane& plane);

}  // namespace cowlwright::mold
