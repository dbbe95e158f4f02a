// SPDX-License-Identifier: GPL-3.0-or-later
//
// The outer form: a superellipse section at every station, with the fairing of the exit below it, and the
// same form offset inward by a skin.
#pragma once

#include "geometry/base/vec3.h"
#include "geometry/shape/layout.h"
#include "geometry/shape/spec.h"

#include <initializer_list>
#include <memory>
#include <vector>

namespace cowlwright::shape {

/// 0 below 0, 1 above 1, cubic with level ends between.
double smooth_step(double t);

/// Share of the full section left at a share `t` of the afterbody: level at the front, no cusp at the tail.
double afterbody(double t);

/// One cross section: |y/half_width|^n + |z/height|^n = 1 above z = 0, with depth instead of height below.
struct Section {
  double half_width = 0.0;
  double height = 0.0;
  double depth = 0.0;
  double bump = 0.0;  ///< depth of the exit fairing at this station
};

/// The form as functions of station, angle and inset. An inset moves a surface inward by at least that much
/// [m]. With an own cowl it is that cowl's form, up to the trailing edge.
class Outline {
 public:
  explicit Outline(const ShapeSpec& spec);

  Section section(double x) const;

  /// Point at polar angle `angle` of the unit superellipse, or of the own cowl's section (0 = right side,
  /// pi/2 = crown).
  base::Vec3 point(double x, double angle, double inset) const;

  /// Height of the section's lower side at y, |y| < half width - inset.
  double lower_z(double x, double y, double inset) const;
  /// Height of the section's upper side at y.
  double upper_z(double x, double y, double inset) const;
  /// Height of the fuselage's belly at y, without the exit fairing.
  double belly_z(double x, double y) const;
  /// Half width at height z, without the exit fairing; 0 when z lies outside the section.
  double half_width_at(double x, double z, double inset) const;
  /// Polar angle of the point of the upper or lower side (without fairing) at height z; on the right.
  double angle_at_height(double x, double z, double inset) const;
  /// Polar angle of the lower side's point at y >= 0.
  double lower_angle_at(double x, double y, double inset) const;

 private:
  double fairing(double y, double inset) const;

  CowlSpec cowl_;
  FuselageSpec fuselage_;
  Layout at_;
  std::shared_ptr<const OwnCowl> own_;
  std::vector<base::Vec3> own_fuselage_;  ///< right half of its section, from keel to crown
};

/// Half width inside the skin, the least over all pairs of some stations and heights [m].
double least_half_width(const ShapeSpec& spec,
                        std::initializer_list<double> stations,
                        std::initializer_list<double> heights);

/// Height of the upper deck's roof at y: the cowl's inner side or the plenum's lid [m].
double deck_roof_z(const ShapeSpec& spec, const Outline& outline, double x, double y);

/// Polar angles for the points of a whole section, counter-clockwise from the keel, mirror-symmetric, denser
/// on the flanks of the exit fairing. `n_half` intervals on each side.
std::vector<double> section_angles(const Outline& outline, const ShapeSpec& spec, int n_half);

}  // namespace cowlwright::shape
