// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/pictures, VTK types: fields for other programs.
#pragma once

#include "post/pictures/cuts.h"

#include <filesystem>

namespace cowlwright::post {

inline constexpr const char* surfaces_file_name = "surfaces.vtp";
inline constexpr const char* volume_file_name = "volume.vtu";

/// The walls with gauge pressure p [Pa], T [K] and Cp at points, and each face's patch (names in field data).
void write_surfaces(vtkPolyData& walls,
                    std::span<const std::string> patches,
                    const Scales& scales,
                    const std::filesystem::path& file);

/// All cells of the mesh with gauge pressure p [Pa], T [K], U [m/s], rho [kg/m³], Cp and the total pressure
/// coefficient; compressed.
/// @throws ExternalError  when a file cannot be written.
void write_volume(vtkUnstructuredGrid& mesh,
                  const base::Manifest& manifest,
                  const Scales& scales,
                  const std::filesystem::path& file);

}  // namespace cowlwright::post
