// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/pictures, VTK types: the air round the cowl, ready to be cut.
#pragma once

#include "post/pictures/frame.h"
#include "post/pictures/scales.h"

#include <vtkSmartPointer.h>
#include <vtkUnstructuredGrid.h>

#include <array>
#include <optional>

namespace cowlwright::post {

/// The four fields of one place, in the order of `all_fields`; temperature rise is NaN without a field T.
using FieldValues = std::array<double, 4>;

struct CellState;
FieldValues field_values(const CellState& state, const Scales& scales);

/// The cells whose middle lies in `box`, as tetrahedra, pyramids, wedges and hexahedra: a polyhedron becomes
/// pyramids and tetrahedra about its middle, which carries its own value. Points of neighbouring ranks are
/// one. Point arrays: those of `field_scale().id` and "U" [m/s]; each is the mean over the point's cells,
/// weighted by one over the distance to the cell's middle, so that a linear field is kept inside a uniform
/// grid and a point on a wall takes the value of the cells at it.
/// @throws ResultError  when p, U, or both of rho and T are missing, or a value is not finite.
vtkSmartPointer<vtkUnstructuredGrid> make_air_mesh(vtkUnstructuredGrid& mesh,
                                                   const base::Manifest& manifest,
                                                   const Scales& scales,
                                                   const Box& box);

}  // namespace cowlwright::post
