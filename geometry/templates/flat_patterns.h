// SPDX-License-Identifier: GPL-3.0-or-later
//
// What ring, inlet duct and exit lip are made from: flat patterns where the part can be developed, and
// templates with a stated error where it cannot.
#pragma once

#include "geometry/shape/spec.h"
#include "geometry/templates/drawing.h"

#include <vector>

namespace cowlwright::templates {

/// The plate a lip is bent from.
struct Plate {
  double thickness = 0.001;    ///< [m]
  double bend_radius = 0.003;  ///< inside [m]
  double k_factor = 0.44;      ///< neutral line's distance from the inside over the thickness, 0 to 0.5
  double flange = 0.025;       ///< that stays on the skin, to the corner of the outer sides [m]
};

/// A plate bent by `angle`, laid flat, across the bend.
struct BentPlate {
  double setback = 0.0;    ///< from the corner of the outer sides back to where the bend begins [m]
  double allowance = 0.0;  ///< length of the neutral line in the bend [m]
  double developed = 0.0;  ///< flange + lip − 2 setback + allowance [m]
};

/// Setback (R + t) tan(A / 2) and allowance A (R + k t): the geometry of an arc whose neutral line keeps its
/// length, R inside radius, t thickness, A angle, k k-factor. k itself is a measured property of material and
/// tool; 0.44 is common practice for soft sheet with R of about 3 t, no source: bend a test piece.
/// @throws InputError  when a leg is shorter than the setback, a size is not > 0, or k outside 0 to 0.5.
BentPlate bend_flat(const Plate& plate, double lip_length, double angle);

/// A closed strip of a ring's rounding, laid flat.
struct Gores {
  int n = 0;
  double height = 0.0;   ///< along the quarter circle, throat to crest [m]
  double stretch = 0.0;  ///< the worst gore's edge over the arc it stands for, less 1
  std::vector<Curve> outlines;
};

/// Gores of the quarter-round from throat to crest, side by side: straight parts of the opening whole, curved
/// ones by equal turns, as many (8 to 48 to a whole turn) as keep the stretch below 1 %. A ring is doubly
/// curved and cannot be developed; each gore's middle line and its widths are true, its edges are too long by
/// the stretch.
Gores ring_gores(const shape::InletSpec& inlet);

/// Throat and diffuser of a duct opened along a seam at its foot, exact but for the facets: a cylinder and a
/// cone on the opening's outline. Empty without a straight throat or diffuser.
/// @param throat_length  [m], >= 0.
std::vector<Curve> duct_development(const shape::InletSpec& inlet, double throat_length);

/// The exit lip's plate on a curved trailing edge.
struct LipPattern {
  BentPlate bend;
  Curve outline;             ///< flat plate, first coordinate to the right, second forward
  std::vector<Curve> bends;  ///< begin and end of the bend
  std::vector<Curve> slits;  ///< through the flange, so that each tab bends along a straight line
  double bow = 0.0;          ///< of the bend line in the plate [m]
  double tab_spread = 0.0;   ///< sum of the gaps that open between the tabs' ends as they are bent; overlaps
                             ///< when negative [m]
};
/// @throws InputError  as bend_flat().
LipPattern lip_pattern(const shape::ShapeSpec& spec, const Plate& plate);

/// All patterns of a study as drawings with their notes: LIP; for each inlet, or for both when they are
/// alike, RING_..._SECTION (not of a user's own cowl), RING_..._EDGES, RING_..._GORES and DUCT_... .
/// @throws InputError  as bend_flat().
std::vector<Drawing> flat_patterns(const shape::ShapeSpec& spec, const Plate& plate);

}  // namespace cowlwright::templates
