// SPDX-License-Identifier: GPL-3.0-or-later
//
// A tight skin round a surface too dirty for repair alone, judged against what it was wrapped round.
#pragma once

#include "geometry/imported/repair.h"

#include <string>

namespace cowlwright::imported {

struct WrapSettings {
  double tolerance = 5e-3;        ///< [m], > 0; sets the ball and the offset
  bool accept_shell = false;      ///< a thin shell round an open sheet is what is wanted
  double deviation_limit = 5e-3;  ///< [m], > 0: greatest deviation allowed, usually the tolerance
};

/// What the wrap has become.
enum class WrapKind {
  Body,   ///< the outside of the body given, `offset` larger all round
  Shell,  ///< both sides of an open sheet: a thin closed solid, about two offsets thick
};

struct WrappedSurface {
  shape::Surface surface{};  ///< closed; patch names from the nearest triangle of what was wrapped
  WrapKind kind = WrapKind::Body;
  double alpha = 0.0;      ///< radius of the ball that rolls over the outside [m]
  double offset = 0.0;     ///< distance of the wrap from what it wraps [m]
  double thickness = 0.0;  ///< of a Shell: twice the volume over the area of both its sides [m]
  SurfaceCondition before{}, after{};
  Deviation deviation{};           ///< of the wrap from what was wrapped
  DeviationFigures coverage{};     ///< of what was wrapped by the wrap
  std::string broken_tolerance{};  ///< as in RepairedSurface
};

/// Ball and offset for a tolerance: the ball's radius is the tolerance, so a right-angled notch is rounded by
/// 0.41 of it; the offset is a tenth of it, so that offset and rounding stay within the tolerance together.
/// Notches sharper than 60 deg round by more than the radius: the deviation tells.
double wrap_alpha(double tolerance);
double wrap_offset(double tolerance);

/// Wraps a repaired surface.
///
/// A wrap goes through every opening its ball fits through, and then lines the inside: closed, clean and
/// wrong. Found in two ways, each enough: more than 0.1 % of the wrap's points inside the body that the
/// surface encloses with lids over its openings, further than the ball's radius from any lid; and a volume
/// below that body's by more than the lids could sag.
///
/// @param surface  as repair() leaves it: welded, oriented, small holes closed.
/// @throws InputError   for settings out of range.
/// @throws ResultError  when the wrap entered an opening and no shell was asked for: names the size of the
/// opening;
///                      when a shell was asked for and the surface is closed; when the wrap is no closed
///                      surface.
WrappedSurface wrap(const shape::Surface& surface, const WrapSettings& settings);

}  // namespace cowlwright::imported
