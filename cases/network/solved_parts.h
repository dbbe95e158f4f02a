// SPDX-License-Identifier: GPL-3.0-or-later
//
// The network's laws turned round: with which coefficients they give back a solved case at its own condition.
// Internal to the folder.
#pragma once

#include "cases/network/coefficients.h"
#include "geometry/base/solved_flow.h"

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::network {

struct TurnedInlet {
  double velocity_ratio = 0.0;  ///< with the network's area and density; 0 at rest
  double speed_head = 0.0;      ///< 0.5 rho v², likewise [Pa]
  double deck_pressure = 0.0;   ///< as the network has it: of its half, or of the whole shared deck [Pa]
  double free_stream = 0.0;     ///< total pressure without the propeller, gauge [Pa]
  double rise = 0.0;            ///< of the blade elements [Pa]
  std::optional<double>
      rise_factor;    ///< solver's rise over it; absent where it is next to nothing or negative
  double loss = 0.0;  ///< with the solver's total pressure ahead
};

/// Loss on the speed head with the network's total pressure ahead under this factor on the rise.
double loss_with(const TurnedInlet& inlet, double factor);

/// Points rising in velocity ratio; those within a hundredth of one another joined to their mean.
std::vector<LossPoint> joined(std::vector<LossPoint> points);

/// Of a passage by its name in the network: on the pressure drop of cores and cooler, on a leak's area.
struct TurnedPassage {
  double value = 1.0;
  double flow_band = 0.0;  ///< relative
};

struct Turned {
  std::array<TurnedInlet, 2> inlets;
  std::map<std::string, TurnedPassage> factor;  ///< those that can be formed, > 0
  double discharge = 0.0;                       ///< on the network's exit area
};

/// @param made_from  the variant the case was solved for.
Turned turned_round(const base::SolvedCase& solved, const VariantSpec& made_from);

}  // namespace cowlwright::network
