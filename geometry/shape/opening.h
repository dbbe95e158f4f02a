// SPDX-License-Identifier: GPL-3.0-or-later
//
// An inlet's opening: everything that depends on whether it is round, oval (an ellipse) or rectangular with
// rounded corners. Sizes are those of the throat.
#pragma once

#include "geometry/shape/builder.h"
#include "geometry/shape/spec.h"

#include <array>
#include <vector>

namespace cowlwright::shape {

double opening_width(const InletSpec& inlet);       ///< along y [m]
double opening_height(const InletSpec& inlet);      ///< along z [m]
double opening_area(const InletSpec& inlet);        ///< [m²]
double opening_perimeter(const InletSpec& inlet);   ///< [m]
double hydraulic_diameter(const InletSpec& inlet);  ///< 4 area / perimeter [m]
/// Radius of the smallest circle round the centre that holds the opening [m].
double opening_reach(const InletSpec& inlet);

/// Full opening angle of the cone with the diffuser's length and end areas [rad]; 0 without a diffuser.
double diffuser_angle(const InletSpec& inlet);

/// A point of the opening's edge relative to its centre, and the unit normal there, outward.
struct ContourPoint {
  double y = 0.0;
  double z = 0.0;
  double normal_y = 0.0;
  double normal_z = 0.0;
};

/// Some `n_around` points on the true edge, counter-clockwise in the y-z plane, mirror-symmetric about both
/// axes and none on them; the points of its edge as they are for an inlet of an own cowl.
std::vector<ContourPoint> opening_contour(const InletSpec& inlet, int n_around);

/// The edge in the plane at `x`, scaled about its centre, then moved outward by `offset` [m]. The polygon of
/// the bare edge has the opening's true area.
LoftSection opening_section(const InletSpec& inlet,
                            const std::array<double, 2>& centre_yz,
                            double x,
                            double scale,
                            double offset,
                            int n_around);

}  // namespace cowlwright::shape
