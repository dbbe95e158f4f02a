// SPDX-License-Identifier: GPL-3.0-or-later
//
// The outer form of a surface that has no formula: distance of the skin from the shaft line, by station and
// polar angle, and the same for the form a skin's thickness further in.
#pragma once

#include "geometry/shape/surface.h"

#include <vector>

namespace cowlwright::shape {

/// A form that every ray from the shaft line, at right angles to it, leaves once. Of left and right the
/// smaller counts, so that the form is its own mirror image and lies inside the surface on both sides.
class TabulatedForm {
 public:
  TabulatedForm() = default;

  /// @param skin       outer skin, in our frame; where a ray meets it more than once the outermost counts.
  /// @param from, to   stations between which the form is wanted [m]; every ray below the shaft line must
  /// meet
  ///                   the skin there, above it up to `rear_above`, behind which the last section goes on.
  /// @param thickness  of the skin: the inner form keeps this distance from the skin in every direction [m],
  /// > 0.
  /// @throws InputError  when a ray meets nothing, naming the place.
  TabulatedForm(const Surface& skin, double from, double to, double rear_above, double thickness);

  /// Point at polar angle `angle` (0 = right side, pi/2 = crown), `inset` [m] inside the skin: as measured at
  /// an inset of the skin's thickness, in proportion at others.
  base::Vec3 point(double x, double angle, double inset) const;
  /// Height of the lower and the upper side at y; 0 where the section is not that wide.
  double lower_z(double x, double y, double inset) const;
  double upper_z(double x, double y, double inset) const;
  /// Half width at height z; 0 when z lies outside the section.
  double half_width_at(double x, double z, double inset) const;
  /// Polar angle of the right side's point at height z, nearest to the shaft line's height.
  double angle_at_height(double x, double z, double inset) const;
  /// Polar angle of the lower side's point at y >= 0, nearest to the keel.
  double lower_angle_at(double x, double y, double inset) const;

  /// Largest difference between left and right [m], and where on the right side.
  double asymmetry() const { return asymmetry_; }
  const base::Vec3& most_asymmetric() const { return most_asymmetric_; }

 private:
  /// Points of the right half of the section at x, from keel to crown.
  std::vector<base::Vec3> right_half(double x, double inset) const;

  std::vector<double> stations_;
  std::vector<double> outer_;  ///< (n_stations, n_angles) [m]
  std::vector<double> inner_;
  double thickness_ = 0.0;
  double asymmetry_ = 0.0;
  base::Vec3 most_asymmetric_;
};

}  // namespace cowlwright::shape
