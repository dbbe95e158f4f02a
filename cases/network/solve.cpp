// SPDX-License-Identifier: GPL-3.0-or-later
//
// Newton's method on the deck pressures. Every part passes more with more pressure difference, so the flows'
// balance is the gradient of a convex function of the pressures: there is one solution, and a step along
// Newton's direction can always be shortened until the imbalance falls. Temperatures in the decks follow the
// flows: where all air goes the intended way they do not feed back, else both are repeated until they agree.
#include "cases/network/solve.h"

#include "geometry/base/air.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace cowlwright::network {
namespace {

using base::air::specific_heat;

constexpr std::size_t lower = 2;
constexpr int most_steps = 200;
constexpr int most_rounds = 200;
constexpr double balance_tolerance = 1e-12;      // of the flow
constexpr double temperature_tolerance = 1e-10;  // [K]
constexpr double accepted_imbalance = 2e-11;     // where rounding lets no step improve it

/// Imbalance of each deck's flows and its derivatives with the decks' pressures.
struct Residual {
  std::array<double, 3> in{};                    ///< [kg/s]
  std::array<std::array<double, 3>, 3> slope{};  ///< [kg/(s Pa)]
  double through = 0.0;                          ///< all that comes in [kg/s]

  double size() const { return std::hypot(in[0], in[1], in[2]); }
};

std::size_t node_of(const Coefficients& c, base::Side side) {
  return c.is_split && side == base::Side::Right ? 1 : 0;
}

class Network {
 public:
  Network(const Coefficients& coefficients, const Drive& drive) : c_(coefficients), drive_(drive) {
    const std::size_t n = c_.passages.size();
    balance_.passage_flow.assign(n, 0.0);
    balance_.heat = drive_.heat;
    balance_.temperature.fill(drive_.inlet_temperature);
    exit_air_ = {drive_.inlet_temperature,
                 std::accumulate(drive_.heat.begin(), drive_.heat.end(), 0.0),
                 drive_.outside_temperature};
    // A billionth of what the throats would pass at 1 m/s.
    negligible_ = 1e-9 * drive_.medium.density * (c_.inlets[0].area + c_.inlets[1].area);
  }

  Balance solve();

 private:
  Residual residual(const std::array<double, 3>& pressure);
  void add_between(Residual& r, std::size_t from, std::size_t to, const Flow& flow) const;
  std::array<double, 3> newton_step(const Residual& r) const;
  void balance_pressures();
  std::array<double, 3> follow_temperatures();
  bool is_negligible(double flow) const { return std::abs(flow) <= negligible_; }
  bool has_backflow() const;
  double rounding(const Residual& r) const;
  void start();

