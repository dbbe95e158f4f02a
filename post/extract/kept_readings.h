// SPDX-License-Identifier: GPL-3.0-or-later
//
// What was read of a case's fields, kept beside them: a study's tables are written again whenever one of its
// cases has ended, and reading fields takes a second or more each. The means also outlive fields that were
// tidied away.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/field_means.h"
#include "post/extract/plane_flux.h"

#include <filesystem>
#include <vector>

namespace cowlwright::post {

/// Fluxes and means of one iteration.
struct FieldReadings {
  double iteration = 0.0;
  bool is_decomposed = false;
  std::vector<PlaneFlux> fluxes;  ///< in the manifest's order of planes
  FieldMeans fields;              ///< in the manifest's order of zones and planes
};

/// Reads the latest iteration, or takes what an earlier call kept of it: as long as manifest, program's
/// version, fields and mesh are those of that call, by name, size and time of each file. Of a case whose
/// fields a keep policy has removed, what was kept counts as long as the case's solve key is the same. A
/// folder that cannot be written keeps nothing.
/// @throws InputError, ResultError  as find_results(), read_plane_fluxes() and read_field_means().
FieldReadings read_field_readings(const std::filesystem::path& case_dir, const base::Manifest& manifest);

}  // namespace cowlwright::post
