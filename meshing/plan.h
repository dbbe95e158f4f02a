// SPDX-License-Identifier: GPL-3.0-or-later
//
// The mesh before it exists: background block, cell size at every patch, zone and plane, and the number of
// cells to expect. Cell sizes follow the sizes of the features they must resolve.
#pragma once

#include "geometry/shape/installation.h"
#include "meshing/spec.h"

#include <array>
#include <string>
#include <vector>

namespace cowlwright::meshing {

/// What the study needs of the propeller when it plans the mesh; no disk when `diameter` is 0.
struct DiskSize {
  double diameter = 0.0;      ///< [m]
  double hub_diameter = 0.0;  ///< [m]
};

/// Cells of size base_size / 2^level.
struct NamedLevel {
  std::string name;
  int level = 0;
};

struct BoxLevel {
  std::string name;
  shape::Box box;
  int level = 0;
};

struct MeshPlan {
  shape::Box far_field;          ///< outer boundary [m]
  std::array<int, 3> n_cells{};  ///< of the background block along x, y, z
  double base_size = 0.0;        ///< background cell edge [m]
  double cell_size =
      0.0;  ///< of the fine interior, cube root of its cells' volume [m]; what grids are compared by
  std::vector<NamedLevel> patches;  ///< every patch of the wetted surface
  std::vector<NamedLevel> zones;    ///< cell zones: cores and the propeller disk
  int plane_level = 0;              ///< at the measurement planes
  std::vector<BoxLevel> boxes;      ///< volumes refined as a whole
  int feature_level = 0;    ///< along sharp edges and patch borders of wall patches not finer by themselves
  base::Vec3 point_in_air;  ///< in the far field, on no cell face
  double disk_layer = 0.0;  ///< depth of the one layer of cells that is the propeller's zone [m]
  double disk_thickness = 0.0;  ///< of the surface that picks this layer by its cells' centres [m]
  double cells_across_exit_gap = 0.0;
  double cells_across_inlet = 0.0;
  double cells_across_lip_thickness = 0.0;  ///< 0 without a lip
  double expected_cells = 0.0;              ///< estimate, usually within 25 %
};

/// Plans the mesh of one variant.
///
/// Coarse grid: at least 6 cells across the exit gap and 8 across an inlet. Each finer level divides every
/// size by refinement_ratio.
///
/// @param domain_size  factor on the distances from the body to the far field, see GridSpec.
MeshPlan plan_mesh(const shape::ShapeSpec& shape,
                   const DiskSize& disk,
                   GridLevel level,
                   double domain_size = 1.0);

/// Cell edge [m] at a refinement level of the plan.
double cell_size(const MeshPlan& plan, int level);

}  // namespace cowlwright::meshing
