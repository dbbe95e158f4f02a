// SPDX-License-Identifier: GPL-3.0-or-later
//
// Laws of inlets, passages and exit.
#include "cases/network/elements.h"

#include "geometry/base/air.h"

#include <algorithm>

namespace cowlwright::network {
namespace {

using base::air::gas_constant;
using base::air::specific_heat;

/// Out through an inlet: sharp entrance from the deck 0.5, exit 1 (Idelchik).
constexpr double backward_loss = 1.5;

/// Speed and its slope against the smooth root of the difference.
struct Speed {
  double value = 0.0;
  double slope = 0.0;
};

/// difference = 0.5 rho v² (still + deck), the loss of cross flow taken off before. The momentum theorem lets
/// a sharp lip lose nothing below the speed of the air ahead; solved cases did not: without a ring the upper
/// deck's recovery was 0.09 lower than with rounded ones at velocity ratios of 0.3 to 0.5 (studies
/// network_rings and network_lip, draft grid). The entrance is therefore taken to lose in flight what it
/// loses in still air.
Speed handbook_speed(double still, double deck, double density, double root) {
  const double factor = std::sqrt(2.0 / (density * (still + deck)));
  return {root * factor, factor};
}

/// Loss between solved points, flat beyond them; v over the flight speed, or past all points at rest.
Speed solved_speed(const std::vector<LossPoint>& points, double airspeed, double density, double root) {
  const auto flat = [&](double loss) {
    const double factor = std::sqrt(2.0 / (density * loss));
    return Speed{root * factor, factor};
  };
  const double asked = 2.0 * root * root / density;
  const auto reached = [&](const LossPoint& point) {
    const double speed = point.velocity_ratio * airspeed;
    return point.loss * speed * speed;
  };
  if (!(asked > reached(points.front()))) return flat(points.front().loss);
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (asked > reached(points[i])) continue;
    const double low = points[i - 1].velocity_ratio * airspeed;
    const double high = points[i].velocity_ratio * airspeed;
    const double slope = (points[i].loss - points[i - 1].loss) / (high - low);
    const auto loss = [&](double v) { return points[i - 1].loss + slope * (v - low); };
    double a = low, b = high;
    for (int k = 0; k < 100 && b - a > 1e-15 * b; ++k) {  // halving: the cubic may bend
      const double middle = 0.5 * (a + b);
      (loss(middle) * middle * middle < asked ? a : b) = middle;
    }
    const double v = 0.5 * (a + b);
    const double gradient = std::max(v * (2.0 * loss(v) + slope * v), 1e-6 * v);
    return {v, 4.0 * root / density / gradient};
  }
  return flat(points.back().loss);
}

/// What a law asks for at a flow, and its slope.
struct Drop {
  double value = 0.0;
  double slope = 0.0;
};

Drop passage_drop(
    const PassageCoefficients& passage, const Medium& medium, double before, double heat, double mass_flow) {
  // Half the rise is the mean's; it falls with more flow, up to where the air takes no more.
  const double own = 0.5 * heat / (specific_heat * mass_flow);
  const double most = 0.5 * largest_rise;
  const double T = before + std::min(own, most);
  const double T_slope = own < most ? -own / mass_flow : 0.0;
  const double mu = base::dynamic_viscosity(T);
  const double mu_slope = mu * (1.5 / T - 1.0 / (T + 110.4));  // Sutherland
  const double factor = passage.resistance.value * gas_constant / (medium.pressure * passage.area);
  const double viscous = passage.viscous;
  const double inertial = passage.inertial / passage.area;
  return {factor * (viscous * mu * T * mass_flow + inertial * T * mass_flow * mass_flow),
          factor * (viscous * (mu * T + mass_flow * (mu_slope * T + mu) * T_slope) +
                    inertial * (2.0 * T * mass_flow + mass_flow * mass_flow * T_slope))};
}

/// Without heat the law is a parabola.
double unheated_flow(const PassageCoefficients& passage,
                     const Medium& medium,
                     double temperature,
                     double drop) {
  const double factor =
      passage.resistance.value * gas_constant * temperature / (medium.pressure * passage.area);
  const double linear = factor * passage.viscous * base::dynamic_viscosity(temperature);
  const double square = factor * passage.inertial / passage.area;
  return 2.0 * drop / (linear + std::sqrt(linear * linear + 4.0 * square * drop));
}

Flow leak_flow(const PassageCoefficients& passage,
               const Medium& medium,
               double temperature,
               double difference) {
  const double density = medium.pressure / (gas_constant * temperature);
  const SmoothRoot root = smooth_root(difference, medium.small);
  const double factor = passage.effective_area * std::sqrt(2.0 * density / passage.resistance.value);
  return {factor * root.value, factor * root.slope};
}

}  // namespace

