// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to this folder: pieces of the section readers.
#pragma once

#include "cases/temperature/spec.h"

#include <optional>
#include <string_view>

namespace cowlwright::temperature {

/// A fuel flow stated as mass or volume flow [kg/s]; nothing when the key is absent.
/// @param density  of the fuel [kg/m³].
std::optional<double> read_fuel_flow(base::SectionReader& reader, std::string_view key, double density);

/// Whether a text "<number> <unit>" has a unit of volume flow.
bool is_volume_flow(std::string_view text);

/// Reads [envelope]; without the section nothing is present.
EnvelopeSpec read_envelope_spec(base::SectionReader& envelope, const StudyPoint& study, double fuel_density);

}  // namespace cowlwright::temperature
