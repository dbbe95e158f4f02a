// SPDX-License-Identifier: GPL-3.0-or-later
//
// Loads of the whole propeller, the collective that absorbs the shaft power, and the rotor disk's tables.
#include "cases/propeller/blade_element.h"

#include "cases/propeller/annulus.h"
#include "cases/propeller/bracketed_root.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;
constexpr int n_annuli = 60;
constexpr int n_coarse_annuli = 12;  // to find the neighbourhood of a crossing

// Blade angle at three quarters of the radius between which a collective is looked for.
constexpr double lowest_setting = 0.0 * degree;
constexpr double highest_setting = 65.0 * degree;
constexpr double setting_step = 2.5 * degree;

void check(const PropellerSpec& propeller, const Operating& operating) {
  if (!(operating.airspeed >= 0.0) || !(operating.density > 0.0) || !(operating.rotational_speed > 0.0)) {
    throw base::InputError(fmt::format(
        "propeller: airspeed = {} m/s, density = {} kg/m3, speed = {} rad/s: must be >= 0, > 0 and > 0. "
        "Check the flight condition and the engine speed.",
        operating.airspeed,
        operating.density,
        operating.rotational_speed));
  }
  if (!(propeller.hub_diameter > 0.0) || !(propeller.diameter > propeller.hub_diameter) ||
      !(propeller.n_blades >= 1) || propeller.blade.empty()) {
    throw base::InputError(
        fmt::format("propeller: diameter = {} m, hub_diameter = {} m, {} blades, {} blade stations: needs "
                    "diameter > hub_diameter > 0 m, at least one blade and one station. Mend [propeller].",
                    propeller.diameter,
                    propeller.hub_diameter,
                    propeller.n_blades,
                    propeller.blade.size()));
  }
}

double setting_at_zero_collective(const PropellerSpec& propeller) {
  return annulus_at(propeller, 0.75 * 0.5 * propeller.diameter, 0.0).blade_angle;
}

}  // namespace

double induced_velocity(double airspeed, double thrust, double density, double disk_area) {
  if (!(airspeed >= 0.0) || !(thrust >= 0.0) || !(density > 0.0) || !(disk_area > 0.0)) {
    throw base::InputError(
        fmt::format("uniform disk: airspeed = {} m/s, thrust = {} N, density = {} kg/m3, area = {} m2: must "
                    "be >= 0, >= 0, "
                    "> 0 and > 0. Check the operating point.",
                    airspeed,
                    thrust,
                    density,
                    disk_area));
  }
  return 0.5 * (-airspeed + std::sqrt(airspeed * airspeed + 2.0 * thrust / (density * disk_area)));
}

namespace {

Performance loads(const PropellerSpec& propeller, const Operating& operating, double collective, int n) {
  const double hub = 0.5 * propeller.hub_diameter;
  const double width = (0.5 * propeller.diameter - hub) / n;
  Performance result;
  result.collective = collective;
  double mass_flow = 0.0;
  double swirl = 0.0;
  for (int i = 0; i < n; ++i) {  // midpoints from hub to tip
    const Annulus annulus = annulus_at(propeller, hub + (i + 0.5) * width, collective);
    const double angle = mean_inflow_angle(annulus, operating.airspeed, operating.rotational_speed);
    const DiskForce force = disk_force(annulus, angle);
    // Speed W of the mean flow relative to the blade: W cos = Omega r - v_t with v_t = s c_t W / (4 |sin|).
    const double through_flow = std::max(std::abs(std::sin(angle)), 1e-9);
    const double swirl_share = 0.25 * annulus.solidity * force.tangential / through_flow;
    const double speed = operating.rotational_speed * annulus.radius / (std::cos(angle) + swirl_share);
    const double load =
        0.5 * operating.density * speed * speed * annulus.solidity * 2.0 * pi * annulus.radius * width;
    result.thrust += load * force.axial;
    result.torque += load * force.tangential * annulus.radius;
    // Behind the disk the swirl is twice what the blades meet.
    const double flow = operating.density * speed * through_flow * 2.0 * pi * annulus.radius * width;
    mass_flow += flow;
    swirl += flow * std::atan2(2.0 * swirl_share, through_flow);
  }
  result.power = result.torque * operating.rotational_speed;
  result.mean_swirl = swirl / mass_flow;
  result.efficiency = result.power > 0.0 ? result.thrust * operating.airspeed / result.power : 0.0;
  const double disk_area = 0.25 * pi * propeller.diameter * propeller.diameter;
  result.disk_loading = result.thrust / disk_area;
  const double thrust = std::max(result.thrust, 0.0);
  result.figure_of_merit =
      result.power > 0.0 ? thrust * induced_velocity(0.0, thrust, operating.density, disk_area) / result.power
                         : 0.0;
  const double induced = induced_velocity(operating.airspeed, thrust, operating.density, disk_area);
  result.froude_limit = operating.airspeed > 0.0 ? operating.airspeed / (operating.airspeed + induced) : 0.0;
  return result;
}

}  // namespace

