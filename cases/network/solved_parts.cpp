// SPDX-License-Identifier: GPL-3.0-or-later
//
// Turning round the laws of elements.h.
#include "cases/network/solved_parts.h"

#include "cases/network/air_ahead.h"
#include "cases/network/elements.h"
#include "cases/network/model.h"
#include "geometry/base/air.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::network {

namespace {

using base::PassageKind;
using base::SolvedCase;
using base::SolvedPassage;
using base::air::gas_constant;
using base::air::specific_heat;

/// Below this share of q and disk loading a rise of the blade elements is no measure of the solver's, and
/// beyond this factor it is not the same thing. Chosen, no source.
constexpr double least_rise = 0.02;
constexpr double largest_factor = 5.0;
/// No inlet loses less than a well rounded entrance [Idelchik, diagram 3-4]: less can only come from a mean
/// factor on the rise that is not the case's own.
constexpr double least_loss = 0.03;
/// Velocity ratios nearer than this, relative, are one point of a curve.
constexpr double one_point = 0.01;

/// Flow, heat and drop of a network's passage: head and barrel of a cylinder are one there.
struct Whole {
  double mass_flow = 0.0;
  double heat = 0.0;
  double flow_band = 0.0;
  bool is_there = false;
};

Whole whole_passage(const SolvedCase& solved, const std::string& name) {
  Whole whole;
  for (const SolvedPassage& part : solved.passages) {
    if (part.name != name && part.name != name + "_head" && part.name != name + "_barrel") continue;
    whole.mass_flow += part.mass_flow;
    whole.heat += part.heat;
    whole.flow_band = std::max(whole.flow_band, part.mass_flow_band);
    whole.is_there = true;
  }
  return whole;
}

/// Pressure that drives this flow through a passage with a resistance of 1.
double drop_at(const PassageCoefficients& passage,
               const Medium& medium,
               double temperature,
               double heat,
               double mass_flow) {
  double low = 0.0;
  double high = 1.0;
  const auto flow = [&](double drop) {
    return passage_flow(passage, medium, temperature, heat, drop).mass_flow;
  };
  while (flow(high) < mass_flow && high < 1e9) high *= 2.0;
  for (int k = 0; k < 80; ++k) {
    const double middle = 0.5 * (low + high);
    (flow(middle) < mass_flow ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// Deck pressures as the network has them.
struct Decks {
  std::array<double, 2> upper{};
  double lower = 0.0;
};

Decks decks_of(const SolvedCase& solved, bool is_split) {
  Decks decks;
  decks.lower = solved.exit.lower_deck_pressure;
  for (std::size_t i = 0; i < 2; ++i) {
    decks.upper[i] =
        is_split ? solved.inlets[i].deck_pressure : decks.lower + solved.deck_pressure_difference;
  }
  return decks;
}

TurnedInlet turned_inlet(const SolvedCase& solved,
                         const Coefficients& network,
                         const AheadOfInlet& ahead,
                         const base::Vec3& wind,
                         std::size_t i) {
  const base::SolvedInlet& inlet = solved.inlets[i];
  const double density = solved.flight.density;
  const double speed = inlet.mass_flow / (density * network.inlets[i].area);
  TurnedInlet turned;
  turned.velocity_ratio = base::is_by_q(solved.flight) ? speed / solved.flight.true_airspeed : 0.0;
  turned.speed_head = 0.5 * density * speed * speed;
  turned.deck_pressure = decks_of(solved, network.is_split).upper[i];
  const AirAhead air = air_ahead(ahead, 1.0, density, wind);
  turned.rise = air.propeller_rise;
  turned.free_stream = air.total_pressure - air.propeller_rise;
  const double factor = (inlet.total_pressure_ahead - turned.free_stream) / turned.rise;
  const double reference = solved.flight.dynamic_pressure + solved.disk_loading;
  if (turned.rise > least_rise * reference && factor > 0.0 && factor < largest_factor) {
    turned.rise_factor = factor;
  }
  if (inlet.mass_flow > 0.0) {
    turned.loss = (inlet.total_pressure_ahead - turned.deck_pressure) / turned.speed_head;
  }
  return turned;
}

void turn_passages(const SolvedCase& solved,
                   const Coefficients& network,
                   const Medium& medium,
                   Turned& turned) {
  const double ahead = 0.5 * (solved.inlets[0].total_pressure_ahead + solved.inlets[1].total_pressure_ahead);
  const double temperature =
      solved.flight.temperature + std::max(ahead, 0.0) / (medium.density * specific_heat);
  const Decks decks = decks_of(solved, network.is_split);
  for (PassageCoefficients passage : network.passages) {
    const Whole whole = whole_passage(solved, passage.name);
    const std::size_t half = network.is_split && passage.side == base::Side::Right ? 1 : 0;
    const double drop =
        passage.joins_decks ? decks.upper[half] - decks.lower : decks.upper[0] - decks.upper[1];
    if (!whole.is_there || !(whole.mass_flow * drop > 0.0)) continue;
    passage.resistance.value = 1.0;
    const double value =
        passage.kind == PassageKind::Leak
            ? whole.mass_flow / passage_flow(passage, medium, temperature, whole.heat, drop).mass_flow
            : std::abs(drop) / drop_at(passage, medium, temperature, whole.heat, std::abs(whole.mass_flow));
    if (value > 0.0 && std::isfinite(value)) turned.factor[passage.name] = {value, whole.flow_band};
  }
  double heat = 0.0;
  for (const SolvedPassage& passage : solved.passages) heat += passage.heat;
  const double hot = temperature + heat / (specific_heat * solved.exit.mass_flow);
  const double density = medium.pressure / (gas_constant * hot);
  const double difference = decks.lower - solved.exit.pressure;
  if (solved.exit.mass_flow > 0.0 && difference > 0.0) {
    turned.discharge = solved.exit.mass_flow / (network.exit.area * std::sqrt(2.0 * density * difference));
  }
}

}  // namespace

double loss_with(const TurnedInlet& inlet, double factor) {
  const double loss = (inlet.free_stream + factor * inlet.rise - inlet.deck_pressure) / inlet.speed_head;
  return std::max(loss, least_loss);
}

std::vector<LossPoint> joined(std::vector<LossPoint> points) {
  std::sort(points.begin(), points.end(), [](const LossPoint& a, const LossPoint& b) {
    return a.velocity_ratio < b.velocity_ratio;
  });
  std::vector<LossPoint> curve;
  for (std::size_t first = 0; first < points.size();) {
    std::size_t end = first;
    LossPoint mean;
    while (end < points.size() &&
           points[end].velocity_ratio <= (1.0 + one_point) * points[first].velocity_ratio) {
      mean.velocity_ratio += points[end].velocity_ratio;
      mean.loss += points[end].loss;
      ++end;
    }
    const auto n = static_cast<double>(end - first);
    curve.push_back({mean.velocity_ratio / n, mean.loss / n});
    first = end;
  }
  return curve;
}

Turned turned_round(const SolvedCase& solved, const VariantSpec& made_from) {
  const Coefficients network = default_coefficients(made_from);
  const Condition condition = stated_condition(made_from);
  const Ahead ahead = ahead_of_inlets(made_from, condition, nullptr);
  const base::Vec3 wind = wind_of(condition, made_from.flight.sideslip);
  const Medium medium{solved.flight.pressure, solved.flight.density, solved.flight.true_airspeed};
  Turned turned;
  for (std::size_t i = 0; i < 2; ++i) {
    turned.inlets[i] = turned_inlet(solved, network, ahead.inlets[i], wind, i);
  }
  turn_passages(solved, network, medium, turned);
  return turned;
}

}  // namespace cowlwright::network
