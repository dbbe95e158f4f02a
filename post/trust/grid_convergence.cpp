// SPDX-License-Identifier: GPL-3.0-or-later
//
// The procedure in its steps. phi are the values, e21 = phi2 - phi1 and e32 = phi3 - phi2.
#include "post/trust/grid_convergence.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::post {

namespace {

constexpr double smallest_ratio = 1.001;  // below it a logarithm of the ratio is rounding
constexpr double smallest_order = 1e-6;   // keeps the iteration off the pole at order zero
constexpr double order_tolerance = 1e-10;
constexpr int most_iterations = 500;

void check(const std::array<GridPoint, 3>& grids) {
  for (const GridPoint& grid : grids) {
    if (!std::isfinite(grid.value) || !(grid.cell_size > 0.0) || !std::isfinite(grid.cell_size) ||
        !(grid.half_band >= 0.0) || !(grid.rounding >= 0.0)) {
      throw base::InputError(fmt::format(
          "grid of {:g} m with value {:g}, half band {:g}: all must be finite, the size > 0, the band >= 0.",
          grid.cell_size,
          grid.value,
          grid.half_band));
    }
  }
  for (std::size_t i = 0; i < 2; ++i) {
    if (!(grids[i + 1].cell_size > smallest_ratio * grids[i].cell_size)) {
      throw base::InputError(
          fmt::format("cell sizes {:g} m, {:g} m: must rise from the fine to the coarse grid.",
                      grids[i].cell_size,
                      grids[i + 1].cell_size));
    }
  }
}

/// Celik's equation p = (ln|e32/e21| + q(p)) / ln r21, q = ln((r21^p - s) / (r32^p - s)), s the sign of
/// e32/e21. Its slope on the right is |ln(r21/r32)| / ln r21 at most, so that the iteration converges for
/// ratios that are alike.
double observed_order(double change_ratio, double r21, double r32) {
  const double sign = change_ratio > 0.0 ? 1.0 : -1.0;
  const double growth = std::log(std::abs(change_ratio));
  double order = std::max(growth / std::log(r21), smallest_order);
  for (int i = 0; i < most_iterations; ++i) {
    const double q = std::log((std::pow(r21, order) - sign) / (std::pow(r32, order) - sign));
    const double next = std::max((growth + q) / std::log(r21), smallest_order);
    const bool is_done = std::abs(next - order) < order_tolerance;
    order = next;
    if (is_done) {
      break;
    }
  }
  return order;
}

/// |change| as Celik's index in the unit of the values.
double index_of(double change, double ratio, double order) {
  return safety_factor * std::abs(change) / (std::pow(ratio, order) - 1.0);
}

std::optional<double> share(double part, double whole) {
  return std::abs(whole) > 0.0 ? std::optional(std::abs(part / whole)) : std::nullopt;
}

double range_of(const std::array<GridPoint, 3>& grids) {
  const auto [low, high] = std::minmax({grids[0].value, grids[1].value, grids[2].value});
  return high - low;
}

/// Is a change hidden by the swing of the iterations on its two grids? Without known bands it is not.
bool is_hidden(double change, const GridPoint& a, const GridPoint& b) {
  const double bands = a.half_band + b.half_band;
  return bands > 0.0 && std::abs(change) <= bands;
}

/// Celik's numbers for an order that is known.
void add_estimates(GridConvergence& result, const std::array<GridPoint, 3>& grids, double order) {
  const double phi1 = grids[0].value;
  const double phi2 = grids[1].value;
  const double e21 = phi2 - phi1;
  const double used = std::min(order, formal_order);
  const double index_21 = index_of(e21, result.ratio_21, used);
  const double index_32 = index_of(grids[2].value - phi2, result.ratio_32, used);
  result.order = order;
  result.gci_21 = share(index_21, phi1);
  result.gci_32 = share(index_32, phi2);
  if (result.behaviour != GridBehaviour::Oscillatory) {
    const double reach = std::pow(result.ratio_21, used);
    result.extrapolated = (reach * phi1 - phi2) / (reach - 1.0);
    result.extrapolated_error = share(*result.extrapolated - phi1, *result.extrapolated);
  }
  switch (result.behaviour) {
    case GridBehaviour::OrderBelowOne:
    case GridBehaviour::Oscillatory:
      result.band = std::max(index_21, result.range);
      break;
    case GridBehaviour::OrderAboveFormal:
      result.band = std::max(index_21, index_32 / std::pow(result.ratio_21, formal_order));
      break;
    default:
      result.band = index_21;
  }
}

}  // namespace