  const Coefficients& c_;
  const Drive& drive_;
  Balance balance_;
  ExitAir exit_air_;
  double negligible_ = 0.0;  ///< flow that is none [kg/s]
};

void Network::add_between(Residual& r, std::size_t from, std::size_t to, const Flow& flow) const {
  if (from == to) return;
  r.in[from] -= flow.mass_flow;
  r.in[to] += flow.mass_flow;
  r.slope[from][from] -= flow.slope;
  r.slope[from][to] += flow.slope;
  r.slope[to][from] += flow.slope;
  r.slope[to][to] -= flow.slope;
}

Residual Network::residual(const std::array<double, 3>& pressure) {
  Residual r;
  for (std::size_t i = 0; i < 2; ++i) {
    const std::size_t node = c_.is_split ? i : 0;
    const double difference = drive_.ahead[i].total_pressure - pressure[node];
    const Flow flow = inlet_flow(c_.inlets[i], drive_.ahead[i], drive_.medium, difference);
    balance_.inlet_flow[i] = flow.mass_flow;
    r.in[node] += flow.mass_flow;
    r.slope[node][node] -= flow.slope;
    r.through += std::max(flow.mass_flow, 0.0);
  }
  for (std::size_t i = 0; i < c_.passages.size(); ++i) {
    const PassageCoefficients& passage = c_.passages[i];
    const std::size_t from = passage.joins_decks ? node_of(c_, passage.side) : 0;
    const std::size_t to = passage.joins_decks ? lower : (c_.is_split ? 1 : 0);
    const double difference = pressure[from] - pressure[to];
    const double before = balance_.temperature[difference < 0.0 ? to : from];
    const Flow flow = passage_flow(passage, drive_.medium, before, drive_.heat[i], difference);
    balance_.passage_flow[i] = from == to ? 0.0 : flow.mass_flow;
    add_between(r, from, to, flow);
  }
  const double difference = pressure[lower] - drive_.exit_pressure;
  const Flow flow = exit_flow(c_.exit, exit_air_, drive_.medium, difference);
  balance_.exit_flow = flow.mass_flow;
  r.in[lower] -= flow.mass_flow;
  r.slope[lower][lower] -= flow.slope;
  r.through += std::max(-flow.mass_flow, 0.0);
  if (!c_.is_split) r.slope[1][1] = -1.0;  // stands in for the half that is not there
  return r;
}

/// -slope is symmetric, positive and dominated by its diagonal: elimination needs no exchange of rows.
std::array<double, 3> Network::newton_step(const Residual& r) const {
  auto a = r.slope;
  std::array<double, 3> b{-r.in[0], -r.in[1], -r.in[2]};
  for (std::size_t k = 0; k < 2; ++k) {
    for (std::size_t i = k + 1; i < 3; ++i) {
      const double factor = a[i][k] / a[k][k];
      for (std::size_t j = k; j < 3; ++j) a[i][j] -= factor * a[k][j];
      b[i] -= factor * b[k];
    }
  }
  std::array<double, 3> step{};
  for (std::size_t k = 3; k-- > 0;) {
    double rest = b[k];
    for (std::size_t j = k + 1; j < 3; ++j) rest -= a[k][j] * step[j];
    step[k] = rest / a[k][k];
  }
  return step;
}

void Network::start() {
  const double top = std::max(drive_.ahead[0].total_pressure, drive_.ahead[1].total_pressure);
  for (std::size_t i = 0; i < 2; ++i) {
    const double ahead = c_.is_split ? drive_.ahead[i].total_pressure : top;
    balance_.pressure[i] = std::lerp(drive_.exit_pressure, ahead, 0.85);
  }
  balance_.pressure[lower] = std::lerp(drive_.exit_pressure, top, 0.15);
}

/// Imbalance that the last digits of the pressures make: with next to no flow nothing smaller can be had
/// [kg/s].
double Network::rounding(const Residual& r) const {
  double largest = 0.0;
  double steepest = 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    largest = std::max(largest, std::abs(balance_.pressure[i]));
    steepest = std::max(steepest, std::abs(r.slope[i][i]));
  }
  return 4.0 * std::numeric_limits<double>::epsilon() * largest * steepest;
}

void Network::balance_pressures() {
  Residual r = residual(balance_.pressure);
  for (int k = 0; k < most_steps; ++k) {
    const double scale = std::max(r.through, 1e-6);
    if (r.size() <= balance_tolerance * scale) return;
    const std::array<double, 3> step = newton_step(r);
    double share = 1.0;
    for (; share > 1e-12; share *= 0.5) {
      std::array<double, 3> next = balance_.pressure;
      for (std::size_t i = 0; i < 3; ++i) next[i] += share * step[i];
      const Residual there = residual(next);
      if (there.size() <= (1.0 - 1e-4 * share) * r.size()) {
        balance_.pressure = next;
        r = there;
        break;
      }
    }
    if (share > 1e-12) continue;
    r = residual(balance_.pressure);
    if (r.size() <= std::max(accepted_imbalance * scale, rounding(r))) return;
    throw base::ResultError(
        fmt::format("network: no step improves the balance of the decks, which is off by {:.3g} of {:.3g} "
                    "kg/s at {:.1f}, {:.1f} "
                    "and {:.1f} Pa: must be below {:.0e} of it. Check the coefficients and the condition.",
                    r.size(),
                    r.through,
                    balance_.pressure[0],
                    balance_.pressure[1],
                    balance_.pressure[2],
                    accepted_imbalance));
  }
  throw base::ResultError(fmt::format(
      "network: the balance of the decks is off by {:.3g} of {:.3g} kg/s after {} steps: must be below "
      "{:.0e} of it. Check the coefficients and the condition.",
      r.size(),
      r.through,
      most_steps,
      balance_tolerance));
}

