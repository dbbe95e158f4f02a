// SPDX-License-Identifier: GPL-3.0-or-later
//
// The numbers that the lumped network stands on, each with where it comes from. Left and right are the
// pilot's and stand in this order in every array of two.
#pragma once

#include "cases/study.h"

#include <array>
#include <string>
#include <vector>

namespace cowlwright::network {

/// A number and where it comes from.
struct Coefficient {
  double value = 0.0;
  double half_band = 0.0;  ///< how far it may be off, same unit, >= 0
  std::string source;      ///< a published source, "stated in the study", "chosen, no source", or
                           ///< "from CFD: case C, grid G"
};

/// One solved point of an inlet: loss at a velocity ratio.
struct LossPoint {
  double velocity_ratio = 0.0;  ///< mean throat speed over flight speed
  double loss = 0.0;            ///< (total pressure ahead - upper deck pressure) / (0.5 rho v_throat²)
};

struct InletCoefficients {
  double area = 0.0;             ///< throat [m²]
  Coefficient still_loss{};      ///< of the entrance in still air, on the throat's dynamic pressure
  Coefficient deck_loss{};       ///< of what the throat's jet loses in diffuser and deck, likewise
  Coefficient propeller_rise{};  ///< factor on the blade elements' total-pressure rise ahead of this inlet
  std::vector<LossPoint> solved_loss{};  ///< rising; when there is one, in place of both losses
  Coefficient solved_loss_origin{};      ///< value unused; band relative
};

struct ExitCoefficients {
  double area = 0.0;        ///< of the gap, net of what stands in it [m²]
  Coefficient discharge{};  ///< Cd on area, from lower deck pressure to that on the exit plane
  Coefficient pressure{};   ///< (mean static pressure on the exit plane - p_inf) / (q + disk loading)
};

/// A passage from the upper to the lower deck. dp = viscous*mu*v + inertial*rho*v², v over `area`.
struct PassageCoefficients {
  std::string name;  ///< "l1", "oil_cooler", "leak_rear_baffle_left"
  base::PassageKind kind = base::PassageKind::Core;
  base::Side side = base::Side::Left;  ///< half of the upper deck it takes air from
  bool joins_decks = true;             ///< false: a leak in the centre wall, from left to right
  double area = 0.0;                   ///< [m²]
  double viscous = 0.0;                ///< a [1/m]
  double inertial = 0.0;               ///< b [-], with entry and exit of the passage in it
  double effective_area = 0.0;         ///< of a leak, Cd A [m²]; then a and b are not used
  Coefficient resistance{};            ///< factor on the pressure drop, 1 unless CFD says otherwise
  double heat_share = 0.0;   ///< heat into the air over the study's shaft power; 0 with a stated heat
  double stated_heat = 0.0;  ///< [W]
};

struct Coefficients {
  std::array<InletCoefficients, 2> inlets;
  std::vector<PassageCoefficients> passages;  ///< cylinders first, in the order of core::cylinder_names()
  ExitCoefficients exit;
  bool is_split = false;           ///< a full-height centre wall parts the upper deck
  std::vector<std::string> notes;  ///< what a reader must know: extrapolations, parts that no solved case has
};

/// What handbooks and the study itself give.
Coefficients default_coefficients(const VariantSpec& spec);

}  // namespace cowlwright::network
