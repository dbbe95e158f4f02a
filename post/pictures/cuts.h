// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/pictures, VTK types: walls, plane cuts and streamlines.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/vtk_mesh.h"
#include "post/pictures/scales.h"
#include "post/pictures/view.h"

#include <vtkPolyData.h>
#include <vtkSmartPointer.h>
#include <vtkUnstructuredGrid.h>

#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

using PolyData = vtkSmartPointer<vtkPolyData>;

/// All wall patches as one surface. Edges sharper than 40 deg keep their two sides apart; a
/// point's values are the mean of its faces, weighted by area. Point arrays "cp", "rise" (with a field T) and
/// normals; cell array "patch", the index into `names`. Empty when no patch is there.
PolyData wall_surface(const VtkCase& vtk_case, std::span<const std::string> names, const Scales& scales);

/// Takes from the velocity at the air's points on walls what goes through the wall, so that no streamline
/// does.
void slip_along_walls(vtkUnstructuredGrid& air, vtkPolyData& walls);

/// Sharp edges and borders of a wall_surface(), as lines.
PolyData sharp_edges(vtkPolyData& surface);

/// The faces of the patches with these indices.
PolyData faces_of(vtkPolyData& walls, std::span<const int> patches);

/// The cut through the air as triangles with the point arrays of the mesh.
PolyData cut_air(vtkUnstructuredGrid& air, std::span<const Cut> cuts);

/// The lines in which the planes cross a surface.
PolyData cut_surface(vtkPolyData& surface, std::span<const Cut> cuts);

/// What of a surface lies within the box.
PolyData clipped(vtkPolyData& data, const Box& box);

/// Lines without their points outside the box; a line that leaves it and returns becomes two.
PolyData lines_within(vtkPolyData& lines, const Box& box);

/// Outer surface of a zone's cells.
PolyData zone_surface(vtkUnstructuredGrid& zone);

/// Paths of the air that enters through the inlets, upstream and downstream of their throats, with the point
/// arrays of the mesh. `n_seeds` points over each inlet, alike on both sides.
PolyData streamlines(vtkUnstructuredGrid& air, const base::Manifest& manifest, int n_seeds, double longest);

}  // namespace cowlwright::post
