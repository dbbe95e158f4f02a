// SPDX-License-Identifier: GPL-3.0-or-later
//
// Lift and drag of a blade section over the whole circle: a thin Clark-Y-like section at the Reynolds numbers
// of light-aircraft blades, joined smoothly to a separated plate. Angles are to the flat lower face, because
// that is the face blade angles are measured from.
//
// The constants are round textbook values for this kind of section (zero lift, slope, largest lift, smallest
// drag), written from memory; the separated branch is the plate in normal flow with the customary correction
// for small angles, also from memory. No Mach or Reynolds dependence and no stall delay by rotation. A polar
// that a study gives is joined to the same plate.
#include "cases/propeller/blade_element.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::propeller {
namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double zero_lift_angle = -4.3 * degree;  // to the flat face of a section about 10 % thick
constexpr double lift_slope = 5.7;                 // per rad, a little under 2 pi
constexpr double lift_ceiling = 1.5;               // attached lift levels off towards it
constexpr double smallest_drag = 0.0085;
constexpr double lift_of_smallest_drag = 0.4;
constexpr double drag_rise = 0.010;            // of the square of the lift beyond that
constexpr double stall_angle = 18.0 * degree;  // half separated
constexpr double lower_stall_angle = -14.0 * degree;
constexpr double stall_width = 2.0 * degree;
constexpr double plate_drag = 1.98;  // long plate normal to the flow
constexpr double separated_skin_drag = 0.02;

double logistic(double x) {
  return 1.0 / (1.0 + std::exp(-x));
}

SectionForce attached(double angle) {
  const double linear = lift_slope * std::sin(angle - zero_lift_angle);
  const double levelled = linear / std::pow(1.0 + std::pow(linear / lift_ceiling, 4), 0.25);
  const double excess = linear - lift_of_smallest_drag;
  return {levelled, smallest_drag + drag_rise * excess * excess};
}

SectionForce separated(double angle) {
  const double sine = std::sin(angle);
  const double normal = plate_drag * sine / (0.56 + 0.44 * std::abs(sine));
  return {normal * std::cos(angle), separated_skin_drag + normal * sine};
}

SectionForce interpolated(double angle, std::span<const PolarPoint> polar) {
  const auto upper =
      std::lower_bound(polar.begin() + 1, polar.end() - 1, angle, [](const PolarPoint& p, double a) {
        return p.angle_of_attack < a;
      });
  const PolarPoint& above = *upper;
  const PolarPoint& below = *(upper - 1);
  const double weight = (angle - below.angle_of_attack) / (above.angle_of_attack - below.angle_of_attack);
  return {below.lift + weight * (above.lift - below.lift), below.drag + weight * (above.drag - below.drag)};
}

/// Beyond an end of the polar, what parts it from the plate there dies away as fast as our section stalls.
SectionForce beyond(const PolarPoint& end, double angle) {
  const SectionForce at_end = separated(end.angle_of_attack);
  const double share = std::exp(-std::abs(angle - end.angle_of_attack) / (2.0 * stall_width));
  const SectionForce plate = separated(angle);
  return {plate.lift + share * (end.lift - at_end.lift), plate.drag + share * (end.drag - at_end.drag)};
}

}  // namespace

SectionForce section_force(double angle_of_attack, std::span<const PolarPoint> polar) {
  const double angle = std::remainder(angle_of_attack, 2.0 * std::numbers::pi);
  if (!polar.empty()) {
    return angle < polar.front().angle_of_attack  ? beyond(polar.front(), angle)
           : angle > polar.back().angle_of_attack ? beyond(polar.back(), angle)
                                                  : interpolated(angle, polar);
  }
  const double share =
      logistic((stall_angle - angle) / stall_width) * logistic((angle - lower_stall_angle) / stall_width);
  const SectionForce a = attached(angle);
  const SectionForce s = separated(angle);
  return {share * a.lift + (1.0 - share) * s.lift, share * a.drag + (1.0 - share) * s.drag};
}

}  // namespace cowlwright::propeller
