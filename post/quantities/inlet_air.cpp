// SPDX-License-Identifier: GPL-3.0-or-later
//
// Joins survey discs by area.
#include "post/quantities/inlet_air.h"

#include <algorithm>

namespace cowlwright::post {

std::optional<InletAir> inlet_air(const base::Manifest& manifest,
                                  const FieldMeans& fields,
                                  std::initializer_list<base::Side> sides) {
  double area = 0.0;
  InletAir sum;  // times area
  for (std::size_t i = 0; i < fields.surveys.size(); ++i) {
    const base::PlaneRecord& disc = manifest.surveys[i];
    const SurveyMean& mean = fields.surveys[i];
    if (std::find(sides.begin(), sides.end(), disc.side) == sides.end()) {
      continue;
    }
    if (!mean.is_complete()) {
      return std::nullopt;
    }
    area += disc.area;
    sum.axial += disc.area * mean.axial_velocity;
    sum.circumferential += disc.area * mean.clockwise_velocity;
    sum.total_pressure += disc.area * mean.total_pressure;
  }
  if (!(area > 0.0)) {
    return std::nullopt;
  }
  return InletAir{sum.axial / area, sum.circumferential / area, sum.total_pressure / area};
}

}  // namespace cowlwright::post
