// SPDX-License-Identifier: GPL-3.0-or-later
//
// Derived stations and heights.
#include "geometry/shape/layout.h"

#include "geometry/shape/opening.h"
#include "geometry/shape/outline.h"
#include "geometry/shape/own_cowl.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

double core_front(const EngineSpec& engine, int k) {
  return engine.first_core_station + k * (engine.core_length + engine.core_gap);
}

InletLayout inlet_layout(const ShapeSpec& spec, base::Side side) {
  const InletSpec& in = inlet(spec, side);
  InletLayout at{};
  if (in.own) {
    return {.y = in.own->y,
            .crest = in.own->front,
            .throat_start = in.own->rear,
            .throat_end = spec.plenum.front_station,
            .end_scale = 1.0};
  }
  at.y = sign_of(side) * 0.5 * spec.inlets.spacing;
  at.crest = spec.cowl.nose_station - (in.ring == RingStyle::Proud ? in.ring_stand : 0.0);
  at.throat_start = at.crest + (in.ring == RingStyle::None ? 0.0 : in.lip_radius);
  at.throat_end = spec.plenum.front_station - in.diffuser_length;
  at.end_scale = in.diffuser_length > 0.0 ? std::sqrt(in.diffuser_area_ratio) : 1.0;
  return at;
}

Layout layout(const ShapeSpec& spec) {
  Layout at{};
  at.nose_end = spec.cowl.nose_station + spec.cowl.nose_length;
  at.last_core_end = core_front(spec.engine, spec.engine.n_cylinders / 2 - 1) + spec.engine.core_length;
  const bool has_front_cooler = spec.oil_cooler.place == CoolerPlace::Front;
  const double cooler_run = has_front_cooler ? spec.oil_cooler.height + core_front_wall : 0.0;
  at.deck_start = spec.engine.first_core_station - core_front_wall - cooler_run;
  at.deck_end = at.last_core_end + spec.plenum.rear_baffle_clearance;
  at.deck_floor = 0.5 * spec.engine.core_depth;
  at.deck_lid = spec.plenum.roof == PlenumRoof::Lid ? at.deck_floor + spec.plenum.lid_height : HUGE_VAL;
  at.ramp_foot = at.deck_floor;
  for (const base::Side side : both_sides) {
    const InletSpec& in = inlet(spec, side);
    const double bottom = in.height - 0.5 * opening_height(in) * inlet_layout(spec, side).end_scale;
    at.ramp_foot = std::min(at.ramp_foot, bottom - throat_step);
  }
  at.trailing_edge = spec.cowl.firewall_station + spec.exit.overhang;
  at.tail_end = spec.cowl.firewall_station + spec.fuselage.length;
  at.bump = spec.exit.gap + spec.cowl.skin_thickness;
  at.bump_end = at.trailing_edge;
  if (spec.is_closed) {
    constexpr double slenderness = 10.0;  // at most 8.5 degrees against the belly: air follows it
    constexpr double longest_share = 0.6;
    at.bump_end += std::min(slenderness * at.bump, longest_share * (at.tail_end - at.trailing_edge));
  }
  at.bump_flat = 0.5 * spec.exit.width + spec.cowl.skin_thickness;
  at.bump_side = 1.5 * at.bump;
  at.crankcase_front = at.deck_start - crankcase_overlap;
  at.crankcase_rear = at.deck_end + crankcase_overlap;
  return at;
}

double deck_floor_at(const ShapeSpec& spec, const Layout& at, double x) {
  const double run = at.deck_start - spec.plenum.front_station;
  return at.ramp_foot + (at.deck_floor - at.ramp_foot) * smooth_step((x - spec.plenum.front_station) / run);
}

double centre_wall_top(const ShapeSpec& spec, const Layout& at) {
  if (!(spec.plenum.wall_height < 1.0)) return HUGE_VAL;
  const double roof = deck_roof_z(spec, Outline(spec), at.deck_end, 0.0);
  return at.deck_floor + spec.plenum.wall_height * (roof - at.deck_floor);
}

double exit_plane_station(const ShapeSpec& spec) {
  constexpr double ahead_of_edge = 0.025;
  return spec.cowl.firewall_station + spec.exit.overhang - ahead_of_edge;
}

double exit_plane_play(const ExitSpec& exit) {
  constexpr double draft_cell_over_gap = 0.25;  // 1.5 of the coarse grid's gap / 6
  return 0.5 * draft_cell_over_gap * exit.gap;
}

double strut_station(const ShapeSpec& spec) {
  constexpr double behind = 0.005;
  return exit_plane_station(spec) - exit_plane_play(spec.exit) - behind - 0.5 * spec.exit.strut_diameter;
}

ExhaustPath exhaust_path(const ShapeSpec& spec) {
  constexpr double bend_over_radius = 1.6;
  constexpr double behind_edge = 0.030;
  const Layout at = layout(spec);
  const Outline outline(spec);
  ExhaustPath path{};
  path.radius = 0.5 * spec.exit.exhaust_diameter;
  path.side = 0.5 * spec.exit.exhaust_spacing;
  path.leg_station = spec.cowl.firewall_station - leg_to_firewall - path.radius;
  path.bend_radius = bend_over_radius * path.radius;
  const auto floor = [&](double x) { return outline.lower_z(x, path.side, spec.cowl.skin_thickness); };
  path.height = 0.5 * (outline.belly_z(at.trailing_edge, path.side) +
                       std::max(floor(path.leg_station + path.bend_radius), floor(at.trailing_edge)));
  path.end_station = at.trailing_edge + behind_edge;
  return path;
}

double exhaust_volume_in_deck(const ShapeSpec& spec) {
  if (!(spec.exit.exhaust_diameter > 0.0)) return 0.0;
  const ExhaustPath path = exhaust_path(spec);
  const double leg = -layout(spec).deck_floor - (path.height + path.bend_radius);
  const double bend = 0.5 * std::numbers::pi * path.bend_radius;
  const double run = spec.cowl.firewall_station - (path.leg_station + path.bend_radius);
  return 2.0 * std::numbers::pi * path.radius * path.radius * (leg + bend + run);
}

}  // namespace cowlwright::shape
