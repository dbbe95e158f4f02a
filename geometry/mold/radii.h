// SPDX-License-Identifier: GPL-3.0-or-later
//
// Radii of the mold's face. A hollow of the mold (an outside edge of the part) has an inside radius: cloth
// has to be pressed into it. An edge of the mold (a hollow of the part) has an outside radius.
#pragma once

#include "geometry/mold/normals.h"

namespace cowlwright::mold {

/// What the fit gives for each face.
struct Curvatures {
  std::vector<double> hollow;      ///< (n_faces) largest curvature of the mold's hollows [1/m], >= 0
  std::vector<double> edge;        ///< (n_faces) largest curvature of the mold's edges [1/m], >= 0
  std::vector<double> resolvable;  ///< (n_faces) smallest radius the facets there can show [m]
};

/// Least-squares fit of the smooth normal as a linear function of place in the tangent plane, over all faces
/// whose centroid lies within `window` [m] of the face's own and which no sharp edge parts from it; of larger
/// facets over the face alone. This is the second-order fit of the surface without its bias: a sphere and a
/// cylinder come out exact for any window. A radius needs an arc of 90 deg three facets, or two windows, long
/// to be shown: below that it is not resolved.
Curvatures fit_curvatures(const Sheet& sheet,
                          const Creases& creases,
                          const CornerNormals& normals,
                          double window);

enum class Bend { Hollow, Edge };

struct SmallestRadius {
  bool is_found = false;    ///< false: flat, or nothing but sharp edges and what is not resolved
  double radius = 0.0;      ///< [m]
  double resolvable = 0.0;  ///< there [m]
  Vec3 place;
  double area_below = 0.0;  ///< area of radii below the limit [m²], resolved or not, without sharp edges
  double area_unresolved = 0.0;  ///< area of radii too small for the facets there [m²]
};
/// The radius below which `least_area` [m²] of the surface lies: a single odd facet is no radius.
SmallestRadius smallest_radius(
    const Sheet& sheet, const Curvatures& curvatures, Bend bend, double limit, double least_area);

/// One run of sharp edges.
struct SharpRun {
  double length = 0.0;      ///< [m]
  double turn = 0.0;        ///< largest [rad]
  double resolvable = 0.0;  ///< the radius is below this [m]: median over the run
  Vec3 place;               ///< middle of an edge near its middle
};
/// The longest first.
std::vector<SharpRun> sharp_runs(const Sheet& sheet, const Creases& creases, Bend bend);

}  // namespace cowlwright::mold
