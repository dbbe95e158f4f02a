// SPDX-License-Identifier: GPL-3.0-or-later
//
// One annulus of the disk: blade geometry, Prandtl's loss and the match of blade force with momentum.
#include "cases/propeller/annulus.h"

#include "cases/propeller/blade_element.h"
#include "cases/propeller/bracketed_root.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;
constexpr double smallest_loss_factor = 1e-4;  // keeps 1/F finite at the very tip
constexpr double smallest_inflow = 1e-3;       // |sin| below which momentum theory says nothing

double interpolate(const std::vector<BladeStation>& blade, double ratio, double BladeStation::*member) {
  const auto upper = std::lower_bound(
      blade.begin(), blade.end(), ratio, [](const BladeStation& s, double r) { return s.radius_ratio < r; });
  if (upper == blade.begin()) {
    return blade.front().*member;
  }
  if (upper == blade.end()) {
    return blade.back().*member;
  }
  const BladeStation& below = *(upper - 1);
  const double weight = (ratio - below.radius_ratio) / (upper->radius_ratio - below.radius_ratio);
  return below.*member + weight * ((*upper).*member - below.*member);
}

double prandtl(double exponent) {
  return 2.0 / pi * std::acos(std::exp(-std::max(exponent, 0.0)));
}

DiskForce turned(const Annulus& annulus, double inflow_angle) {
  const SectionForce force = section_force(annulus.blade_angle - inflow_angle, annulus.polar);
  const double sine = std::sin(inflow_angle);
  const double cosine = std::cos(inflow_angle);
  return {force.lift * cosine - force.drag * sine, force.lift * sine + force.drag * cosine};
}

}  // namespace

Annulus annulus_at(const PropellerSpec& propeller, double radius, double collective) {
  Annulus annulus;
  annulus.radius = radius;
  annulus.tip_radius = 0.5 * propeller.diameter;
  annulus.hub_radius = 0.5 * propeller.hub_diameter;
  annulus.n_blades = propeller.n_blades;
  annulus.polar = propeller.polar;
  const double ratio = radius / annulus.tip_radius;
  annulus.chord = propeller.diameter * interpolate(propeller.blade, ratio, &BladeStation::chord_ratio);
  const double pitch = interpolate(propeller.blade, ratio, &BladeStation::pitch_ratio);
  annulus.blade_angle = std::atan(pitch / (pi * ratio)) + collective;
  annulus.solidity = propeller.n_blades * annulus.chord / (2.0 * pi * radius);
  return annulus;
}

double loss_factor(const Annulus& annulus, double inflow_angle) {
  const double sine = std::max(std::abs(std::sin(inflow_angle)), 1e-9);
  const double half_blades = 0.5 * annulus.n_blades;
  const double tip = half_blades * (annulus.tip_radius - annulus.radius) / (annulus.radius * sine);
  const double hub = half_blades * (annulus.radius - annulus.hub_radius) / (annulus.hub_radius * sine);
  return prandtl(tip) * prandtl(hub);
}

DiskForce disk_force(const Annulus& annulus, double inflow_angle) {
  const double cosine = std::cos(inflow_angle);
  if (!(cosine > 1e-6)) {
    return turned(annulus, inflow_angle);  // the blade is swept backwards or not at all: no lifting helix
  }
  const double through_flow = std::max(std::abs(std::sin(inflow_angle)), smallest_inflow);
  const auto excess = [&](double at_blade) {
    const double factor = std::max(loss_factor(annulus, at_blade), smallest_loss_factor);
    const double induced =
        annulus.solidity * turned(annulus, at_blade).axial * cosine * cosine / (4.0 * through_flow);
    return std::cos(at_blade) * std::sin(at_blade - inflow_angle) - (1.0 / factor - 1.0) * induced;
  };
  // A thrusting blade meets more inflow than the mean, a braking one less. At +-90 degrees drag alone decides
  // the sign, so the bracket always holds.
  const bool thrusts = turned(annulus, inflow_angle).axial > 0.0;
  const double at_blade = thrusts ? bracketed_root(excess, inflow_angle, 0.5 * pi)
                                  : bracketed_root(excess, -0.5 * pi, inflow_angle);
  const double speed_ratio = cosine / std::cos(at_blade);
  const DiskForce force = turned(annulus, at_blade);
  return {force.axial * speed_ratio * speed_ratio, force.tangential * speed_ratio * speed_ratio};
}

double mean_inflow_angle(const Annulus& annulus, double airspeed, double rotational_speed) {
  const double blade_speed = rotational_speed * annulus.radius;
  const auto mismatch = [&](double angle) {
    const DiskForce force = disk_force(annulus, angle);
    const double through_flow = std::abs(std::sin(angle));
    const double quarter = 0.25 * annulus.solidity;
    return blade_speed * (std::sin(angle) * through_flow - quarter * force.axial) -
           airspeed * (std::cos(angle) * through_flow + quarter * force.tangential);
  };
  // The state nearest to the undisturbed inflow is the physical one: walk away from it until the sign turns.
  // The mismatch is positive at +90 degrees and negative at -90, so the walk always ends.
  const double start = std::atan2(airspeed, blade_speed);
  const double direction = mismatch(start) < 0.0 ? 1.0 : -1.0;
  double previous = start;
  for (double step = 0.5 * degree; std::abs(previous) < 0.5 * pi; step *= 1.3) {
    const double next = std::clamp(previous + direction * step, -0.5 * pi, 0.5 * pi);
    if (direction * mismatch(next) >= 0.0) {
      return bracketed_root(mismatch, std::min(previous, next), std::max(previous, next));
    }
    previous = next;
  }
  throw base::ResultError(
      fmt::format("propeller station r = {:.4f} m ({:.1f} % of the tip radius): inflow at blade angle {:.2f} "
                  "deg, {:.1f} m/s "
                  "and {:.1f} rad/s has no solution between -90 and 90 deg. Check pitch, airspeed and speed.",
                  annulus.radius,
                  100.0 * annulus.radius / annulus.tip_radius,
                  annulus.blade_angle / degree,
                  airspeed,
                  rotational_speed));
}

}  // namespace cowlwright::propeller
