// SPDX-License-Identifier: GPL-3.0-or-later
//
// The outer skin of a parametric cowl as an open sheet: what a mold or a plug is made to.
#pragma once

#include "geometry/shape/spec.h"
#include "geometry/shape/surface.h"

namespace cowlwright::shape {

/// The outer skin from the nose to its rear edges, one connected sheet with its normals outward [m].
///
/// Patches: cowl, inlet_left, inlet_right (throat and front duct, to the upper deck's front wall) and, where
/// there are rings, ring_left and ring_right. Neither spinner nor fuselage, lip or anything inside; the nose
/// face is whole where the spinner stands. Three border loops: the rear ends of the two ducts, and one rear
/// edge that runs round the firewall above, aft along the sides and along the trailing edge below, so that
/// the exit is open. ShapeSpec::is_closed changes nothing. A user's own cowl is given as it was sorted out
/// (own_cowl.h), with its own patches.
///
/// @throws InputError   when shape_conflicts() is not empty: all conflicts, one per line.
/// @throws ResultError  when the sheet is not what is said here, naming what it is.
Surface cowl_skin(const ShapeSpec& spec);

}  // namespace cowlwright::shape
