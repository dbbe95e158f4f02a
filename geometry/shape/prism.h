// SPDX-License-Identifier: GPL-3.0-or-later
//
// A closed prism over an open surface: the volume a measurement plane sweeps along its normal.
#pragma once

#include "geometry/shape/surface.h"

namespace cowlwright::shape {

/// Sweeps an open, consistently oriented surface along `offset` [m]; closed, outward, one patch named `name`.
///
/// @param offset  not parallel to the surface; pointing along or against its normals.
/// @throws InputError  when the surface is empty, not open, or `offset` lies in it.
Surface prism(const Surface& open, const base::Vec3& offset, const std::string& name);

}  // namespace cowlwright::shape
