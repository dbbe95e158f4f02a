// SPDX-License-Identifier: GPL-3.0-or-later
//
// The table of reported quantities.
#include "post/quantities/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <stdexcept>

namespace cowlwright::post {

namespace {

constexpr auto percent = DifferenceIn::Percent;
constexpr auto points = DifferenceIn::Points;
constexpr auto in_unit = DifferenceIn::Unit;

constexpr std::array table{
    QuantitySpec{
        "upper_deck_pressure",
        "Deck pressures",
        "upper deck pressure",
        "Pa",
        1,
        in_unit,
        "volume mean of static pressure in the upper deck above the cores, minus free stream pressure"},
    QuantitySpec{
        "upper_deck_pressure_left",
        "Deck pressures",
        "upper deck pressure, left",
        "Pa",
        1,
        in_unit,
        "volume mean of static pressure in the left half of the upper deck, minus free stream pressure"},
    QuantitySpec{
        "upper_deck_pressure_right",
        "Deck pressures",
        "upper deck pressure, right",
        "Pa",
        1,
        in_unit,
        "volume mean of static pressure in the right half of the upper deck, minus free stream pressure"},
    QuantitySpec{
        "lower_deck_pressure",
        "Deck pressures",
        "lower deck pressure",
        "Pa",
        1,
        in_unit,
        "volume mean of static pressure in the lower deck below the cores, minus free stream pressure"},
    QuantitySpec{"deck_pressure_difference",
                 "Deck pressures",
                 "deck pressure difference",
                 "Pa",
                 1,
                 percent,
                 "upper deck pressure minus lower deck pressure"},
    QuantitySpec{"deck_pressure_difference_inh2o",
                 "Deck pressures",
                 "deck pressure difference",
                 "inH2O",
                 2,
                 percent,
                 "upper deck pressure minus lower deck pressure, in inches of water (249.08891 Pa)"},
    QuantitySpec{"deck_pressure_difference_of_q",
                 "Deck pressures",
                 "deck pressure difference / q",
                 "-",
                 3,
                 percent,
                 "deck pressure difference divided by the free stream's dynamic pressure q = 0.5 rho V^2"},
    QuantitySpec{"deck_pressure_difference_left",
                 "Deck pressures",
                 "deck pressure difference, left",
                 "Pa",
                 1,
                 percent,
                 "upper deck pressure of the left half minus lower deck pressure"},
    QuantitySpec{"deck_pressure_difference_right",
                 "Deck pressures",
                 "deck pressure difference, right",
                 "Pa",
                 1,
                 percent,
                 "upper deck pressure of the right half minus lower deck pressure"},

    QuantitySpec{"inlet_mass_flow",
                 "Inlets",
                 "inlet mass flow, both",
                 "kg/s",
                 4,
                 percent,
                 "sum over the inlet throat planes, from the solver's face fluxes"},
    QuantitySpec{"inlet_mass_flow_left",
                 "Inlets",
                 "inlet mass flow, left",
                 "kg/s",
                 4,
                 percent,
                 "integral of rho u.n over the left throat plane, from the solver's face fluxes"},
    QuantitySpec{"inlet_mass_flow_right",
                 "Inlets",
                 "inlet mass flow, right",
                 "kg/s",
                 4,
                 percent,
                 "integral of rho u.n over the right throat plane, from the solver's face fluxes"},
    QuantitySpec{"inlet_imbalance",
                 "Inlets",
                 "inlet imbalance",
                 "%",
                 2,
                 points,
                 "(right - left) / (right + left) of the inlet mass flows"},
    QuantitySpec{
        "inlet_recovery_left",
        "Inlets",
        "inlet recovery, left",
        "-",
        3,
        percent,
        "(volume mean of p + 0.5 rho |U|^2 in the left half of the upper deck - free stream pressure) / q"},
    QuantitySpec{
        "inlet_recovery_right",
        "Inlets",
        "inlet recovery, right",
        "-",
        3,
        percent,
        "(volume mean of p + 0.5 rho |U|^2 in the right half of the upper deck - free stream pressure) / q"},
    QuantitySpec{"inlet_velocity_ratio_left",
                 "Inlets",
                 "inlet velocity ratio, left",
                 "-",
                 3,
                 percent,
                 "left inlet mass flow / (mean density on the throat plane x its area x V)"},
    QuantitySpec{"inlet_velocity_ratio_right",
                 "Inlets",
                 "inlet velocity ratio, right",
                 "-",
                 3,
                 percent,
                 "right inlet mass flow / (mean density on the throat plane x its area x V)"},
    QuantitySpec{"inlet_spill_area_left",
                 "Inlets",
                 "spill-back area, left",
                 "%",
                 2,
                 points,
                 "share of the left throat plane where air leaves forward again"},
    QuantitySpec{"inlet_spill_area_right",
                 "Inlets",
                 "spill-back area, right",
                 "%",
                 2,
                 points,
                 "share of the right throat plane where air leaves forward again"},
    QuantitySpec{
        "inlet_spill_flow_left",
        "Inlets",
        "spill-back flow, left",
        "%",
        2,
        points,
        "air that leaves forward through the left throat plane, as a share of what enters through it"},
    QuantitySpec{
        "inlet_spill_flow_right",
        "Inlets",
        "spill-back flow, right",
        "%",
        2,
        points,
        "air that leaves forward through the right throat plane, as a share of what enters through it"},

    QuantitySpec{"core_mass_flow",
                 "Cores",
                 "core mass flow",
                 "kg/s",
                 4,
                 percent,
                 "integral of rho u.n over the core's mid plane, from the solver's face fluxes"},
    QuantitySpec{"core_mass_flow_spread",
                 "Cores",
                 "core mass flow spread",
                 "%",
                 2,
                 points,
                 "(largest - smallest) / mean of the core mass flows"},

    QuantitySpec{"core_law_pressure_drop",
                 "Cores",
                 "core pressure drop by law",
                 "Pa",
                 1,
                 percent,
                 "mean over the cores of a mu v + b rho v^2 at their mass flows, density and temperature: "
                 "what the stated law asks for, to be compared with the deck pressure difference"},
    QuantitySpec{"exit_mass_flow",
                 "Exit",
                 "exit mass flow",
                 "kg/s",
                 4,
                 percent,
                 "integral of rho u.n over the exit gap plane, from the solver's face fluxes"},
    QuantitySpec{"exit_pressure_coefficient",
                 "Exit",
                 "exit pressure coefficient",
                 "-",
                 3,
                 in_unit,
                 "(area mean of static pressure on the exit plane - free stream pressure) / q"},
    QuantitySpec{"exit_reverse_area",
                 "Exit",
                 "exit reverse flow area",
                 "%",
                 2,
                 points,
                 "share of the exit plane where air enters"},
    QuantitySpec{"exit_reverse_flow",
                 "Exit",
                 "exit reverse flow",
                 "%",
                 2,
                 points,
                 "air that enters through the exit plane, as a share of what leaves through it"},
    QuantitySpec{"exit_to_inlet_area",
                 "Exit",
                 "exit / inlet area",
                 "-",
                 3,
                 percent,
                 "area of the exit plane / area of the inlet throat planes, both as meshed"},

    QuantitySpec{"continuity_closure",
                 "Balances",
                 "continuity closure",
                 "%",
                 3,
                 points,
                 "(sum in - sum out) / sum in: inlet planes against the exit plane"},
    QuantitySpec{"core_closure",
                 "Balances",
                 "closure, inlets to cores",
                 "%",
                 3,
                 points,
                 "(sum in - sum of cores) / sum in: air that passes the cores' sides instead"},
    QuantitySpec{"core_exit_closure",
                 "Balances",
                 "closure, cores to exit",
                 "%",
                 3,
                 points,
                 "(sum of cores - sum out) / sum of cores: core planes against the exit plane"},
    QuantitySpec{"core_law_share",
                 "Balances",
                 "core law / deck difference",
                 "%",
                 1,
                 points,
                 "core pressure drop by law / deck pressure difference: the share of it that the cores' law "
                 "explains at the flow computed; the rest is entry and exit loss"},

    QuantitySpec{"heat", "Heat", "heat released in the cores", "kW", 2, percent, "as stated in the study"},
    QuantitySpec{"temperature_rise",
                 "Heat",
                 "mean air temperature rise",
                 "K",
                 1,
                 percent,
                 "mass-weighted mean total temperature at the exit plane minus the same at the inlets"},
    QuantitySpec{"energy_closure",
                 "Heat",
                 "energy closure",
                 "%",
                 2,
                 points,
                 "(heat released - cp x (total temperature flow out - in)) / heat released"},

    QuantitySpec{
        "propeller_thrust",
        "Propeller",
        "propeller thrust",
        "N",
        1,
        percent,
        "sum of the blade forces in the solver, along the shaft; of a uniform disk, the thrust put in"},
    QuantitySpec{"propeller_torque",
                 "Propeller",
                 "propeller torque",
                 "N m",
                 1,
                 percent,
                 "moment of the blade forces about the shaft"},
    QuantitySpec{
        "propeller_power", "Propeller", "propeller power", "kW", 2, percent, "torque x rotational speed"},
    QuantitySpec{
        "propeller_efficiency", "Propeller", "propeller efficiency", "-", 3, percent, "thrust x V / power"},
    QuantitySpec{"propeller_efficiency_limit",
                 "Propeller",
                 "efficiency limit, momentum",
                 "-",
                 3,
                 percent,
                 "Froude efficiency of a uniform disk of the bladed annulus with this thrust in free air: 2 "
                 "/ (1 + sqrt(1 + thrust / (q x area)))"},
    QuantitySpec{"propeller_thrust_deviation",
                 "Propeller",
                 "thrust, solver - predicted",
                 "%",
                 1,
                 points,
                 "(solver - blade-element solve in free air) / blade-element solve"},
    QuantitySpec{"propeller_torque_deviation",
                 "Propeller",
                 "torque, solver - predicted",
                 "%",
                 1,
                 points,
                 "(solver - blade-element solve in free air) / blade-element solve"},

    QuantitySpec{"y_plus_mean",
                 "Walls",
                 "y+, mean",
                 "-",
                 1,
                 in_unit,
                 "distance of the cell centres at the wall x friction speed / kinematic viscosity, from the "
                 "solver: mean over the patch's faces; over several patches, weighted with their areas"},
    QuantitySpec{"y_plus_smallest", "Walls", "y+, smallest", "-", 1, in_unit, "smallest y+ on the patch"},
    QuantitySpec{"y_plus_largest", "Walls", "y+, largest", "-", 1, in_unit, "largest y+ on the patch"},
};

}  // namespace

std::span<const QuantitySpec> vocabulary() {
  return table;
}

const QuantitySpec& quantity_spec(std::string_view id) {
  const auto found =
      std::find_if(table.begin(), table.end(), [id](const QuantitySpec& spec) { return spec.id == id; });
  if (found == table.end()) {
    throw std::out_of_range(fmt::format("no reported quantity with id {}", id));
  }
  return *found;
}

Quantity empty_quantity(std::string_view id, std::string_view part) {
  const QuantitySpec& spec = quantity_spec(id);
  Quantity quantity;
  quantity.order = static_cast<std::size_t>(&spec - table.data());
  quantity.id = spec.id;
  quantity.group = spec.group;
  quantity.name = spec.name;
  quantity.unit = spec.unit;
  quantity.definition = spec.definition;
  quantity.decimals = spec.decimals;
  quantity.difference_in = spec.difference_in;
  if (!part.empty()) {
    quantity.id += fmt::format("_{}", part);
    quantity.name += fmt::format(", {}", part);
  }
  return quantity;
}

}  // namespace cowlwright::post
