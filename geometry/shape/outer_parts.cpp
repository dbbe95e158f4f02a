// SPDX-License-Identifier: GPL-3.0-or-later
//
// Solid parts: body, spinner, ring discs.
#include "geometry/shape/builder.h"
#include "geometry/shape/opening.h"
#include "geometry/shape/parts.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int n_half_section = 58;  // intervals on each side of a section: chord error below 1 mm
constexpr int n_nose_stations = 22;
constexpr int n_tail_stations = 22;
constexpr double station_pitch = 0.045;  // along the cowl [m]
constexpr double root_depth = 0.020;     // of spinner and ring discs in the nose [m]

std::vector<double> body_stations(const ShapeSpec& spec, const Layout& at) {
  std::vector<double> x;
  for (int i = 0; i <= n_nose_stations; ++i) {
    x.push_back(spec.cowl.nose_station +
                spec.cowl.nose_length * (1.0 - std::cos(0.5 * pi * i / n_nose_stations)));
  }
  // The firewall is a station of its own: the patches cowl and fuselage meet there.
  for (const double end : {spec.cowl.firewall_station, at.trailing_edge, at.bump_end}) {
    if (!(end > x.back())) continue;
    const double start = x.back();
    const int n = std::max(1, static_cast<int>(std::ceil((end - start) / station_pitch)));
    for (int i = 1; i <= n; ++i) x.push_back(start + (end - start) * i / n);
  }
  const double start = at.bump_end + step_run;
  for (int i = 0; i <= n_tail_stations; ++i) x.push_back(start + (at.tail_end - start) * i / n_tail_stations);
  return x;
}

Patch skin_patch(const ShapeSpec& spec, const Layout& at, double x_mid, double z_mid) {
  const double end = z_mid < 0.0 ? at.bump_end + step_run : spec.cowl.firewall_station;
  return x_mid < end ? Patch::Cowl : Patch::Fuselage;
}

}  // namespace

Surface outer_body(const ShapeSpec& spec) {
  const Layout at = layout(spec);
  const Outline outline(spec);
  const std::vector<double> angles = section_angles(outline, spec, n_half_section);
  const std::vector<double> stations = body_stations(spec, at);
  const auto n_around = static_cast<std::uint32_t>(angles.size());

  SurfaceBuilder builder;
  for (const double x : stations) {
    for (const double angle : angles) builder.add_point(outline.point(x, angle, 0.0));
  }
  for (std::uint32_t i = 0; i + 1 < stations.size(); ++i) {
    for (std::uint32_t k = 0; k < n_around; ++k) {
      const std::uint32_t next = (k + 1) % n_around;
      const std::uint32_t a = i * n_around + k;
      const std::uint32_t b = i * n_around + next;
      const std::uint32_t c = b + n_around;
      const std::uint32_t d = a + n_around;
      const double z_mid = 0.5 * (builder.point(a).z + builder.point(b).z);
      const Patch patch = skin_patch(spec, at, 0.5 * (stations[i] + stations[i + 1]), z_mid);
      // Diagonals mirrored left to right, so that the body is its own mirror image.
      if (k < n_around / 2) {
        builder.add_quad(a, b, c, d, patch);
      } else {
        builder.add_quad_other_way(a, b, c, d, patch);
      }
    }
  }
  const std::uint32_t nose = builder.add_point({stations.front(), 0.0, 0.0});
  const std::uint32_t tail = builder.add_point({stations.back(), 0.0, 0.0});
  const auto last = static_cast<std::uint32_t>(stations.size() - 1) * n_around;
  for (std::uint32_t k = 0; k < n_around; ++k) {
    const std::uint32_t next = (k + 1) % n_around;
    builder.add_triangle(nose, next, k, Patch::Cowl);
    builder.add_triangle(tail, last + k, last + next, Patch::Fuselage);
  }
  return std::move(builder).closed();
}

namespace {

/// What a proud ring is cut from: its outer rounding and the land round its crest.
Surface ring_disc(const ShapeSpec& spec, base::Side side) {
  constexpr int n_around = 100;  // other than the duct's, so that no edges meet
  constexpr int n_round = 8;
  const InletSpec& in = inlet(spec, side);
  const InletLayout at = inlet_layout(spec, side);
  const std::array axis{at.y, in.height};
  const double land = in.lip_radius + crest_land;
  const double round = std::min(in.lip_radius, 0.8 * in.ring_stand);
  std::vector<LoftSection> disc;
  const auto add = [&](double x, double offset) {
    disc.push_back(opening_section(in, axis, x, 1.0, offset, n_around));
  };
  add(at.crest, land);
  for (int i = 1; i <= n_round; ++i) {
    const double t = 0.5 * pi * i / n_round;
    add(at.crest + round * (1.0 - std::cos(t)), land + round * std::sin(t));
  }
  add(spec.cowl.nose_station + root_depth, land + round);
  const Patch patch = side == base::Side::Left ? Patch::RingLeft : Patch::RingRight;
  return lofted_surface(axis, disc, std::vector<Patch>(disc.size() - 1, patch));
}

}  // namespace

Surface ring_discs(const ShapeSpec& spec) {
  SurfaceBuilder all;
  for (const base::Side side : both_sides) {
    if (inlet(spec, side).ring == RingStyle::Proud) all.add_surface(ring_disc(spec, side));
  }
  return std::move(all).closed();
}

Surface nose_attachments(const ShapeSpec& spec) {
  constexpr int n_spinner_rings = 24;
  constexpr int n_spinner_around = 88;
  SurfaceBuilder all;

  std::vector<Ring> rings{{-spec.spinner.length, 0.0}};
  for (int i = 1; i <= n_spinner_rings; ++i) {
    const double t = 0.5 * pi * i / n_spinner_rings;
    rings.push_back({-spec.spinner.length * std::cos(t), 0.5 * spec.spinner.diameter * std::sin(t)});
  }
  rings.push_back({spec.cowl.nose_station + root_depth, 0.5 * spec.spinner.diameter});
  all.add_surface(revolved_surface(
      0.0, 0.0, rings, std::vector<Patch>(rings.size() - 1, Patch::Spinner), n_spinner_around));
  all.add_surface(ring_discs(spec));
  return std::move(all).closed();
}

}  // namespace cowlwright::shape
