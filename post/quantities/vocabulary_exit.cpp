// SPDX-License-Identifier: GPL-3.0-or-later
//
// The vocabulary: exit, balances and heat.
#include "post/quantities/vocabulary_parts.h"

#include <array>

namespace cowlwright::post {

namespace {

using enum DifferenceIn;

constexpr std::array table{
    QuantitySpec{"exit_mass_flow",
                 "Exit",
                 "exit mass flow",
                 "kg/s",
                 4,
                 Percent,
                 "integral of rho u.n over the exit gap plane, from the solver's face fluxes"},
    QuantitySpec{"exit_pressure_coefficient",
                 "Exit",
                 "exit pressure coefficient",
                 "-",
                 3,
                 Unit,
                 "(area mean of static pressure on the exit plane - free stream pressure) / q"},
    QuantitySpec{"exit_pressure_of_loading",
                 "Exit",
                 "exit pressure / disk loading",
                 "-",
                 3,
                 Unit,
                 "near standstill, in place of the exit pressure coefficient: the same divided by the "
                 "propeller's predicted thrust per disk area"},
    QuantitySpec{"exit_speed",
                 "Exit",
                 "exit speed",
                 "m/s",
                 1,
                 Percent,
                 "exit mass flow / (density of the heated air x area of the exit plane); of estimates only"},
    QuantitySpec{"exit_temperature",
                 "Exit",
                 "exit air",
                 "degC",
                 1,
                 Unit,
                 "temperature of the mixed air at the exit; of estimates only"},
    QuantitySpec{"exit_reverse_area",
                 "Exit",
                 "exit reverse flow area",
                 "%",
                 2,
                 Points,
                 "share of the exit plane where air enters"},
    QuantitySpec{"exit_reverse_flow",
                 "Exit",
                 "exit reverse flow",
                 "%",
                 2,
                 Points,
                 "air that enters through the exit plane, as a share of what leaves through it"},
    QuantitySpec{"exit_to_inlet_area",
                 "Exit",
                 "exit / inlet area",
                 "-",
                 3,
                 Percent,
                 "area of the exit plane / area of the inlet throat planes, both as meshed"},

    QuantitySpec{"continuity_closure",
                 "Balances",
                 "continuity closure",
                 "%",
                 3,
                 Points,
                 "(sum in - sum out) / sum in: inlet planes against the exit plane"},
    QuantitySpec{"core_closure",
                 "Balances",
                 "closure, inlets to cores",
                 "%",
                 3,
                 Points,
                 "(sum in - sum through cores, oil cooler and leaks between the decks) / sum in: air that "
                 "goes another way"},
    QuantitySpec{"core_exit_closure",
                 "Balances",
                 "closure, cores to exit",
                 "%",
                 3,
                 Points,
                 "(sum through - sum out) / sum through: cores, oil cooler and leaks between the decks "
                 "against the exit plane"},
    QuantitySpec{"core_law_share",
                 "Balances",
                 "core law / deck difference",
                 "%",
                 1,
                 Points,
                 "core pressure drop by law / deck pressure difference: the share of it that the cores' law "
                 "explains at the flow computed; the rest is entry and exit loss"},

    QuantitySpec{"heat", "Heat", "heat released in the cores", "kW", 2, Percent, "as stated in the study"},
    QuantitySpec{"temperature_rise",
                 "Heat",
                 "mean air temperature rise",
                 "K",
                 1,
                 Percent,
                 "mass-weighted mean total temperature at the exit plane minus the same at the inlets"},
    QuantitySpec{
        "energy_closure",
        "Heat",
        "energy closure",
        "%",
        2,
        Points,
        "(heat released - cp x (total temperature flow out - in)) / heat released, oil cooler included"},
    QuantitySpec{"heat_closure",
                 "Heat",
                 "heat closure",
                 "%",
                 2,
                 Points,
                 "(heat put in - cp x mass flow x (outlet temperature - mean at the inlets)) / heat put in, "
                 "of one cylinder or of the oil cooler"},
};

}  // namespace

std::span<const QuantitySpec> exit_entries() {
  return table;
}

}  // namespace cowlwright::post
