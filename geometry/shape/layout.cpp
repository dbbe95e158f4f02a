// SPDX-License-Identifier: GPL-3.0-or-later
//
// Derived stations and heights.
#include "geometry/shape/layout.h"

#include "geometry/shape/opening.h"
#include "geometry/shape/outline.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::shape {

double core_front(const EngineSpec& engine, int k) {
  return engine.first_core_station + k * (engine.core_length + engine.core_gap);
}

InletLayout inlet_layout(const ShapeSpec& spec, base::Side side) {
  const InletSpec& in = inlet(spec, side);
  InletLayout at{};
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

}  // namespace cowlwright::shape
