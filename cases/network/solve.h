// SPDX-License-Identifier: GPL-3.0-or-later
//
// The numeric solve of the network. Internal to the folder.
#pragma once

#include "cases/network/elements.h"
#include "cases/network/model.h"

#include <array>

namespace cowlwright::network {

/// All that drives the flow at one condition.
struct Drive {
  Medium medium;
  std::array<AirAhead, 2> ahead;
  double exit_pressure = 0.0;        ///< on the exit plane, gauge [Pa]
  double inlet_temperature = 0.0;    ///< total, of the air that comes in by the inlets [K]
  double outside_temperature = 0.0;  ///< of air that comes in by the exit [K]
  std::vector<double> heat;          ///< offered to each passage [W]
};

/// Pressures and flows that balance in every deck.
struct Balance {
  std::array<double, 3> pressure{};     ///< upper left, upper right, lower; gauge [Pa]
  std::array<double, 3> temperature{};  ///< of the air that leaves each of them [K]
  std::array<double, 2> inlet_flow{};   ///< [kg/s]
  std::vector<double> passage_flow;     ///< [kg/s]
  std::vector<double> heat;             ///< taken in each passage [W]
  double exit_flow = 0.0;               ///< [kg/s]
};

/// @throws ResultError  when the balance is not found; says how far it is off.
Balance solve_balance(const Coefficients& coefficients, const Drive& drive);

}  // namespace cowlwright::network
