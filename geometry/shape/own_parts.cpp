// SPDX-License-Identifier: GPL-3.0-or-later
//
// Closed parts of an installation with a user's own cowl: the sheet with ducts and rear closed, and the
// fuselage behind it.
#include "geometry/shape/builder.h"
#include "geometry/shape/outline.h"
#include "geometry/shape/own_cowl.h"
#include "geometry/shape/parts.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double poke = 0.006;            // of an inlet's duct through the deck's front wall [m]
constexpr double apex_behind = 0.002;     // of the rear's cone, of the trailing edge [m]
constexpr double fuselage_ahead = 0.030;  // of the firewall the fuselage begins inside the cowl [m]
constexpr double fuselage_step = 0.001;   // it is this much smaller than the cowl there [m]
constexpr int n_half = 60;                // intervals of the fuselage's section on each side
constexpr int n_tail_stations = 22;

/// A duct of the edge's outline to the station x_end, closed there.
void add_duct(SurfaceBuilder& builder,
              const std::vector<std::uint32_t>& edge,
              const OwnOpening& in,
              double x_end,
              Patch patch) {
  const std::size_t n = edge.size();
  std::vector<std::uint32_t> end;
  for (const std::uint32_t i : edge) {
    base::Vec3 p = builder.point(i);
    p.x = x_end;
    end.push_back(builder.add_point(p));
  }
  const std::uint32_t centre = builder.add_point({x_end, in.y, in.z});
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t next = (k + 1) % n;
    builder.add_quad(edge[next], edge[k], end[k], end[next], patch);
    builder.add_triangle(end[next], end[k], centre, patch);
  }
}

double superellipse_radius(double angle, double half_width, double depth, double exponent) {
  return std::pow(std::pow(std::abs(std::cos(angle)) / half_width, exponent) +
                      std::pow(std::abs(std::sin(angle)) / depth, exponent),
                  -1.0 / exponent);
}

}  // namespace

Surface own_body(const ShapeSpec& spec) {
  const OwnCowl& own = *spec.own;
  SurfaceBuilder builder;
  builder.add_surface(own.skin);
  const double x_end = spec.plenum.front_station + poke;
  add_duct(builder, own.inlet_edges[0], *own.inlets[0], x_end, Patch::InletLeft);
  add_duct(builder, own.inlet_edges[1], *own.inlets[1], x_end, Patch::InletRight);
  const std::uint32_t apex = builder.add_point({own.trailing_edge + apex_behind, 0.0, 0.0});
  const std::vector<std::uint32_t>& rear = own.rear_edge;
  for (std::size_t k = 0; k < rear.size(); ++k) {
    builder.add_triangle(rear[(k + 1) % rear.size()], rear[k], apex, Patch::Cowl);
  }
  return std::move(builder).closed();
}

std::vector<base::Vec3> own_fuselage_section(const ShapeSpec& spec) {
  const TabulatedForm& form = spec.own->form;
  const double firewall = spec.cowl.firewall_station;
  const auto cowl_radius = [&](double angle) {
    double least = HUGE_VAL;
    for (const double x :
         {firewall - fuselage_ahead, firewall, angle < 0.0 ? spec.own->trailing_edge : firewall}) {
      const base::Vec3 p = form.point(x, angle, 0.0);
      least = std::min(least, std::hypot(p.y, p.z));
    }
    return least - fuselage_step;
  };
  const double half_width = cowl_radius(0.0);
  std::vector<base::Vec3> section;
  for (int i = 0; i <= n_half; ++i) {
    const double angle = -0.5 * pi + pi * i / n_half;
    double r = cowl_radius(angle);
    if (angle < 0.0) {
      r = std::min(
          r, superellipse_radius(angle, half_width, spec.fuselage.depth_below, spec.cowl.corner_exponent));
    }
    section.push_back({0.0, i == 0 || i == n_half ? 0.0 : r * std::cos(angle), r * std::sin(angle)});
  }
  return section;
}

Surface own_fuselage(const ShapeSpec& spec) {
  const Layout at = layout(spec);
  std::vector<base::Vec3> right = own_fuselage_section(spec);
  std::vector<LoftSection> sections;
  const auto add = [&](double x, double scale) {
    LoftSection section{x, {}};
    for (const base::Vec3& p : right) section.yz.push_back({scale * p.y, scale * p.z});
    for (std::size_t i = right.size() - 2; i > 0; --i)
      section.yz.push_back({-scale * right[i].y, scale * right[i].z});
    sections.push_back(std::move(section));
  };
  add(spec.cowl.firewall_station - fuselage_ahead, 1.0);
  add(at.trailing_edge, 1.0);
  for (int i = 1; i <= n_tail_stations; ++i) {
    const double share = static_cast<double>(i) / n_tail_stations;
    add(at.trailing_edge + share * (at.tail_end - at.trailing_edge), afterbody(share));
  }
  return lofted_surface({0.0, 0.0}, sections, std::vector<Patch>(sections.size() - 1, Patch::Fuselage));
}

}  // namespace cowlwright::shape
