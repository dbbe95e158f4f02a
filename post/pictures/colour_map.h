// SPDX-License-Identifier: GPL-3.0-or-later
//
// The colours of pictures: our own curves through CIELAB whose steps are equally far apart to the eye and
// whose lightness never turns back, so that a print in grey still reads; the diverging one is lightest in its
// middle and falls alike on both sides.
#pragma once

#include <array>
#include <span>
#include <vector>

namespace cowlwright::post {

/// Red, green, blue, each 0..1, coded for a screen (sRGB).
using Colour = std::array<double, 3>;

/// CIELAB under daylight D65: lightness 0..100, green-red, blue-yellow.
struct Lab {
  double lightness = 0.0;
  double green_red = 0.0;
  double blue_yellow = 0.0;
};

/// Source: CIE 15 (CIELAB) and IEC 61966-2-1 (sRGB), white point D65.
Lab to_lab(const Colour& colour);
/// The colour's linear parts may lie outside 0..1 when a screen cannot show it; they are not clipped.
std::array<double, 3> to_linear(const Lab& lab);
/// Clips what a screen cannot show.
Colour to_colour(const Lab& lab);

/// Distance as the eye sees it, CIE 1976.
double difference(const Lab& a, const Lab& b);

enum class ColourMap {
  Diverging,  ///< blue below, grey-white at the middle, brown-red above: pressure coefficient
  Loss,       ///< dark violet over green to yellow: total pressure coefficient; dark where it is lost
  Speed,      ///< dark blue over grey to yellow
  Heat        ///< light yellow over orange to dark red; shows on white paper from its first step on
};

/// The control points of a map's curve: one Bezier curve, or two with a common middle point for the diverging
/// one.
std::vector<std::vector<Lab>> map_curves(ColourMap map);

/// `n` >= 2 colours from the low to the high end, at equal lengths along the curve in CIELAB.
std::vector<Colour> map_colours(ColourMap map, int n);

}  // namespace cowlwright::post
