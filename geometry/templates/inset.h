// SPDX-License-Identifier: GPL-3.0-or-later
//
// Outlines moved inward: a bulkhead inside a skin.
#pragma once

#include "geometry/templates/section.h"

#include <vector>

namespace cowlwright::templates {

/// The closed outlines moved into the material by a distance [m]: an outermost one shrinks, one inside it (a
/// throat through the nose) grows, and so on. Corners are rounded within 1e-5 of the distance. Open outlines
/// have no inside and are left out; where all are open, none comes back.
///
/// @throws InputError  when the distance is not > 0 or nothing is left.
std::vector<Curve> inset_curves(const std::vector<Curve>& curves, double distance);

}  // namespace cowlwright::templates
