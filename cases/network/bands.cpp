// SPDX-License-Identifier: GPL-3.0-or-later
//
// One coefficient at a time.
#include "cases/network/bands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace cowlwright::network {
namespace {

/// Below this a loss, a discharge or a factor has no meaning.
constexpr double least_loss = 0.01;
constexpr double least_factor = 0.05;
const double shared_part = std::sqrt(0.5);

/// One place of a coefficient.
struct Member {
  std::string part;  ///< "left", "l1"
  std::function<Coefficient&(Coefficients&)> of;
};

void shift(Coefficient& coefficient, double half_bands, double least) {
  coefficient.value = std::max(coefficient.value + half_bands * coefficient.half_band, least);
}

/// Parts with one value, band and source become one coefficient.
void add_group(const Coefficients& coefficients,
               const std::string& name,
               const std::string& all,
               double least,
               const std::vector<Member>& members,
               std::vector<MovingCoefficient>& list) {
  Coefficients copy = coefficients;
  std::vector<bool> is_taken(members.size(), false);
  for (std::size_t i = 0; i < members.size(); ++i) {
    if (is_taken[i]) continue;
    const Coefficient one = members[i].of(copy);
    std::vector<std::function<Coefficient&(Coefficients&)>> group;
    std::string parts;
    for (std::size_t k = i; k < members.size(); ++k) {
      const Coefficient& other = members[k].of(copy);
      if (other.value != one.value || other.half_band != one.half_band || other.source != one.source)
        continue;
      is_taken[k] = true;
      group.push_back(members[k].of);
      parts += (parts.empty() ? "" : ", ") + members[k].part;
    }
    const bool is_whole = group.size() == members.size() && members.size() > 1;
    // Parts alike: half of the square of the band is an error of all of them, half each one's own.
    const double share = group.size() > 1 ? shared_part : 1.0;
    const auto add = [&](const std::string& parts_named,
                         std::vector<std::function<Coefficient&(Coefficients&)>> moved) {
      list.push_back({name + (parts_named.empty() ? "" : ", " + parts_named),
                      "-",
                      one.value,
                      share * one.half_band,
                      one.source,
                      [moved = std::move(moved), share, least](Coefficients& c, double half_bands) {
                        for (const auto& of : moved) shift(of(c), share * half_bands, least);
                      }});
    };
    add(is_whole ? all : parts, group);
    for (std::size_t k = 0; group.size() > 1 && k < members.size(); ++k) {
      const Coefficient& other = members[k].of(copy);
      const bool is_alike =
          other.value == one.value && other.half_band == one.half_band && other.source == one.source;
      if (is_alike) add(members[k].part + " alone", {members[k].of});
    }
  }
}

std::vector<Member> inlet_members(const Coefficients& coefficients,
                                  Coefficient InletCoefficients::*member,
                                  bool solved) {
  std::vector<Member> members;
  for (std::size_t i = 0; i < 2; ++i) {
    if (coefficients.inlets[i].solved_loss.empty() == solved) continue;
    members.push_back({i == 0 ? "left" : "right",
                       [i, member](Coefficients& c) -> Coefficient& { return c.inlets[i].*member; }});
  }
  return members;
}

std::vector<Member> passage_members(const Coefficients& coefficients, base::PassageKind kind) {
  std::vector<Member> members;
  for (std::size_t i = 0; i < coefficients.passages.size(); ++i) {
    if (coefficients.passages[i].kind != kind) continue;
    members.push_back({coefficients.passages[i].name,
                       [i](Coefficients& c) -> Coefficient& { return c.passages[i].resistance; }});
  }
  return members;
}

/// Solved losses move by a share of themselves.
void add_solved_losses(const Coefficients& coefficients, std::vector<MovingCoefficient>& list) {
  for (std::size_t i = 0; i < 2; ++i) {
    const InletCoefficients& inlet = coefficients.inlets[i];
    if (inlet.solved_loss.empty()) continue;
    list.push_back({fmt::format("solved inlet loss, factor, {}", i == 0 ? "left" : "right"),
                    "-",
                    1.0,
                    inlet.solved_loss_origin.half_band,
                    inlet.solved_loss_origin.source,
                    [i](Coefficients& c, double half_bands) {
                      const double factor =
                          std::max(1.0 + half_bands * c.inlets[i].solved_loss_origin.half_band, least_factor);
                      for (LossPoint& point : c.inlets[i].solved_loss) point.loss *= factor;
                    }});
  }
}

}  // namespace

