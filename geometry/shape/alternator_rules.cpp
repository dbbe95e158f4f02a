// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules between the alternator and the deck, the cores and the crankcase round it.
#include "geometry/shape/alternator.h"
#include "geometry/shape/rule_list.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::shape {

namespace {

constexpr double clearance = 0.020;        // of air that can be meshed, on every side [m]
constexpr double front_clearance = 0.025;  // behind the front wall, where the inlet's air turns [m]
constexpr double least_slope = 0.5;        // of the ramp where the cylinder enters it: no sharp crevice

/// Station in the ramp where its floor reaches a height; the ramp rises all the way.
double ramp_station(const ShapeSpec& spec, const Layout& at, double height) {
  double low = spec.plenum.front_station;
  double high = at.deck_start;
  for (int i = 0; i < 50; ++i) {
    const double middle = 0.5 * (low + high);
    (deck_floor_at(spec, at, middle) < height ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// Sinks in where the ramp is steep, and with its rear edge deep below the floor.
bool sinks_in_soundly(const ShapeSpec& spec, const Layout& at) {
  constexpr double step = 0.001;
  const AlternatorSpec& a = spec.alternator;
  const double bottom = a.height - 0.5 * a.diameter;
  const double entry = ramp_station(spec, at, bottom);
  const double rise = deck_floor_at(spec, at, entry + step) - deck_floor_at(spec, at, entry - step);
  return bottom <= deck_floor_at(spec, at, a.station + a.length) - clearance &&
         entry >= a.station + clearance && rise >= least_slope * 2.0 * step;
}

void add_length_rules(const ShapeSpec& spec, const Layout& at, RuleList& rules) {
  const AlternatorSpec& a = spec.alternator;
  const KeyedLength station{"alternator.station", a.station};
  rules.at_least(station,
                 spec.plenum.front_station + front_clearance,
                 {"plenum.front_station", spec.plenum.front_station},
                 "so that 25 mm of air stay between the front wall and the alternator",
                 "Move the alternator aft or the plenum's front wall forward.");
  rules.at_most(station,
                at.deck_start - 0.5 * a.length - core_front_wall,
                {"engine.first_core_station", spec.engine.first_core_station},
                "so that its foot stands on the ramp ahead of the cores",
                "Move the alternator forward or make it shorter.");
  // Over the cores only when it is well above them.
  const bool is_above_cores = a.height - 0.5 * a.diameter >= at.deck_floor + clearance;
  const double rear = is_above_cores ? at.deck_end : at.deck_start + core_front_wall;
  rules.at_most({"alternator.length", a.length},
                rear - clearance - a.station,
                {"engine.first_core_station", spec.engine.first_core_station},
                is_above_cores ? "so that 20 mm of air stay ahead of the rear baffle"
                               : "so that it ends 20 mm ahead of the first core",
                "Make the alternator shorter, or move it forward or above the cores.");
}

void add_height_rules(const ShapeSpec& spec, const Layout& at, RuleList& rules) {
  const AlternatorSpec& a = spec.alternator;
  const Outline outline(spec);
  const double radius = 0.5 * a.diameter;
  const KeyedLength height{"alternator.height", a.height};
  double roof = HUGE_VAL;
  for (const double x : {a.station, a.station + a.length}) {
    roof = std::min(roof, outline.upper_z(x, a.distance + radius, spec.cowl.skin_thickness));
  }
  rules.at_most(height,
                roof - clearance - radius,
                {"cowl.height_above", spec.cowl.height_above},
                "so that 20 mm of air stay above the alternator",
                "Lower the alternator, make it smaller, or raise the cowl.");
  rules.at_most(height,
                at.deck_lid - clearance - radius,
                {"plenum.lid_height", spec.plenum.lid_height},
                "so that 20 mm of air stay between the alternator and the lid",
                "Lower the alternator, make it smaller, or raise the lid.");
  const bool is_sunk = alternator_sinks_into_ramp(spec) && sinks_in_soundly(spec, at);
  const double foot = is_sunk ? a.station : a.station + a.length;
  rules.at_least(height,
                 deck_floor_at(spec, at, foot) + clearance + radius,
                 {"alternator.station", a.station},
                 "so that 20 mm of air stay between the deck's floor and the alternator",
                 "Raise the alternator or move it forward; or lower it until the ramp's steep part takes up "
                 "its rear by 20 mm or more.");
}

void add_side_rules(const ShapeSpec& spec, const Layout& at, RuleList& rules) {
  const AlternatorSpec& a = spec.alternator;
  const double radius = 0.5 * a.diameter;
  const KeyedLength distance{"alternator.distance", a.distance};
  const double wall = least_half_width(
      spec, {a.station, a.station + a.length}, {a.height - radius, a.height, a.height + radius});
  rules.at_most(distance,
                wall - clearance - radius,
                {"cowl.width", spec.cowl.width},
                "so that 20 mm of air stay between the alternator and the cowl's side",
                "Move the alternator in or make it smaller.");
  const bool is_split = spec.plenum.kind == PlenumKind::Split;
  const double middle = is_split ? 0.5 * spec.plenum.wall_thickness : 0.0;
  rules.at_least(
      distance,
      middle + clearance + radius,
      {is_split ? "plenum.wall_thickness" : "alternator.diameter", is_split ? 2.0 * middle : a.diameter},
      "so that the alternator stays on its side of the deck",
      "Move the alternator out or make it smaller.");
  const bool reaches_crankcase = a.station + a.length > at.crankcase_front - clearance;
  const bool is_above = a.height - radius >= at.deck_floor + spec.engine.crankcase_rise + clearance;
  if (reaches_crankcase && !is_above) {
    rules.at_least(distance,
                   0.5 * spec.engine.crankcase_width + clearance + radius,
                   {"engine.crankcase_width", spec.engine.crankcase_width},
                   "so that 20 mm of air stay between the alternator and the crankcase",
                   "Move the alternator out, forward or up, or make it smaller.");
  }
}

}  // namespace

void add_alternator_rules(const ShapeSpec& spec, RuleList& rules) {
  if (!spec.alternator.side) return;
  const Layout at = layout(spec);
  add_length_rules(spec, at, rules);
  add_height_rules(spec, at, rules);
  add_side_rules(spec, at, rules);
}

}  // namespace cowlwright::shape
