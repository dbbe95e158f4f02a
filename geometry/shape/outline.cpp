// SPDX-License-Identifier: GPL-3.0-or-later
//
// Superellipse sections and their growth along x.
#include "geometry/shape/outline.h"

#include "geometry/shape/own_cowl.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

namespace {

constexpr double tail_share = 0.06;  // section left at the tail, so that it ends in a small flat cap

double blend(double from, double to, double t) {
  return from + (to - from) * t;
}

/// Height over depth of the superellipse at relative width u.
double arch(double u, double exponent) {
  const double rest = 1.0 - std::pow(std::abs(u), exponent);
  return rest > 0.0 ? std::pow(rest, 1.0 / exponent) : 0.0;
}

}  // namespace

double smooth_step(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * (3.0 - 2.0 * t);
}

double afterbody(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return 1.0 - (1.0 - tail_share) * t * t * (2.0 - t);
}

Outline::Outline(const ShapeSpec& spec)
    : cowl_(spec.cowl), fuselage_(spec.fuselage), at_(layout(spec)), own_(spec.own) {
  if (own_) own_fuselage_ = own_fuselage_section(spec);
}

Section Outline::section(double x) const {
  if (own_) {
    return {own_->form.point(x, 0.0, 0.0).y,
            own_->form.upper_z(x, 0.0, 0.0),
            -own_->form.lower_z(x, 0.0, 0.0),
            0.0};
  }
  // Nose: a quarter ellipse, so that the skin leaves the flat face at right angles to x and ends along x.
  const double ahead = std::clamp(1.0 - (x - cowl_.nose_station) / cowl_.nose_length, 0.0, 1.0);
  const double nose = std::sqrt(1.0 - ahead * ahead);
  // Lower side: from the depth at the cylinders to the belly, while the exit fairing grows.
  const double exit = smooth_step((x - at_.last_core_end) / (at_.trailing_edge - at_.last_core_end));
  const double tail = afterbody((x - at_.trailing_edge) / (at_.tail_end - at_.trailing_edge));
  Section s;
  s.half_width = blend(0.5 * cowl_.face_width, 0.5 * cowl_.width, nose) * tail;
  s.height = blend(cowl_.face_height_above, cowl_.height_above, nose) * tail;
  const double full_depth = blend(cowl_.depth_below, fuselage_.depth_below, exit);
  s.depth = blend(cowl_.face_depth_below, full_depth, nose) * tail;
  s.bump = x <= at_.trailing_edge ? at_.bump * exit
           : x < at_.bump_end
               ? at_.bump * (1.0 - smooth_step((x - at_.trailing_edge) / (at_.bump_end - at_.trailing_edge)))
               : 0.0;
  return s;
}

double Outline::fairing(double y, double inset) const {
  return 1.0 - smooth_step((std::abs(y) + inset - at_.bump_flat) / at_.bump_side);
}

base::Vec3 Outline::point(double x, double angle, double inset) const {
  if (own_) return own_->form.point(x, angle, inset);
  const Section s = section(x);
  const double n = cowl_.corner_exponent;
  const double c = std::cos(angle);
  const double v = std::sin(angle);
  const double rho = std::pow(std::pow(std::abs(c), n) + std::pow(std::abs(v), n), -1.0 / n);
  const double y = (s.half_width - inset) * rho * c;
  if (v >= 0.0) return {x, y, (s.height - inset) * rho * v};
  return {x, y, (s.depth - inset) * rho * v - s.bump * fairing(y, inset)};
}

double Outline::lower_z(double x, double y, double inset) const {
  if (own_) return own_->form.lower_z(x, y, inset);
  const Section s = section(x);
  return -(s.depth - inset) * arch(y / (s.half_width - inset), cowl_.corner_exponent) -
         s.bump * fairing(y, inset);
}

double Outline::upper_z(double x, double y, double inset) const {
  if (own_) return own_->form.upper_z(x, y, inset);
  const Section s = section(x);
  return (s.height - inset) * arch(y / (s.half_width - inset), cowl_.corner_exponent);
}

