// SPDX-License-Identifier: GPL-3.0-or-later
//
// The blade as tables for the solver's rotor disk, which multiplies coefficients by 0.5 rho W² and the local
// chord without turning them by the inflow angle: so they are turned here, station by station.
#include "cases/propeller/annulus.h"
#include "cases/propeller/blade_element.h"
#include "cases/propeller/bracketed_root.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;
constexpr int n_stations = 31;
constexpr double smallest_angle = 0.5 * pi / 180.0;

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

/// Force for the inflow angle that the source reads, referred to the speed that it reads.
///
/// Seeks the true mean inflow angle whose reading it is:
///   W (sin + a/|sin|) = sin(read),  W (cos - b/|sin|) = cos(read)   over the speed read,
///   a = axial * solidity * Ca / 2,  b = (swirl - 1/2) * solidity * Ct / 2.
DiskForce force_at_reading(const Annulus& annulus, double read, const CellReading& reading) {
  if (!(read > smallest_angle) || !(read < 0.5 * pi - smallest_angle)) {
    return disk_force(annulus,
                      read);  // air from behind or no rotation: not a state the relation is meant for
  }
  const auto shift = [&](double angle) {
    const DiskForce force = disk_force(annulus, angle);
    const double a = 0.5 * reading.axial * annulus.solidity * force.axial;
    const double b = 0.5 * (reading.swirl - 0.5) * annulus.solidity * force.tangential;
    return std::pair{a / std::sin(angle), b / std::sin(angle)};
  };
  const auto mismatch = [&](double angle) {
    const auto [a, b] = shift(angle);
    return std::sin(angle - read) + a * std::cos(read) + b * std::sin(read);
  };
  // A thrusting blade's true inflow is less than the reading, though not less than half of it: below that no
  // steady state exists and the half is taken. A braking blade's is more.
  const double at_read = mismatch(read);
  double angle = read;
  if (at_read > 0.0) {
    angle = mismatch(0.5 * read) < 0.0 ? bracketed_root(mismatch, 0.5 * read, read) : 0.5 * read;
  } else if (at_read < 0.0 && mismatch(0.5 * pi) > 0.0) {
    angle = bracketed_root(mismatch, read, 0.5 * pi);
  }
  const auto [a, b] = shift(angle);
  const double speed_ratio = 1.0 / std::hypot(std::sin(angle) + a, std::cos(angle) - b);
  const DiskForce force = disk_force(annulus, angle);
  return {force.axial * speed_ratio * speed_ratio, force.tangential * speed_ratio * speed_ratio};
}

void mirror(DiskStation& station) {
  std::reverse(station.angle_of_attack.begin(), station.angle_of_attack.end());
  std::reverse(station.tangential.begin(), station.tangential.end());
  std::reverse(station.axial.begin(), station.axial.end());
  for (std::size_t i = 0; i < station.angle_of_attack.size(); ++i) {
    station.angle_of_attack[i] = -station.angle_of_attack[i];
    station.tangential[i] = -station.tangential[i];
  }
}

}  // namespace

std::vector<DiskStation> disk_stations(const PropellerSpec& propeller,
                                       double collective,
                                       const CellReading& reading) {
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
      const DiskForce force = force_at_reading(annulus, inflow, reading);
      station.axial.push_back(force.axial);
      station.tangential.push_back(force.tangential);
    }
    if (propeller.rotation == Rotation::Anticlockwise) {
      mirror(station);
    }
    stations.push_back(std::move(station));
  }
  return stations;
}

}  // namespace cowlwright::propeller
