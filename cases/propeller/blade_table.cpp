// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cubic interpolation between solved entries.
#include "cases/propeller/blade_table.h"

#include "cases/propeller/annulus.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;
constexpr double advance_step = 0.05;
constexpr double ratio_step = 0.04;
// Of the blade angle at three quarters of the radius; what trim_to_power() searches.
constexpr double lowest_setting = 0.0;
constexpr double setting_step = 1.25 * degree;
constexpr std::size_t n_settings = 53;

/// Four neighbouring entries and their weights (Lagrange).
struct Cubic {
  std::size_t first = 0;
  std::array<double, 4> weight{};
};

/// @param x  in steps of the grid, >= 0; the grid ends at `last` or goes on.
Cubic cubic(double x, std::optional<std::size_t> last) {
  auto first = static_cast<std::size_t>(std::max(std::floor(x) - 1.0, 0.0));
  if (last && first + 3 > *last) first = *last - 3;
  const double t = x - static_cast<double>(first);
  const double a = t, b = t - 1.0, c = t - 2.0, d = t - 3.0;
  return {first, {-b * c * d / 6.0, a * c * d / 2.0, -a * b * d / 2.0, a * b * c / 6.0}};
}

template <class Grid>
auto& entry(Grid& grid, std::size_t i, std::size_t setting) {
  if (grid.size() <= i) grid.resize(i + 1);
  if (grid[i].empty()) grid[i].resize(n_settings);
  return grid[i][setting];
}

}  // namespace

BladeTable::BladeTable(PropellerSpec propeller, std::vector<double> radii)
    : propeller_(std::move(propeller)), radii_(std::move(radii)), air_(radii_.size()) {
  setting_ = annulus_at(propeller_, 0.75 * 0.5 * propeller_.diameter, 0.0).blade_angle;
}

const BladeTable::Coefficients& BladeTable::loads_node(std::size_t advance, std::size_t setting) const {
  std::optional<Coefficients>& node = entry(loads_, advance, setting);
  if (!node) {
    const double D = propeller_.diameter;
    const double speed = advance_step * static_cast<double>(advance) * D;  // at one turn a second
    const double collective = lowest_setting + setting_step * static_cast<double>(setting) - setting_;
    const Performance result = performance_at(propeller_, {speed, 1.0, 2.0 * pi}, collective);
    node = Coefficients{result.thrust / std::pow(D, 4), result.power / std::pow(D, 5)};
  }
  return *node;
}

const LocalAir& BladeTable::air_node(std::size_t radius, std::size_t ratio, std::size_t setting) const {
  std::optional<LocalAir>& node = entry(air_[radius], ratio, setting);
  if (!node) {
    // At a blade speed of 1 m/s and a density of 1 kg/m³.
    const double collective = lowest_setting + setting_step * static_cast<double>(setting) - setting_;
    const Operating operating{ratio_step * static_cast<double>(ratio), 1.0, 1.0 / radii_[radius]};
    node = propeller::local_air(propeller_, operating, collective, {radii_[radius], 0.0});
  }
  return *node;
}

BladeTable::Coefficients BladeTable::loads_at(double advance, double setting) const {
  const Cubic along = cubic(advance / advance_step, std::nullopt);
  const Cubic across = cubic((setting - lowest_setting) / setting_step, n_settings - 1);
  Coefficients result;
  for (std::size_t i = 0; i < 4; ++i) {
    for (std::size_t k = 0; k < 4; ++k) {
      const Coefficients& node = loads_node(along.first + i, across.first + k);
      const double weight = along.weight[i] * across.weight[k];
      result.thrust += weight * node.thrust;
      result.power += weight * node.power;
    }
  }
  return result;
}