double Outline::belly_z(double x, double y) const {
  if (own_) {
    for (std::size_t i = 0; i + 1 < own_fuselage_.size() && own_fuselage_[i].z < 0.0; ++i) {
      const base::Vec3& a = own_fuselage_[i];
      const base::Vec3& b = own_fuselage_[i + 1];
      if (std::abs(y) <= b.y) return blend(a.z, b.z, (std::abs(y) - a.y) / (b.y - a.y));
    }
    return 0.0;
  }
  const Section s = section(x);
  return -s.depth * arch(y / s.half_width, cowl_.corner_exponent);
}

double Outline::half_width_at(double x, double z, double inset) const {
  if (own_) return own_->form.half_width_at(x, z, inset);
  const Section s = section(x);
  const double extent = (z >= 0.0 ? s.height : s.depth) - inset;
  return (s.half_width - inset) * arch(z / extent, cowl_.corner_exponent);
}

double Outline::angle_at_height(double x, double z, double inset) const {
  if (own_) return own_->form.angle_at_height(x, z, inset);
  const Section s = section(x);
  const double v = z / ((z >= 0.0 ? s.height : s.depth) - inset);
  return std::atan2(v, arch(v, cowl_.corner_exponent));
}

double Outline::lower_angle_at(double x, double y, double inset) const {
  if (own_) return own_->form.lower_angle_at(x, y, inset);
  const double u = y / (section(x).half_width - inset);
  return std::atan2(-arch(u, cowl_.corner_exponent), u);
}

double least_half_width(const ShapeSpec& spec,
                        std::initializer_list<double> stations,
                        std::initializer_list<double> heights) {
  const Outline outline(spec);
  double least = HUGE_VAL;
  for (const double x : stations) {
    for (const double z : heights) {
      least = std::min(least, outline.half_width_at(x, z, spec.cowl.skin_thickness));
    }
  }
  return least;
}

double deck_roof_z(const ShapeSpec& spec, const Outline& outline, double x, double y) {
  return std::min(outline.upper_z(x, y, spec.cowl.skin_thickness), layout(spec).deck_lid);
}

std::vector<double> section_angles(const Outline& outline, const ShapeSpec& spec, int n_half) {
  // Weighted arc length along the right half of the section at the trailing edge, where everything is
  // largest.
  constexpr int n_fine = 2000;
  constexpr double flank_weight = 2.0;  // points on the fairing's flank lie this much denser
  const Layout at = layout(spec);
  const double pi = std::numbers::pi;
  std::vector<double> angle(n_fine + 1);
  std::vector<double> length(n_fine + 1, 0.0);
  base::Vec3 last;
  for (int i = 0; i <= n_fine; ++i) {
    const auto k = static_cast<std::size_t>(i);
    angle[k] = -0.5 * pi + pi * i / n_fine;
    const base::Vec3 p = outline.point(at.trailing_edge, angle[k], 0.0);
    if (i > 0) {
      const double y = std::abs(p.y);
      const bool on_flank = p.z < 0.0 && y > at.bump_flat && y < at.bump_flat + at.bump_side;
      length[k] = length[k - 1] + norm(p - last) * (on_flank ? flank_weight : 1.0);
    }
    last = p;
  }
  std::vector<double> right;
  std::size_t k = 0;
  for (int i = 0; i <= n_half; ++i) {
    const double target = length.back() * i / n_half;
    while (k + 1 < n_fine && length[k + 1] < target) ++k;
    const double t = (target - length[k]) / (length[k + 1] - length[k]);
    right.push_back(blend(angle[k], angle[k + 1], std::clamp(t, 0.0, 1.0)));
  }
  right.front() = -0.5 * pi;
  right.back() = 0.5 * pi;
  std::vector<double> all = right;
  for (int i = n_half - 1; i > 0; --i) all.push_back(pi - right[static_cast<std::size_t>(i)]);
  return all;
}

}  // namespace cowlwright::shape
