// SPDX-License-Identifier: GPL-3.0-or-later
//
// The table of what each inlet has of its own, after that of the other dimensions.
#include "geometry/shape/parameters.h"

#include <array>

namespace cowlwright::shape {

namespace {

using base::Range;

constexpr Range from_to(double low, double high, std::string_view reason) {
  return {low, high, false, false, reason};
}

constexpr bool required = true;
constexpr bool has_default = false;

constexpr bool for_round(const InletSpec& in) {
  return in.opening == OpeningShape::Round;
}
constexpr bool for_others(const InletSpec& in) {
  return in.opening != OpeningShape::Round;
}
constexpr bool for_rectangular(const InletSpec& in) {
  return in.opening == OpeningShape::Rectangular;
}
constexpr bool for_all(const InletSpec&) {
  return true;
}

constexpr std::array of_an_inlet{
    InletParameter{"diameter",
                   from_to(0.06, 0.25, "throats of cooling inlets"),
                   required,
                   for_round,
                   &InletSpec::diameter},
    InletParameter{"opening_width",
                   from_to(0.05, 0.40, "throats of cooling inlets"),
                   required,
                   for_others,
                   &InletSpec::opening_width},
    InletParameter{"opening_height",
                   from_to(0.05, 0.25, "throats of cooling inlets; 9 cells must span it"),
                   required,
                   for_others,
                   &InletSpec::opening_height},
    InletParameter{"corner_radius",
                   from_to(0.003, 0.12, "sharper corners cannot be meshed"),
                   has_default,
                   for_rectangular,
                   &InletSpec::corner_radius},
    InletParameter{"height",
                   from_to(-0.20, 0.20, "centres above the shaft line"),
                   has_default,
                   for_all,
                   &InletSpec::height},
    InletParameter{"lip_radius",
                   from_to(0.0, 0.06, "0 mm is a bare hole"),
                   has_default,
                   for_all,
                   &InletSpec::lip_radius},
    InletParameter{"ring_stand",
                   from_to(0.0, 0.10, "crest of a proud ring ahead of the nose face"),
                   has_default,
                   for_all,
                   &InletSpec::ring_stand},
    InletParameter{"diffuser_length",
                   from_to(0.0, 0.40, "0 mm is no diffuser"),
                   has_default,
                   for_all,
                   &InletSpec::diffuser_length},
};

}  // namespace

std::span<const InletParameter> inlet_parameters() {
  return of_an_inlet;
}

}  // namespace cowlwright::shape
