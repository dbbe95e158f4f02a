// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/extract: means on face zones, from VTK's cells.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/cell_fields.h"
#include "post/extract/field_means.h"
#include "post/extract/vtk_mesh.h"

#include <span>
#include <vector>

namespace cowlwright::post {

/// Means over the face zones of the planes, in their order.
/// @throws ResultError  when a face zone is missing or a mean is not finite.
std::vector<PlaneMean> plane_means(const VtkCase& vtk_case,
                                   std::span<const base::PlaneRecord> planes,
                                   const FreeStream& free_stream);

}  // namespace cowlwright::post
