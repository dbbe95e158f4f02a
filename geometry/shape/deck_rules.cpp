// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules between engine, decks and the skin round them.
#include "geometry/shape/opening.h"
#include "geometry/shape/passages.h"
#include "geometry/shape/rule_list.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::shape {

namespace {

constexpr double wall = 0.010;           // least solid between two air spaces [m]
constexpr double least_passage = 0.020;  // between the crankcase block and roof or keel [m]
constexpr double shortest_ramp = 0.060;  // [m]

void add_engine_rules(const ShapeSpec& spec, RuleList& rules) {
  const EngineSpec& e = spec.engine;
  const KeyedLength inner{"engine.core_inner", e.core_inner};
  rules.at_least(inner,
                 0.5 * e.crankcase_width + wall,
                 {"engine.crankcase_width", e.crankcase_width},
                 "so that 10 mm of wall stand between core and crankcase",
                 "Move the cores out or make the crankcase narrower.");
  rules.at_least({"engine.core_outer", e.core_outer},
                 e.core_inner + 0.040,
                 inner,
                 "so that a core is at least 40 mm wide",
                 "Move the outer edge out or the inner edge in.");
  if (spec.plenum.kind == PlenumKind::Split) {
    rules.at_most({"plenum.wall_thickness", spec.plenum.wall_thickness},
                  e.crankcase_width - 2.0 * wall,
                  {"engine.crankcase_width", e.crankcase_width},
                  "so that the centre wall stands on the crankcase",
                  "Make the wall thinner.");
  }
}

void add_core_place_rules(const ShapeSpec& spec, RuleList& rules) {
  const EngineSpec& e = spec.engine;
  const Layout at = layout(spec);
  const double height = 0.5 * e.core_depth + room_poke;
  const double room = least_half_width(spec, {e.first_core_station, at.last_core_end}, {height, -height});
  rules.at_most({"engine.core_outer", e.core_outer},
                room - wall,
                {"cowl.width", spec.cowl.width},
                "so that the cores lie inside the skin at both of their ends",
                "Widen the cowl, move the cores in, or start them further aft where the cowl is full.");
  rules.at_least({"plenum.rear_baffle_clearance", spec.plenum.rear_baffle_clearance},
                 0.015,
                 {"engine.core_length", e.core_length},
                 "so that the last core is not covered by the rear baffle",
                 "Move the rear baffle aft.");
  rules.at_least({"cowl.firewall_station", spec.cowl.firewall_station},
                 at.deck_end + 0.060,
                 {"engine.first_core_station", e.first_core_station},
                 "so that the rear baffle stands 60 mm ahead of the firewall",
                 "Move the firewall aft, the cores forward, or shorten cores and rear clearance.");
}

void add_ramp_rules(const ShapeSpec& spec, RuleList& rules) {
  const Layout at = layout(spec);
  const Outline outline(spec);
  const double front = spec.plenum.front_station;
  const double rise = at.deck_floor - at.ramp_foot;
  const double run = std::max(shortest_ramp, 0.6 * rise);
  const KeyedLength first_core{"engine.first_core_station", spec.engine.first_core_station};
  rules.at_least(first_core,
                 front + run + spec.engine.first_core_station - at.deck_start,
                 {"plenum.front_station", front},
                 "so that the floor can rise from the inlets to the cores, or the oil cooler ahead of them",
                 "Move the cores aft, the plenum's front wall forward, or the inlets up.");
  const double section_depth = outline.section(front).depth - spec.cowl.skin_thickness;
  for (const base::Side side : distinct_inlets(spec)) {
    const InletSpec& in = inlet(spec, side);
    rules.at_least({inlet_section(spec, side) + ".height", in.height},
                   0.5 * opening_height(in) * inlet_layout(spec, side).end_scale + throat_step +
                       least_passage - section_depth,
                   {"cowl.depth_below", spec.cowl.depth_below},
                   "so that the ramp's foot lies inside the cowl at the plenum's front wall",
                   "Raise the inlets or deepen the cowl.");
  }
}

/// What bounds the upper deck above.
KeyedLength roof_key(const ShapeSpec& spec) {
  if (spec.plenum.roof == PlenumRoof::Lid) return {"plenum.lid_height", spec.plenum.lid_height};
  return {"cowl.height_above", spec.cowl.height_above};
}

/// Lowest roof over a distance from the plane of symmetry, from the deck's front wall to its rear.
double lowest_roof(const ShapeSpec& spec, const Outline& outline, double y) {
  const double front = deck_roof_z(spec, outline, spec.plenum.front_station, y);
  return std::min(front, deck_roof_z(spec, outline, layout(spec).deck_end, y));
}

void add_lid_rules(const ShapeSpec& spec, RuleList& rules) {
  if (spec.plenum.roof != PlenumRoof::Lid) return;
  const Layout at = layout(spec);
  const Outline outline(spec);
  const double skin = spec.cowl.skin_thickness;
  const KeyedLength lid{"plenum.lid_height", spec.plenum.lid_height};
  const double crown = std::min(outline.upper_z(spec.plenum.front_station, 0.0, skin),
                                outline.upper_z(at.deck_end, 0.0, skin));
  rules.at_most(lid,
                crown - wall - at.deck_floor,
                {"cowl.height_above", spec.cowl.height_above},
                "so that the lid lies below the cowl over its whole length",
                "Lower the lid, raise the cowl, or let the deck begin further aft.");
  for (const base::Side side : distinct_inlets(spec)) {
    const InletSpec& in = inlet(spec, side);
    const double top = in.height + 0.5 * opening_height(in) * inlet_layout(spec, side).end_scale;
    rules.at_least(lid,
                   top + throat_step - at.deck_floor,
                   {inlet_section(spec, side) + ".height", in.height},
                   "so that the inlets open below the lid",
                   "Raise the lid, lower the inlets, or make them smaller.");
  }
}

/// A centre wall of part height leaves air over it and stands clear of the crankcase.
void add_wall_rules(const ShapeSpec& spec, RuleList& rules) {
  if (spec.plenum.kind != PlenumKind::Split || spec.plenum.wall_height == 1.0) return;
  const Layout at = layout(spec);
  const Outline outline(spec);
  const KeyedLength share{"plenum.wall_height", spec.plenum.wall_height, base::Dimension::Share};
  const double full = deck_roof_z(spec, outline, at.deck_end, 0.0) - at.deck_floor;
  const double roof = lowest_roof(spec, outline, 0.5 * spec.plenum.wall_thickness) - at.deck_floor;
  rules.at_most(share,
                (roof - least_passage) / full,
                roof_key(spec),
                "or 100 %, so that 20 mm of air pass over the wall",
                "Lower the wall, or let it reach the roof.");
  rules.at_least(share,
                 (spec.engine.crankcase_rise + least_passage) / full,
                 {"engine.crankcase_rise", spec.engine.crankcase_rise},
                 "so that the wall stands 20 mm above the crankcase",
                 "Raise the wall, lower the crankcase, or ask for a shared plenum.");
}

void add_height_rules(const ShapeSpec& spec, RuleList& rules) {
  const EngineSpec& e = spec.engine;
  const Layout at = layout(spec);
  const Outline outline(spec);
  const double skin = spec.cowl.skin_thickness;
  const double edge = 0.5 * e.crankcase_width;
  double roof = HUGE_VAL;
  double keel = -HUGE_VAL;
  for (const double x : {at.crankcase_front, at.deck_start, at.last_core_end, at.crankcase_rear}) {
    roof = std::min(roof, deck_roof_z(spec, outline, x, edge));
    keel = std::max(keel, outline.lower_z(x, edge, skin));
  }
  const std::string reason = "so that 20 mm of air stay clear of the crankcase";
  rules.at_most({"engine.crankcase_rise", e.crankcase_rise},
                roof - at.deck_floor - least_passage,
                roof_key(spec),
                reason,
                "Raise the roof, lower the crankcase, or make the cores shallower.");
  rules.at_most({"engine.sump_drop", e.sump_drop},
                -keel - at.deck_floor - least_passage,
                {"cowl.depth_below", spec.cowl.depth_below},
                reason,
                "Deepen the cowl, raise the sump, or make the cores shallower.");
  const double shoulder = std::min(outline.upper_z(e.first_core_station, e.core_outer, skin),
                                   -outline.lower_z(e.first_core_station, e.core_outer, skin));
  rules.at_most({"engine.core_depth", e.core_depth},
                2.0 * (shoulder - least_passage),
                {"cowl.height_above", spec.cowl.height_above},
                "so that 20 mm of air stay above and below the cores' outer edges",
                "Raise the cowl, make the cores shallower, or move their outer edges in.");
}

}  // namespace

void add_deck_rules(const ShapeSpec& spec, RuleList& rules) {
  add_engine_rules(spec, rules);
  add_core_place_rules(spec, rules);
  add_ramp_rules(spec, rules);
  add_height_rules(spec, rules);
  add_lid_rules(spec, rules);
  add_wall_rules(spec, rules);
}

}  // namespace cowlwright::shape