std::string_view behaviour_name(GridBehaviour behaviour) {
  switch (behaviour) {
    case GridBehaviour::Monotone:
      return "monotone";
    case GridBehaviour::OrderBelowOne:
      return "order below 1";
    case GridBehaviour::OrderAboveFormal:
      return "order above 2";
    case GridBehaviour::Oscillatory:
      return "oscillatory";
    case GridBehaviour::Diverging:
      return "diverging";
    case GridBehaviour::WithinIterativeBands:
      return "within bands";
    case GridBehaviour::Identical:
      return "identical";
  }
  return "diverging";
}

bool is_flagged(GridBehaviour behaviour) {
  return behaviour == GridBehaviour::OrderBelowOne || behaviour == GridBehaviour::Oscillatory ||
         behaviour == GridBehaviour::Diverging;
}

GridConvergence grid_convergence(const std::array<GridPoint, 3>& grids) {
  check(grids);
  const double e21 = grids[1].value - grids[0].value;
  const double e32 = grids[2].value - grids[1].value;
  GridConvergence result;
  result.ratio_21 = grids[1].cell_size / grids[0].cell_size;
  result.ratio_32 = grids[2].cell_size / grids[1].cell_size;
  result.range = range_of(grids);
  result.approximate_error = share(e21, grids[0].value);

  // Cases without an order.
  const double rounding = std::max({grids[0].rounding, grids[1].rounding, grids[2].rounding});
  if (!(result.range > rounding)) {
    result.behaviour = GridBehaviour::Identical;
    return result;
  }
  if (is_hidden(e21, grids[0], grids[1]) || is_hidden(e32, grids[1], grids[2])) {
    result.behaviour = GridBehaviour::WithinIterativeBands;
    result.band = result.range;
    return result;
  }
  if (!(std::abs(e21) > rounding)) {  // an infinite order, which is chance
    result.behaviour = GridBehaviour::OrderAboveFormal;
    result.band = result.range;
    return result;
  }
  const double change_ratio = e32 / e21;
  // An order above zero needs e32/e21 above the limit of r21^p (r32^p - 1) / (r21^p - 1) for p -> 0; with
  // alternating signs, of r21^p (r32^p + 1) / (r21^p + 1), which is 1.
  const double limit = change_ratio > 0.0 ? std::log(result.ratio_32) / std::log(result.ratio_21) : 1.0;
  if (!(std::abs(change_ratio) > limit)) {
    result.behaviour = change_ratio < 0.0 ? GridBehaviour::Oscillatory : GridBehaviour::Diverging;
    result.band = diverging_factor * result.range;
    return result;
  }

  // The order and what follows from it.
  const double order = observed_order(change_ratio, result.ratio_21, result.ratio_32);
  constexpr double printed = 5e-3;  // orders are given to two digits: 2.004 is 2
  result.behaviour = change_ratio < 0.0               ? GridBehaviour::Oscillatory
                     : order < 1.0 - printed          ? GridBehaviour::OrderBelowOne
                     : order > formal_order + printed ? GridBehaviour::OrderAboveFormal
                                                      : GridBehaviour::Monotone;
  add_estimates(result, grids, order);
  return result;
}

}  // namespace cowlwright::post
