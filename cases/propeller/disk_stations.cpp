// SPDX-License-Identifier: GPL-3.0-or-later
//
// The blade as tables for the solver's rotor disk, which multiplies coefficients by 0.5 rho W² and the local
// chord without turning them by the inflow angle: so they are turned here, station by station.
#include "cases/propeller/annulus.h"
#include "cases/propeller/blade_element.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;
constexpr int n_stations = 31;

// Angles of attack [deg]: dense where a propeller works, coarse elsewhere. The source interpolates linearly.
std::vector<double> table_angles() {
  std::vector<double> angles;
  const auto append = [&](int from, int below, double step) {
    const int n = static_cast<int>(std::lround((below - from) / step));
    for (int i = 0; i < n; ++i) {
      angles.push_back((from + i * step) * pi / 180.0);
    }
  };
  append(-180, -60, 5.0);
  append(-60, -20, 2.0);
  append(-20, 30, 0.5);
  append(30, 60, 2.0);
  append(60, 180, 5.0);
  angles.push_back(pi);
  return angles;
}

}  // namespace

std::vector<DiskStation> disk_stations(const PropellerSpec& propeller, double collective) {
  if (!(propeller.hub_diameter > 0.0) || !(propeller.diameter > propeller.hub_diameter) ||
      propeller.blade.empty()) {
    throw base::InputError(
        fmt::format("propeller: diameter = {} m, hub_diameter = {} m, {} blade stations: needs diameter > "
                    "hub_diameter > 0 m "
                    "and at least one station. Mend [propeller].",
                    propeller.diameter,
                    propeller.hub_diameter,
                    propeller.blade.size()));
  }
  const std::vector<double> angles = table_angles();
  const double hub = 0.5 * propeller.hub_diameter;
  const double span = 0.5 * propeller.diameter - hub;
  std::vector<DiskStation> stations;
  for (int i = 0; i < n_stations; ++i) {
    // Closer towards hub and tip, where the loss bends the load.
    const double share = 0.5 * (1.0 - std::cos(pi * i / (n_stations - 1)));
    const Annulus annulus = annulus_at(propeller, hub + share * span, collective);
    DiskStation station;
    station.radius = annulus.radius;
    station.twist = annulus.blade_angle;
    station.chord = annulus.chord;
    station.angle_of_attack = angles;
    for (double angle : angles) {
      const double inflow = std::remainder(annulus.blade_angle - angle, 2.0 * pi);
      const DiskForce force = disk_force(annulus, inflow);
      station.axial.push_back(force.axial);
      station.tangential.push_back(force.tangential);
    }
    stations.push_back(std::move(station));
  }
  return stations;
}

}  // namespace cowlwright::propeller
