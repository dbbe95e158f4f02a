// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/extract: the air over discs that the mesh knows nothing of.
#pragma once

#include "geometry/base/manifest.h"
#include "geometry/base/vec3.h"
#include "post/extract/field_means.h"

#include <span>
#include <vector>

namespace cowlwright::post {

struct FreeStream;
struct VtkCase;

/// Points over the disc of `area` about `origin` across `normal`, each for an equal share of the area: rings
/// of equal area with equally many points, halfway through each ring. The pattern of a disc across the shaft
/// is its own mirror image about y = 0.
std::vector<base::Vec3> survey_points(const base::PlaneRecord& disc);

/// In the order of the surveys.
/// @throws ResultError  when a mean is not finite.
std::vector<SurveyMean> survey_means(const VtkCase& vtk_case,
                                     std::span<const base::PlaneRecord> surveys,
                                     const FreeStream& free_stream);

}  // namespace cowlwright::post
