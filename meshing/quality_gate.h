// SPDX-License-Identifier: GPL-3.0-or-later
//
// The gate between meshing and solving: what checkMesh said of the mesh, and whether the mesh kept the
// shape's areas.
#pragma once

#include "geometry/base/manifest.h"

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::meshing {

/// One check the mesh did not pass.
struct MeshFault {
  std::string text;  ///< checkMesh's own line, without its stars
  int line = 0;      ///< in the log
  std::string set;   ///< name of the set with the faulty faces or cells; empty when none was written
  std::string
      places;  ///< patches nearest to them, most faults first: "exit_lip (12), cowl (1)"; empty when unknown
};

struct MeshReport {
  long n_cells = 0;
  double max_non_orthogonality = 0.0;   ///< [deg]
  double mean_non_orthogonality = 0.0;  ///< [deg]
  double max_skewness = 0.0;
  double max_aspect_ratio = 0.0;
  double volume = 0.0;  ///< of all cells [m³]
  bool is_ok = false;   ///< checkMesh printed "Mesh OK."
  std::vector<MeshFault> faults;
};

/// Reads the log of checkMesh. @throws ResultError when it holds no verdict (checkMesh did not finish).
MeshReport read_check_log(const std::filesystem::path& log);

/// Share by which a patch's meshed area differs from the surface's.
struct PatchArea {
  std::string patch;
  double surface = 0.0;  ///< [m²]
  double meshed = 0.0;   ///< [m²]
};

/// Largest accepted relative difference between a ring's or lip's meshed area and the true one, on every
/// grid.
inline constexpr double area_tolerance = 0.03;

/// Largest accepted difference between the volumes of mesh and air, as a share of the solid's. Cells cut off
/// or left over at the skin come to 1 or 2 %; a mesh that has leaked through a hole fills the solid.
inline constexpr double leak_tolerance = 0.05;

/// The mesh of a case against its manifest: checkMesh's verdict, every patch present, no leak into the solid,
/// areas of rings, lip and exit kept.
///
/// @returns the report and all patch areas, for the log.
/// @throws ResultError  naming the failed check with its line in the log and the patch it is nearest to, the
/// patch
///                      that is missing or has lost area, or the volume that is too much, with both values
///                      and the bound.
struct GateResult {
  MeshReport report;
  std::vector<PatchArea> areas;
};
GateResult check_mesh_gate(const base::Manifest& manifest,
                           const std::filesystem::path& case_dir,
                           const std::filesystem::path& log);

}  // namespace cowlwright::meshing
