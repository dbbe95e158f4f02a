// SPDX-License-Identifier: GPL-3.0-or-later
//
// The alternator: a cylinder along x in the upper deck, held by the front ramp of its floor. Where the ramp
// does not reach it, a foot under its front half does.
#pragma once

#include "geometry/shape/layout.h"
#include "geometry/shape/surface.h"

namespace cowlwright::shape {

/// Cylinder and foot, closed, of patch alternator. Only for a shape that has one.
Surface alternator_body(const ShapeSpec& spec);

/// Whether the cylinder's rear sinks into the ramp, so that it needs no foot.
bool alternator_sinks_into_ramp(const ShapeSpec& spec);

/// Volume of the body behind a station no further forward than the end of the ramp, in the deck's half on
/// `side` [m³]; 0 without an alternator there.
double alternator_volume_behind(const ShapeSpec& spec, base::Side side, double station);

}  // namespace cowlwright::shape
