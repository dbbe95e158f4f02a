// SPDX-License-Identifier: GPL-3.0-or-later
//
// The passages of a shape with what the study says of each: law, heat, resistance.
#pragma once

#include "cases/study.h"
#include "geometry/base/manifest.h"
#include "geometry/shape/installation.h"

#include <map>
#include <string>
#include <vector>

namespace cowlwright::foam {

/// The stated law of a core, of its head or barrel, or of the oil cooler.
core::Law passage_law(const VariantSpec& spec, const shape::Passage& passage);

/// Passages in the order of the shape. Laws are fitted at the free stream's density and viscosity. Head and
/// barrel of a cylinder take the same pressure drop at their shares of its flow.
/// @throws InputError  when a leak's tunnel is too small for its effective area.
std::vector<base::PassageRecord> passage_records(const VariantSpec& spec,
                                                 const std::vector<shape::Passage>& passages);

/// Mean deck pressure difference by the quick estimate with handbook coefficients [Pa]; the reference
/// pressure where it finds no balance or a negative one. Only for a first guess of the flow.
double expected_deck_difference(const VariantSpec& spec, double reference_pressure);

/// Speeds with which a case begins in the passages between its decks [m/s], by zone: what the resistances let
/// through at a deck pressure difference [Pa]; all 0 at 0.
///
/// Why it matters: what the solver takes of a resistance into its matrix is the sum over the three
/// directions, 1 + 2 transverse_ratio times the resistance along the fins, and the difference is put back
/// from the iteration before. Per iteration the speed along the fins goes only 1 / (1 + 2 transverse_ratio)
/// of its way.
std::map<std::string, double> start_speeds(const base::Manifest& manifest, double deck_difference);

}  // namespace cowlwright::foam