bool Network::has_backflow() const {
  const auto is_back = [this](double flow) { return flow < 0.0 && !is_negligible(flow); };
  return is_back(balance_.exit_flow) ||
         std::any_of(balance_.inlet_flow.begin(), balance_.inlet_flow.end(), is_back) ||
         std::any_of(balance_.passage_flow.begin(), balance_.passage_flow.end(), is_back);
}

/// Mixes what comes into each deck. @return  how far each temperature has moved [K].
std::array<double, 3> Network::follow_temperatures() {
  std::array<double, 3> flow{};    // into each deck
  std::array<double, 3> energy{};  // likewise, over c_p
  const auto add = [&](std::size_t node, double in, double temperature, double heat) {
    flow[node] += in;
    energy[node] += in * temperature + heat / specific_heat;
  };
  for (std::size_t i = 0; i < 2; ++i) {
    const std::size_t node = c_.is_split ? i : 0;
    if (balance_.inlet_flow[i] > 0.0) add(node, balance_.inlet_flow[i], drive_.inlet_temperature, 0.0);
  }
  for (std::size_t i = 0; i < c_.passages.size(); ++i) {
    const PassageCoefficients& passage = c_.passages[i];
    std::size_t from = passage.joins_decks ? node_of(c_, passage.side) : 0;
    std::size_t to = passage.joins_decks ? lower : (c_.is_split ? 1 : 0);
    const double through = balance_.passage_flow[i];
    if (through < 0.0) std::swap(from, to);
    balance_.heat[i] = taken_heat(drive_.heat[i], through);
    if (from != to) add(to, std::abs(through), balance_.temperature[from], balance_.heat[i]);
  }
  if (balance_.exit_flow < 0.0) add(lower, -balance_.exit_flow, drive_.outside_temperature, 0.0);
  std::array<double, 3> change{};
  for (std::size_t i = 0; i < 3; ++i) {
    if (i == 1 && !c_.is_split) continue;
    const double mixed = !is_negligible(flow[i]) ? energy[i] / flow[i] : drive_.inlet_temperature;
    change[i] = std::abs(mixed - balance_.temperature[i]);
    balance_.temperature[i] = mixed;
  }
  if (!c_.is_split) balance_.temperature[1] = balance_.temperature[0];
  return change;
}

Balance Network::solve() {
  start();
  for (int round = 0; round < most_rounds; ++round) {
    balance_pressures();
    const double offered = exit_air_.heat;
    const std::array<double, 3> change = follow_temperatures();
    const bool upper_holds = std::max(change[0], change[1]) <= temperature_tolerance;
    if (!has_backflow()) {
      // The exit sees unheated air and its heat, so only the heat itself can feed back.
      exit_air_.temperature = drive_.inlet_temperature;
      exit_air_.heat = std::accumulate(balance_.heat.begin(), balance_.heat.end(), 0.0);
      if (upper_holds && std::abs(exit_air_.heat - offered) <= 1e-13 * offered) return balance_;
    } else {
      exit_air_.temperature = balance_.temperature[lower];
      exit_air_.heat = 0.0;
      if (upper_holds && offered == 0.0 && change[lower] <= temperature_tolerance) return balance_;
    }
  }
  throw base::ResultError(fmt::format(
      "network: flows and temperatures do not agree after {} rounds; decks at {:.1f}, {:.1f} and {:.1f} Pa, "
      "{:.1f}, "
      "{:.1f} and {:.1f} K. Air flows back through a heated part: check the condition and the openings.",
      most_rounds,
      balance_.pressure[0],
      balance_.pressure[1],
      balance_.pressure[2],
      balance_.temperature[0],
      balance_.temperature[1],
      balance_.temperature[2]));
}

}  // namespace

Balance solve_balance(const Coefficients& coefficients, const Drive& drive) {
  return Network(coefficients, drive).solve();
}

}  // namespace cowlwright::network
