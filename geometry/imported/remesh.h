// SPDX-License-Identifier: GPL-3.0-or-later
//
// Triangles of even size over the same surface.
#pragma once

#include "geometry/shape/surface.h"

namespace cowlwright::imported {

/// Remeshed to edges of about `edge` [m]. Borders between patches, borders of holes and edges sharper than 30
/// deg keep their line; new points are put back onto the surface given.
///
/// @param surface  manifold and consistently oriented.
/// @throws ResultError  when the surface is not manifold.
shape::Surface remesh(const shape::Surface& surface, double edge);

}  // namespace cowlwright::imported
