// SPDX-License-Identifier: GPL-3.0-or-later
//
// The tables and straight lines between their entries.
#include "cases/network/handbook.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <span>

namespace cowlwright::network {
namespace {

struct Entrance {
  double ratio;
  double proud;
  double flush;
};

// [Idelchik], diagram 3-4, columns a and b.
constexpr std::array<Entrance, 12> entrances{{{0.00, 1.00, 0.50},
                                              {0.01, 0.87, 0.44},
                                              {0.02, 0.74, 0.37},
                                              {0.03, 0.61, 0.31},
                                              {0.04, 0.51, 0.26},
                                              {0.05, 0.40, 0.22},
                                              {0.06, 0.32, 0.20},
                                              {0.08, 0.20, 0.15},
                                              {0.10, 0.15, 0.12},
                                              {0.12, 0.10, 0.09},
                                              {0.16, 0.06, 0.06},
                                              {0.20, 0.03, 0.03}}};

constexpr std::array<double, 15> diffuser_angles{
    0.0, 3.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 20.0, 24.0, 30.0, 40.0, 60.0, 90.0, 180.0};
constexpr std::array<double, 5> diffuser_ratios{0.0, 0.2, 0.4, 0.6, 1.0};
// [Idelchik], conical diffusers: a row per area ratio. First column and last row are limits, not entries.
constexpr std::array<std::array<double, 15>, 5> diffuser_losses{
    {{0.00, 0.03, 0.08, 0.11, 0.15, 0.19, 0.23, 0.27, 0.36, 0.47, 0.65, 0.92, 1.15, 1.10, 1.02},
     {0.00, 0.02, 0.05, 0.07, 0.10, 0.12, 0.15, 0.17, 0.23, 0.30, 0.41, 0.59, 0.74, 0.70, 0.65},
     {0.00, 0.01, 0.03, 0.04, 0.06, 0.07, 0.08, 0.10, 0.13, 0.17, 0.23, 0.33, 0.41, 0.39, 0.37},
     {0.00, 0.01, 0.01, 0.02, 0.03, 0.03, 0.04, 0.05, 0.06, 0.08, 0.10, 0.15, 0.18, 0.17, 0.16},
     {}}};

/// Interval of a rising list that holds x, and where in it: 0..1.
struct Place {
  std::size_t below;
  double weight;
};

Place place_in(std::span<const double> grid, double x) {
  const double inside = std::clamp(x, grid.front(), grid.back());
  const auto above = std::upper_bound(grid.begin() + 1, grid.end() - 1, inside);
  const auto below = static_cast<std::size_t>(above - grid.begin()) - 1;
  return {below, (inside - grid[below]) / (grid[below + 1] - grid[below])};
}

double entrance_loss(double ratio, double Entrance::*column) {
  if (!(ratio >= 0.0)) {
    throw base::InputError(
        fmt::format("inlet entrance: lip radius over diameter = {}: must be >= 0. Check the ring.", ratio));
  }
  const auto above = std::upper_bound(
      entrances.begin(), entrances.end(), ratio, [](double r, const Entrance& e) { return r < e.ratio; });
  if (above == entrances.end()) return entrances.back().*column;
  const Entrance& below = *(above - 1);
  const double weight = (ratio - below.ratio) / (above->ratio - below.ratio);
  return below.*column + weight * ((*above).*column - below.*column);
}

}  // namespace

double proud_entrance_loss(double radius_over_diameter) {
  return entrance_loss(radius_over_diameter, &Entrance::proud);
}

double flush_entrance_loss(double radius_over_diameter) {
  return entrance_loss(radius_over_diameter, &Entrance::flush);
}

double diffuser_loss(double full_angle, double area_ratio) {
  if (!(full_angle > 0.0) || !(area_ratio >= 0.0) || !(area_ratio <= 1.0)) {
    throw base::InputError(
        fmt::format("diffuser: full angle = {} deg, inlet over outlet area = {}: must be > 0 deg and 0 to 1. "
                    "Check diffuser_length and diffuser_area_ratio.",
                    full_angle * 180.0 / std::numbers::pi,
                    area_ratio));
  }
  const Place angle = place_in(diffuser_angles, full_angle * 180.0 / std::numbers::pi);
  const Place ratio = place_in(diffuser_ratios, area_ratio);
  const auto at = [&](std::size_t row) {
    const auto& losses = diffuser_losses[row];
    return losses[angle.below] + angle.weight * (losses[angle.below + 1] - losses[angle.below]);
  };
  return at(ratio.below) + ratio.weight * (at(ratio.below + 1) - at(ratio.below));
}

}  // namespace cowlwright::network
