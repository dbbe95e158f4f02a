// SPDX-License-Identifier: GPL-3.0-or-later
//
// Zones, measurement planes, passages and survey discs of an installation.
#pragma once

#include "geometry/shape/installation.h"

#include <vector>

namespace cowlwright::shape {

std::vector<Zone> make_zones(const ShapeSpec& spec);
std::vector<MeasurementPlane> make_planes(const ShapeSpec& spec);
std::vector<base::PlaneRecord> make_surveys(const ShapeSpec& spec);

}  // namespace cowlwright::shape
