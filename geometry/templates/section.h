// SPDX-License-Identifier: GPL-3.0-or-later
//
// Outlines of a surface cut by planes across the frame's axes: fuselage stations (FS, along x), butt lines
// (BL, along y) and water lines (WL, along z).
#pragma once

#include "geometry/shape/surface.h"

#include <array>
#include <string>
#include <vector>

namespace cowlwright::templates {

using Point2 = std::array<double, 2>;  ///< [m]

enum class Cut { Station, ButtLine, WaterLine };

/// "FS", "BL" or "WL".
std::string cut_letters(Cut cut);

struct Curve {
  std::vector<Point2> points;  ///< of a closed curve the first is not repeated at the end
  bool is_closed = false;
};

/// Along all edges, of a closed curve also the last one [m].
double curve_length(const Curve& curve);

/// How far the smooth curve that the facets stand for may bulge from a curve's chords, about [m]: at each
/// corner that turns by less than 30 degrees, a chord's half times the tangent of a quarter of the turn;
/// sharper ones are taken for real.
double facet_bulge(const Curve& curve);

/// One plane's cut. In the drawing's plane the first coordinate runs to the right and the second up. A
/// station is seen from behind, looking forward: (BL, WL). A butt line from the left: (FS, WL). A water line
/// from above: (FS, BL).
struct Section {
  Cut cut = Cut::Station;
  double value = 0.0;               ///< of the plane [m]
  std::vector<Curve> curves;        ///< longest first
  std::size_t n_branch_points = 0;  ///< where more than two pieces of outline meet: the surface has an edge
                                    ///< with more than two triangles; the outline is parted there
};

/// Cuts with exact comparisons, so that a plane through corners, edges or whole faces of the surface neither
/// loses nor doubles a piece: a corner in the plane counts as beyond it, which gives the section just on the
/// near side of the plane; where that is nothing, as at a flat nose, the section just beyond. A closed
/// surface gives closed curves; a sheet's curves are open where the plane crosses its border. Closed curves
/// run counter-clockwise, open ones from the end that lies further left, or lower.
///
/// @throws InputError  when the plane misses the surface, with the range it spans.
Section cut_section(const shape::Surface& surface, Cut cut, double value);

}  // namespace cowlwright::templates