std::vector<MovingCoefficient> moving_coefficients(const Coefficients& coefficients) {
  std::vector<MovingCoefficient> list;
  const auto inlets = [&](const char* name, Coefficient InletCoefficients::*member, double least) {
    add_group(coefficients, name, "both inlets", least, inlet_members(coefficients, member, false), list);
  };
  inlets("inlet loss in still air", &InletCoefficients::still_loss, 0.0);
  inlets("loss in diffuser and deck", &InletCoefficients::deck_loss, least_loss);
  add_solved_losses(coefficients, list);
  std::vector<Member> rises = inlet_members(coefficients, &InletCoefficients::propeller_rise, false);
  for (Member& more : inlet_members(coefficients, &InletCoefficients::propeller_rise, true)) {
    rises.push_back(std::move(more));
  }
  constexpr double no_least = -1e9;
  add_group(coefficients, "propeller's pressure rise, factor", "both inlets", no_least, rises, list);
  add_group(coefficients,
            "cylinders' pressure drop, factor",
            "all cylinders",
            least_factor,
            passage_members(coefficients, base::PassageKind::Core),
            list);
  add_group(coefficients,
            "oil cooler's pressure drop, factor",
            "all",
            least_factor,
            passage_members(coefficients, base::PassageKind::Cooler),
            list);
  add_group(coefficients,
            "leaks' pressure drop, factor",
            "all leaks",
            least_factor,
            passage_members(coefficients, base::PassageKind::Leak),
            list);
  add_group(coefficients,
            "exit discharge",
            "",
            least_factor,
            {{"", [](Coefficients& c) -> Coefficient& { return c.exit.discharge; }}},
            list);
  add_group(coefficients,
            "exit pressure coefficient",
            "",
            no_least,
            {{"", [](Coefficients& c) -> Coefficient& { return c.exit.pressure; }}},
            list);
  return list;
}

Estimate estimate(const Model& model, const Condition& condition, Route route) {
  std::vector<MovingCoefficient> list = moving_coefficients(model.coefficients());
  std::vector<Coefficients> all{model.coefficients()};
  for (const MovingCoefficient& one : list) {
    for (const double half_bands : {1.0, -1.0}) {
      if (!(one.half_band > 0.0)) continue;
      all.push_back(model.coefficients());
      one.move(all.back(), half_bands);
    }
  }
  const std::vector<State> states = model.solve_each(condition, all, route);
  Estimate result{states.front(), {}};
  std::size_t next = 1;
  for (MovingCoefficient& one : list) {
    const bool moves = one.half_band > 0.0;
    result.moved.push_back(
        {std::move(one), moves ? states[next] : states.front(), moves ? states[next + 1] : states.front()});
    next += moves ? 2 : 0;
  }
  return result;
}

double half_band(const Estimate& estimate, const std::function<double(const State&)>& value) {
  double square = 0.0;
  for (const Moved& moved : estimate.moved) {
    square += std::pow(shift_of(value(estimate.state), value(moved.up), value(moved.down)), 2);
  }
  return std::sqrt(square);
}

double shift_of(double value, double up, double down) {
  const double above = up - value;
  const double below = value - down;
  if (above * below >= 0.0) return 0.5 * (above + below);
  return std::abs(above) > std::abs(below) ? above : -below;
}

}  // namespace cowlwright::network