Performance performance_at(const PropellerSpec& propeller, const Operating& operating, double collective) {
  check(propeller, operating);
  return loads(propeller, operating, collective, n_annuli);
}

Performance trim_to_power(const PropellerSpec& propeller, const Operating& operating) {
  check(propeller, operating);
  if (!(propeller.shaft_power > 0.0)) {
    throw base::InputError(fmt::format(
        "propeller: shaft_power = {} W: must be > 0 W. Mend [engine] shaft_power.", propeller.shaft_power));
  }
  const auto shortfall = [&](double collective) {
    return performance_at(propeller, operating, collective).power - propeller.shaft_power;
  };
  const double low = lowest_setting - setting_at_zero_collective(propeller);
  const double high = highest_setting - setting_at_zero_collective(propeller);
  // The first crossing from the fine-pitch side is the unstalled one. A few annuli find its neighbourhood.
  const auto falls_short = [&](double collective) {
    return loads(propeller, operating, collective, n_coarse_annuli).power < propeller.shaft_power;
  };
  const double at_low = shortfall(low);
  double below = low;
  for (double next = low + setting_step; next + setting_step < high && falls_short(next + setting_step);
       next += setting_step) {
    below = next;
  }
  double at_below = below > low ? shortfall(below) : at_low;
  if (!(at_low < 0.0) || !(at_below < 0.0)) {  // no walk, or one that went too far
    below = low;
    at_below = at_low;
  }
  while (at_below < 0.0 && below < high) {
    const double above = std::min(below + setting_step, high);
    const double at_above = shortfall(above);
    if (at_above >= 0.0) {
      return performance_at(propeller, operating, bracketed_root(shortfall, below, above));
    }
    below = above;
    at_below = at_above;
  }
  throw base::ResultError(
      fmt::format("propeller: shaft_power = {:.0f} W: no blade setting from {:.0f} to {:.0f} deg (at 75 % "
                  "radius) absorbs it at "
                  "{:.1f} m/s and {:.0f} rpm; the ends absorb {:.0f} W and {:.0f} W. Change diameter, chord, "
                  "blades or rpm.",
                  propeller.shaft_power,
                  lowest_setting / degree,
                  highest_setting / degree,
                  operating.airspeed,
                  operating.rotational_speed * 30.0 / pi,
                  at_low + propeller.shaft_power,
                  at_below + propeller.shaft_power));
}

namespace {

/// Every number that performance() depends on.
std::vector<double> numbers_of(const PropellerSpec& p, const Operating& operating) {
  std::vector<double> all{operating.airspeed,
                          operating.density,
                          operating.rotational_speed,
                          p.diameter,
                          p.hub_diameter,
                          p.rotational_speed,
                          p.shaft_power,
                          static_cast<double>(p.n_blades),
                          static_cast<double>(p.pitch_mode),
                          static_cast<double>(p.blade.size())};
  for (const BladeStation& s : p.blade) all.insert(all.end(), {s.radius_ratio, s.chord_ratio, s.pitch_ratio});
  for (const PolarPoint& q : p.polar) all.insert(all.end(), {q.angle_of_attack, q.lift, q.drag});
  return all;
}

}  // namespace

Performance performance(const PropellerSpec& propeller, const Operating& operating) {
  // A comparison of two installations asks for few propellers thousands of times.
  constexpr std::size_t most_kept = 64;
  thread_local std::vector<std::pair<std::vector<double>, Performance>> kept;
  thread_local std::size_t next = 0;
  std::vector<double> key = numbers_of(propeller, operating);
  for (const auto& [numbers, known] : kept) {
    if (numbers == key) return known;
  }
  const Performance result = propeller.pitch_mode == PitchMode::Fixed
                                 ? performance_at(propeller, operating, 0.0)
                                 : trim_to_power(propeller, operating);
  if (kept.size() < most_kept) {
    kept.emplace_back(std::move(key), result);
  } else {
    kept[next++ % most_kept] = {std::move(key), result};
  }
  return result;
}

}  // namespace cowlwright::propeller
