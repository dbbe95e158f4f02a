// SPDX-License-Identifier: GPL-3.0-or-later
//
// The vocabulary: what passes cores, oil cooler and leaks.
#include "post/quantities/vocabulary_parts.h"

#include <array>

namespace cowlwright::post {

namespace {

using enum DifferenceIn;

constexpr std::array table{
    QuantitySpec{
        "cylinders_mass_flow",
        "Cores",
        "mass flow, all cylinders",
        "kg/s",
        4,
        Percent,
        "sum of the core mass flows: the air that cools the cylinders, without oil cooler and leaks"},
    QuantitySpec{"core_mass_flow",
                 "Cores",
                 "core mass flow",
                 "kg/s",
                 4,
                 Percent,
                 "integral of rho u.n over the core's mid plane, from the solver's face fluxes"},
    QuantitySpec{"core_mass_flow_spread",
                 "Cores",
                 "core mass flow spread",
                 "%",
                 2,
                 Points,
                 "(largest - smallest) / mean of the cylinders' core mass flows"},
    QuantitySpec{"core_law_pressure_drop",
                 "Cores",
                 "core pressure drop by law",
                 "Pa",
                 1,
                 Percent,
                 "mean over the cores of a mu v + b rho v^2 at their mass flows, density and temperature: "
                 "what the stated law asks for, to be compared with the deck pressure difference"},

    QuantitySpec{"cylinder_mass_flow",
                 "Cylinders",
                 "cylinder mass flow",
                 "kg/s",
                 4,
                 Percent,
                 "core mass flows of head and barrel of one cylinder together"},
    QuantitySpec{"cylinder_outlet_temperature",
                 "Cylinders",
                 "outlet air",
                 "degC",
                 1,
                 Unit,
                 "total temperature of the air that leaves a cylinder's fins, head and barrel together: mean "
                 "over the outlet faces, weighted with the flow through each, of the cell that the air comes "
                 "from, as the solver carries it"},
    QuantitySpec{"cylinder_outlet_spread",
                 "Cylinders",
                 "outlet air, spread",
                 "K",
                 1,
                 Unit,
                 "largest - smallest of the cylinders' outlet air temperatures"},

    QuantitySpec{"cooler_mass_flow",
                 "Oil cooler",
                 "oil cooler mass flow",
                 "kg/s",
                 4,
                 Percent,
                 "integral of rho u.n over the oil cooler's mid plane, from the solver's face fluxes"},
    QuantitySpec{"cooler_flow_share",
                 "Oil cooler",
                 "oil cooler / inlet flow",
                 "%",
                 2,
                 Points,
                 "oil cooler mass flow as a share of the inlet mass flow"},
    QuantitySpec{"cooler_heat",
                 "Oil cooler",
                 "heat released in the oil cooler",
                 "kW",
                 2,
                 Percent,
                 "as stated in the study"},
    QuantitySpec{"cooler_temperature_rise",
                 "Oil cooler",
                 "oil cooler air rise",
                 "K",
                 1,
                 Percent,
                 "mass-weighted mean total temperature of the air that leaves the oil cooler minus the same "
                 "at the inlets"},
    QuantitySpec{"cooler_outlet_temperature",
                 "Oil cooler",
                 "oil cooler outlet air",
                 "degC",
                 1,
                 Unit,
                 "total temperature of the air that leaves the oil cooler, taken as a cylinder's"},

    QuantitySpec{"leak_mass_flow_all",
                 "Leaks",
                 "leaks past the cores",
                 "kg/s",
                 4,
                 Percent,
                 "sum of the mass flows of all leaks from the upper to the lower deck"},
    QuantitySpec{"leak_flow_share",
                 "Leaks",
                 "leaks / inlet flow",
                 "%",
                 2,
                 Points,
                 "leaks past the cores as a share of the inlet mass flow"},
    QuantitySpec{"leak_mass_flow",
                 "Leak mass flow",
                 "leak",
                 "kg/s",
                 4,
                 Percent,
                 "integral of rho u.n over the leak's mid plane along its intended direction (through the "
                 "centre wall: to the right), from the solver's face fluxes"},
    QuantitySpec{"leak_law_flow",
                 "Leak flow by law",
                 "leak by law",
                 "kg/s",
                 4,
                 Percent,
                 "Cd A sqrt(2 rho dp) with the leak's stated effective area Cd A, the mean density on its "
                 "plane and the deck pressure difference of its side (through the centre wall: left less "
                 "right half of the upper deck)"},
    QuantitySpec{"leak_flow_ratio",
                 "Leak flow / law",
                 "leak / law",
                 "-",
                 3,
                 Percent,
                 "leak mass flow / leak by law: 1 when the pressures at the leak are the deck's means and "
                 "nothing else resists"},
};

}  // namespace

std::span<const QuantitySpec> passage_entries() {
  return table;
}

}  // namespace cowlwright::post
