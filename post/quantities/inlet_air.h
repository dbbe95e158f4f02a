// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/quantities: the air ahead of the inlets.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/field_means.h"

#include <initializer_list>
#include <optional>

namespace cowlwright::post {

/// Means over the survey discs ahead of the inlets, or of one side's, weighted with their areas.
struct InletAir {
  double axial = 0.0;            ///< velocity, aft [m/s]
  double circumferential = 0.0;  ///< velocity about the shaft, clockwise as the pilot sees it [m/s]
  double total_pressure = 0.0;   ///< absolute [Pa]
};

/// Nothing without such discs, or when a part of one lies in no cell.
std::optional<InletAir> inlet_air(const base::Manifest& manifest,
                                  const FieldMeans& fields,
                                  std::initializer_list<base::Side> sides);

}  // namespace cowlwright::post
