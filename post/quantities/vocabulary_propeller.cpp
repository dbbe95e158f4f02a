// SPDX-License-Identifier: GPL-3.0-or-later
//
// The vocabulary: the propeller and what it does to the air ahead of the inlets.
#include "post/quantities/vocabulary_parts.h"

#include <array>

namespace cowlwright::post {

namespace {

using enum DifferenceIn;

constexpr std::array table{
    QuantitySpec{
        "propeller_thrust",
        "Propeller",
        "propeller thrust",
        "N",
        1,
        Percent,
        "sum of the blade forces in the solver, along the shaft; of a uniform disk, the thrust put in"},
    QuantitySpec{"propeller_torque",
                 "Propeller",
                 "propeller torque",
                 "N m",
                 1,
                 Percent,
                 "moment of the blade forces about the shaft"},
    QuantitySpec{
        "propeller_power", "Propeller", "propeller power", "kW", 2, Percent, "torque x rotational speed"},
    QuantitySpec{
        "propeller_efficiency", "Propeller", "propeller efficiency", "-", 3, Percent, "thrust x V / power"},
    QuantitySpec{"propeller_efficiency_limit",
                 "Propeller",
                 "efficiency limit, momentum",
                 "-",
                 3,
                 Percent,
                 "Froude efficiency of a uniform disk of the bladed annulus with this thrust in free air: 2 "
                 "/ (1 + sqrt(1 + thrust / (q x area)))"},
    QuantitySpec{"propeller_thrust_deviation",
                 "Propeller",
                 "thrust, solver - predicted",
                 "%",
                 1,
                 Points,
                 "(solver - blade-element solve in free air) / blade-element solve"},
    QuantitySpec{"propeller_torque_deviation",
                 "Propeller",
                 "torque, solver - predicted",
                 "%",
                 1,
                 Points,
                 "(solver - blade-element solve in free air) / blade-element solve"},
    QuantitySpec{"propeller_power_mismatch",
                 "Propeller",
                 "power absorbed - shaft power",
                 "%",
                 1,
                 Points,
                 "(propeller power - stated shaft power) / stated shaft power, of a propeller of fixed "
                 "pitch: positive when the engine cannot turn it that fast"},
    QuantitySpec{"propeller_thrust_descending",
                 "Propeller",
                 "thrust, descending side",
                 "N",
                 1,
                 Percent,
                 "thrust of the half of the disk where the blades go down: the right one when it turns "
                 "clockwise as the pilot sees it"},
    QuantitySpec{"propeller_thrust_ascending",
                 "Propeller",
                 "thrust, ascending side",
                 "N",
                 1,
                 Percent,
                 "thrust of the half of the disk where the blades go up"},
    QuantitySpec{"propeller_descending_share",
                 "Propeller",
                 "descending side / thrust",
                 "%",
                 2,
                 Points,
                 "thrust of the descending side as a share of the whole: 50 in even inflow"},
    QuantitySpec{"propeller_side_force",
                 "Propeller",
                 "side force",
                 "N",
                 1,
                 Unit,
                 "force of the air on the blades across the shaft, to the pilot's right positive"},
    QuantitySpec{"propeller_normal_force",
                 "Propeller",
                 "normal force",
                 "N",
                 1,
                 Unit,
                 "force of the air on the blades across the shaft, upwards positive"},

    QuantitySpec{
        "inlet_swirl",
        "Propeller at the inlets",
        "swirl, both",
        "deg",
        2,
        Unit,
        "as of one inlet, over the discs of both, where what rises at one and at the other alike (the "
        "stream round the nose, incidence) cancels"},
    QuantitySpec{"inlet_swirl_left",
                 "Propeller at the inlets",
                 "swirl, left",
                 "deg",
                 2,
                 Unit,
                 "angle of the mean velocity about the shaft to the mean velocity along it, over a disc "
                 "ahead of the left inlet; positive the way the propeller turns"},
    QuantitySpec{"inlet_swirl_right",
                 "Propeller at the inlets",
                 "swirl, right",
                 "deg",
                 2,
                 Unit,
                 "angle of the mean velocity about the shaft to the mean velocity along it, over a disc "
                 "ahead of the right inlet; positive the way the propeller turns"},
    QuantitySpec{
        "inlet_total_pressure_left",
        "Propeller at the inlets",
        "total pressure, left",
        "-",
        3,
        Percent,
        "(mean of p + 0.5 rho |U|^2 over a disc ahead of the left inlet - free stream pressure) / q"},
    QuantitySpec{
        "inlet_total_pressure_right",
        "Propeller at the inlets",
        "total pressure, right",
        "-",
        3,
        Percent,
        "(mean of p + 0.5 rho |U|^2 over a disc ahead of the right inlet - free stream pressure) / q"},
    QuantitySpec{"inlet_total_pressure_of_loading_left",
                 "Propeller at the inlets",
                 "total pressure / disk load, left",
                 "-",
                 3,
                 Percent,
                 "near standstill, in place of total pressure over q: the same divided by the propeller's "
                 "predicted thrust per disk area"},
    QuantitySpec{"inlet_total_pressure_of_loading_right",
                 "Propeller at the inlets",
                 "total pressure / disk load, right",
                 "-",
                 3,
                 Percent,
                 "near standstill, in place of total pressure over q: the same divided by the propeller's "
                 "predicted thrust per disk area"},
};

}  // namespace

std::span<const QuantitySpec> propeller_entries() {
  return table;
}

}  // namespace cowlwright::post
