// SPDX-License-Identifier: GPL-3.0-or-later
//
// Friction and end losses of the passages between fins.
#include "cases/core/fins.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace cowlwright::core {
namespace {

/// Constants of the developing flow in a rectangular duct [Shah 1978, table].
struct Entrance {
  double aspect = 0.0;
  double excess = 0.0;  ///< K, the momentum and friction that the entrance adds, in dynamic pressures
  double scale = 0.0;   ///< C, where the entrance ends
};
constexpr std::array<Entrance, 4> entrances{
    {{0.0, 0.674, 0.000029}, {0.2, 0.931, 0.000076}, {0.5, 1.28, 0.00021}, {1.0, 1.43, 0.00029}}};

Entrance entrance(double aspect) {
  std::size_t i = 1;
  while (i + 1 < entrances.size() && entrances[i].aspect < aspect) {
    ++i;
  }
  const Entrance& low = entrances[i - 1];
  const Entrance& high = entrances[i];
  const double part = (aspect - low.aspect) / (high.aspect - low.aspect);
  return {aspect, std::lerp(low.excess, high.excess, part), std::lerp(low.scale, high.scale, part)};
}

/// Fanning factor times Reynolds number of the developed laminar flow [Shah and London 1978].
double developed_friction(double a) {
  return 24.0 * (1.0 + a * (-1.3553 + a * (1.9467 + a * (-1.7012 + a * (0.9564 - 0.2537 * a)))));
}

/// Fanning factor of the turbulent flow in a smooth duct [Blasius 1913]: 0.3164 Re^-0.25 of Darcy's.
double turbulent_friction(double reynolds) {
  return 0.0791 * std::pow(reynolds, -0.25);
}

}  // namespace

double fin_flow_area(const Fins& fins, double width) {
  return 2.0 * width * (1.0 - fins.thickness / fins.pitch) * fins.depth;
}

double apparent_laminar_friction(double aspect, double distance) {
  const Entrance constants = entrance(aspect);
  const double plate = 3.44 / std::sqrt(distance);
  const double developed = developed_friction(aspect) + 0.25 * constants.excess / distance;
  return plate + (developed - plate) / (1.0 + constants.scale / (distance * distance));
}

double fin_pressure_drop(
    const Fins& fins, double width, double block_area, double mass_flow, double density, double viscosity) {
  const double space = fins.pitch - fins.thickness;
  const double hydraulic_diameter = 2.0 * space * fins.depth / (space + fins.depth);
  const double aspect = std::min(space, fins.depth) / std::max(space, fins.depth);
  const double length = 0.5 * fins.baffle_arc * 0.5 * (fins.bore + fins.depth);
  const double area = fin_flow_area(fins, width);
  const double speed = mass_flow / (density * area);
  const double reynolds = density * speed * hydraulic_diameter / viscosity;
  const double slenderness = length / hydraulic_diameter;
  const double laminar = apparent_laminar_friction(aspect, slenderness / reynolds) / reynolds;
  const double friction = 4.0 * slenderness * std::max(laminar, turbulent_friction(reynolds));
  const double contraction = area / block_area;
  const double ends = 0.5 * (1.0 - contraction) + std::pow(1.0 - contraction, 2);
  return (friction + ends) * 0.5 * density * speed * speed;
}

}  // namespace cowlwright::core
