// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/extract: VTK types, included by the few sources that use them.
#pragma once

#include "geometry/base/vec3.h"
#include "post/extract/case_layout.h"

#include <vtkCellArray.h>
#include <vtkMultiBlockDataSet.h>
#include <vtkPolyData.h>
#include <vtkSmartPointer.h>
#include <vtkUnstructuredGrid.h>

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

/// The blocks of one case at one iteration.
struct VtkCase {
  vtkSmartPointer<vtkMultiBlockDataSet> blocks;  ///< owns what the functions below return

  vtkUnstructuredGrid* internal_mesh() const;
  vtkUnstructuredGrid* cell_zone(const std::string& name) const;  ///< null when missing or empty
  vtkPolyData* face_zone(const std::string& name) const;          ///< null when missing or empty
  vtkPolyData* patch(const std::string& name) const;  ///< null when not asked for, missing or empty
};

/// Reads the named volume fields, cell zones and face zones, and the named patches with the fields' values on
/// their faces.
/// @throws ResultError  with the reader's words when it complains, or when there is no mesh.
VtkCase read_vtk_case(const CaseLayout& layout,
                      std::span<const std::string> fields,
                      std::span<const std::string> patches = {});

/// Calls `visit` with the corner points (ids, in order around the face) of every face of a cell.
void for_each_face(vtkUnstructuredGrid& grid,
                   vtkIdType cell,
                   const std::function<void(std::span<const vtkIdType>)>& visit);

/// Position of a point [m].
base::Vec3 point_position(vtkPointSet& grid, vtkIdType point);

/// Mean of a cell's corner points [m].
base::Vec3 mean_point(vtkUnstructuredGrid& grid, vtkIdType cell);

/// Area vector [m²] and centre [m] of a polygon, by triangles about its mean point.
struct PolygonShape {
  base::Vec3 area;
  base::Vec3 centre;
};
PolygonShape polygon_shape(std::span<const base::Vec3> corners);

/// Volume [m³] and centre [m] of a cell: pyramids from its mean point to its faces.
struct CellShape {
  double volume = 0.0;
  base::Vec3 centre;
};
CellShape cell_shape(vtkUnstructuredGrid& grid, vtkIdType cell);

}  // namespace cowlwright::post