/// The first crossing from the fine-pitch side, as trim_to_power() takes.
std::optional<double> BladeTable::setting_for(double advance, double power) const {
  const Cubic along = cubic(advance / advance_step, std::nullopt);
  const auto column = [&](std::size_t setting) {
    double result = 0.0;
    for (std::size_t i = 0; i < 4; ++i)
      result += along.weight[i] * loads_node(along.first + i, setting).power;
    return result;
  };
  if (!(column(0) < power)) return std::nullopt;
  std::size_t above = 1;
  while (above < n_settings && column(above) < power) ++above;
  if (above == n_settings) return std::nullopt;
  double low = lowest_setting + setting_step * static_cast<double>(above - 1);
  double high = low + setting_step;
  const Cubic across = cubic(static_cast<double>(above) - 0.5, n_settings - 1);
  std::array<double, 4> node{};
  for (std::size_t k = 0; k < 4; ++k) node[k] = column(across.first + k);
  for (int k = 0; k < 45; ++k) {  // halving, to 1e-15 rad
    const double middle = 0.5 * (low + high);
    const Cubic at = cubic((middle - lowest_setting) / setting_step, n_settings - 1);
    double there = 0.0;
    for (std::size_t j = 0; j < 4; ++j) there += at.weight[j] * node[j];
    (there < power ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

BladeTable::Loads BladeTable::loads(const Operating& operating, double shaft_power) const {
  const std::scoped_lock lock(mutex_);
  const double D = propeller_.diameter;
  const double n = operating.rotational_speed / (2.0 * pi);
  if (!(operating.airspeed >= 0.0) || !(operating.density > 0.0) || !(n > 0.0) || !(shaft_power >= 0.0)) {
    throw base::InputError(
        fmt::format("propeller: airspeed = {} m/s, density = {} kg/m3, speed = {} rad/s, shaft power = {} W: "
                    "must be >= 0, > 0, "
                    "> 0 and >= 0. Check the flight condition and the engine speed.",
                    operating.airspeed,
                    operating.density,
                    operating.rotational_speed,
                    shaft_power));
  }
  const double advance = operating.airspeed / (n * D);
  double setting = setting_;
  if (propeller_.pitch_mode == PitchMode::ToPower) {
    const double power = shaft_power / (operating.density * std::pow(n, 3) * std::pow(D, 5));
    const std::optional<double> found = setting_for(advance, power);
    if (!found) {
      throw base::ResultError(
          fmt::format("propeller: shaft_power = {:.0f} W: no blade setting absorbs it at {:.1f} m/s and "
                      "{:.0f} rpm. Change "
                      "diameter, chord, blades or rpm.",
                      shaft_power,
                      operating.airspeed,
                      operating.rotational_speed * 30.0 / pi));
    }
    setting = *found;
  }
  const double thrust = loads_at(advance, setting).thrust * operating.density * n * n * std::pow(D, 4);
  return {setting - setting_, thrust / (0.25 * pi * D * D)};
}

LocalAir BladeTable::local_air(std::size_t radius,
                               const Operating& operating,
                               double collective,
                               double following_wind) const {
  const double blade_speed = operating.rotational_speed * radii_[radius] - following_wind;
  const double setting = (collective + setting_ - lowest_setting) / setting_step;
  const double highest = static_cast<double>(n_settings - 1);
  if (!(radii_[radius] > 0.5 * propeller_.hub_diameter) || !(radii_[radius] < 0.5 * propeller_.diameter))
    return {};
  if (!(blade_speed > 0.0) || !(setting >= 0.0) ||
      !(setting <= highest)) {  // off the table, or nothing that is solved
    return propeller::local_air(propeller_, operating, collective, {radii_[radius], following_wind});
  }
  const std::scoped_lock lock(mutex_);
  const Cubic along = cubic(operating.airspeed / blade_speed / ratio_step, std::nullopt);
  const Cubic across = cubic(setting, n_settings - 1);
  LocalAir result;
  for (std::size_t i = 0; i < 4; ++i) {
    for (std::size_t k = 0; k < 4; ++k) {
      const LocalAir& node = air_node(radius, along.first + i, across.first + k);
      const double weight = along.weight[i] * across.weight[k];
      result.pressure_rise += weight * node.pressure_rise;
      result.swirl_speed += weight * node.swirl_speed;
    }
  }
  result.pressure_rise *= operating.density * blade_speed * blade_speed;
  result.swirl_speed *= blade_speed;
  return result;
}

}  // namespace cowlwright::propeller
