// SPDX-License-Identifier: GPL-3.0-or-later
//
// The vocabulary: temperatures of the engine and margins to its limits.
#include "post/quantities/vocabulary_parts.h"

#include <array>

namespace cowlwright::post {

namespace {

using enum DifferenceIn;

constexpr std::array table{
    QuantitySpec{"head_bottom_temperature",
                 "Temperatures",
                 "head, at its bottom",
                 "degC",
                 0,
                 Unit,
                 "of each cylinder, by the correlation (T - T_a) / (T_g - T) = K W_c^n / (sigma dp)^m with K "
                 "from readings at "
                 "this place; of estimates only"},
    QuantitySpec{"under_plug_temperature",
                 "Temperatures",
                 "head, under the plug",
                 "degC",
                 0,
                 Unit,
                 "likewise with K from readings under the spark plug: another place than the bottom of the "
                 "head; of estimates "
                 "only"},
    QuantitySpec{"barrel_temperature",
                 "Temperatures",
                 "barrel",
                 "degC",
                 0,
                 Unit,
                 "likewise with K from readings of the barrel; of estimates only"},
    QuantitySpec{"oil_temperature",
                 "Temperatures",
                 "oil, before the cooler",
                 "degC",
                 0,
                 Unit,
                 "cooling air + heat of the oil / the cooler's conductance at its air flow, scaled to "
                 "readings; of estimates "
                 "only"},
    QuantitySpec{
        "oil_cooled_temperature",
        "Temperatures",
        "oil, behind the cooler",
        "degC",
        0,
        Unit,
        "oil before the cooler - heat of the oil / (its flow x its heat capacity); of estimates only"},
    QuantitySpec{"head_bottom_margin",
                 "Temperatures",
                 "margin, head, at its bottom",
                 "K",
                 0,
                 Unit,
                 "limit - hottest bottom of a head; negative: beyond the limit"},
    QuantitySpec{"under_plug_margin",
                 "Temperatures",
                 "margin, head, under the plug",
                 "K",
                 0,
                 Unit,
                 "limit - hottest head under the plug; negative: beyond the limit"},
    QuantitySpec{"barrel_margin",
                 "Temperatures",
                 "margin, barrel",
                 "K",
                 0,
                 Unit,
                 "limit - hottest barrel; negative: beyond the limit"},
    QuantitySpec{"oil_margin",
                 "Temperatures",
                 "margin, oil",
                 "K",
                 0,
                 Unit,
                 "limit - oil before the cooler; negative: beyond the limit"},
};

}  // namespace

std::span<const QuantitySpec> temperature_entries() {
  return table;
}

}  // namespace cowlwright::post
