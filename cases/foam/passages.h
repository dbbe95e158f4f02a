// SPDX-License-Identifier: GPL-3.0-or-later
//
// The passages of a shape with what the study says of each: law, heat, resistance.
#pragma once

#include "cases/study.h"
#include "geometry/base/manifest.h"
#include "geometry/shape/installation.h"

#include <vector>

namespace cowlwright::foam {

/// The stated law of a core, of its head or barrel, or of the oil cooler.
core::Law passage_law(const VariantSpec& spec, const shape::Passage& passage);

/// Passages in the order of the shape. Laws are fitted at the free stream's density and viscosity. Head and
/// barrel of a cylinder take the same pressure drop at their shares of its flow.
/// @throws InputError  when a leak's tunnel is too small for its effective area.
std::vector<base::PassageRecord> passage_records(const VariantSpec& spec,
                                                 const std::vector<shape::Passage>& passages);

}  // namespace cowlwright::foam