SmoothRoot smooth_root(double x, double small) {
  const double square = x * x + small * small;
  const double quarter = std::sqrt(std::sqrt(square));
  return {x / quarter, (1.0 - 0.5 * x * x / square) / quarter};
}

Flow inlet_flow(const InletCoefficients& inlet,
                const AirAhead& ahead,
                const Medium& medium,
                double difference) {
  const bool is_solved = !inlet.solved_loss.empty();
  const double still = inlet.still_loss.value;
  // Solved losses have that of the cross flow in them.
  const double cross = is_solved ? 0.0 : 0.5 * medium.density * still * ahead.cross_speed * ahead.cross_speed;
  const SmoothRoot root = smooth_root(difference - cross, medium.small);
  const double backward = std::sqrt(2.0 / (medium.density * backward_loss));
  const Speed speed = root.value <= 0.0 ? Speed{root.value * backward, backward}
                      : is_solved
                          ? solved_speed(inlet.solved_loss, medium.airspeed, medium.density, root.value)
                          : handbook_speed(still, inlet.deck_loss.value, medium.density, root.value);
  const double factor = medium.density * inlet.area;
  return {factor * speed.value, factor * speed.slope * root.slope};
}

Flow passage_flow(const PassageCoefficients& passage,
                  const Medium& medium,
                  double temperature,
                  double heat,
                  double difference) {
  if (passage.kind == base::PassageKind::Leak) return leak_flow(passage, medium, temperature, difference);
  const SmoothRoot root = smooth_root(difference, medium.small);
  // Without a viscous part a law is a root near nothing.
  const bool is_root = passage.viscous == 0.0;
  const double asked = is_root ? root.value * root.value : std::abs(difference);
  const double sign = difference < 0.0 ? -1.0 : 1.0;
  if (asked == 0.0) {
    const Drop drop = passage_drop(passage, medium, temperature, heat, 1e-12);
    return {0.0, is_root ? root.slope / std::sqrt(drop.value) * 1e-12 : 1.0 / drop.slope};
  }
  // Newton from the unheated flow, which is more than that of any heated air; halving where it leaves bounds.
  double low = 0.0;
  double high = unheated_flow(passage, medium, temperature, asked);
  double flow = high;
  Drop drop;
  for (int k = 0; k < 100; ++k) {
    drop = passage_drop(passage, medium, temperature, heat, flow);
    (drop.value < asked ? low : high) = flow;
    double next = flow + (asked - drop.value) / drop.slope;
    if (!(next > low) || !(next <= high)) next = 0.5 * (low + high);
    const bool is_done = std::abs(next - flow) <= 1e-13 * flow;
    flow = next;
    if (is_done) break;
  }
  drop = passage_drop(passage, medium, temperature, heat, flow);
  const double asked_slope = is_root ? 2.0 * std::abs(root.value) * root.slope : 1.0;
  return {sign * flow, asked_slope / drop.slope};
}

double taken_heat(double offered, double mass_flow) {
  return std::min(offered, std::abs(mass_flow) * specific_heat * largest_rise);
}

Flow exit_flow(const ExitCoefficients& exit, const ExitAir& air, const Medium& medium, double difference) {
  const double area = exit.discharge.value * exit.area;
  const auto plain = [&](double temperature) {
    const SmoothRoot root = smooth_root(difference, medium.small);
    const double factor = area * std::sqrt(2.0 * medium.pressure / (gas_constant * temperature));
    return Flow{factor * root.value, factor * root.slope};
  };
  if (!(difference > 0.0)) return plain(air.outside);
  if (!(air.heat > 0.0)) return plain(air.temperature);
  // m² T = asked with m T = m T_0 + Q / c_p.
  const double heat = air.heat / specific_heat;
  const double factor = 2.0 * area * area * medium.pressure / gas_constant;
  const double asked = factor * difference;
  const double inner = std::sqrt(heat * heat + 4.0 * air.temperature * asked);
  const double flow = 2.0 * asked / (heat + inner);
  if (!(heat <= flow * largest_rise)) return plain(air.temperature + largest_rise);
  return {flow, factor / inner};  // of m² T_0 + m Q/c_p = asked: dm = d asked / (2 m T_0 + Q/c_p)
}

}  // namespace cowlwright::network
