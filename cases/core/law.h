// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pressure-drop laws read from a section of a study. Internal to cases/core.
#pragma once

#include "cases/core/fins.h"
#include "cases/core/spec.h"

#include <string_view>

namespace cowlwright::core {

/// Keys of a table or a power law.
struct LawKeys {
  std::string_view mass_flow;
  std::string_view pressure_drop;
  std::string_view exponent;
};
inline constexpr LawKeys core_keys{"core_mass_flow", "core_pressure_drop", "core_exponent"};
inline constexpr LawKeys cooler_keys{"mass_flow", "pressure_drop", "exponent"};

/// A table or power law. Complains and returns a harmless law when the keys give none.
Law read_flow_law(base::SectionReader& section, const LawKeys& keys);

/// A core's law: from fins when one of their keys is there, else a table or power law.
Law read_core_law(base::SectionReader& section, const EngineBlock& block);

/// Whether a section has a key of a core's law.
bool has_core_law(const base::SectionReader& section);

/// sigma*dp of the fins over the range of pressures that cowls work in.
Law fin_law(const Fins& fins, const EngineBlock& block);

}  // namespace cowlwright::core
