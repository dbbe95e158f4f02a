// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules between the exit channel, its fairing, the lip, what stands in the channel, and the belly.
#include "geometry/shape/parts.h"
#include "geometry/shape/passages.h"
#include "geometry/shape/rule_list.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

namespace {

constexpr double straight_channel = 0.035;  // between the ramp's end and the trailing edge [m]
constexpr double cover = 0.001;             // of skin on either side of the lip's root [m]

void add_fairing_rules(const ShapeSpec& spec, RuleList& rules) {
  const Layout at = layout(spec);
  // The fairing must have faded out where the lower deck's sides meet its ceiling.
  const double room =
      std::min(0.96 * 0.5 * spec.cowl.width,
               least_half_width(
                   spec, {at.last_core_end, spec.cowl.firewall_station, at.trailing_edge}, {-at.deck_floor}));
  rules.at_most({"exit.width", spec.exit.width},
                2.0 * (room - spec.cowl.skin_thickness - at.bump_side),
                {"cowl.width", spec.cowl.width},
                "so that the fairing round the exit fits under the cowl",
                "Make the exit narrower or lower, or the cowl wider.");
}

void add_channel_rules(const ShapeSpec& spec, RuleList& rules) {
  constexpr double least_firewall = 0.020;  // of wall between the lower deck's ceiling and the ramp [m]
  const ExitSpec& exit = spec.exit;
  const Layout at = layout(spec);
  const Outline outline(spec);
  const KeyedLength ramp{"exit.ramp_radius", exit.ramp_radius};
  rules.at_least({"exit.overhang", exit.overhang},
                 exit.ramp_radius + straight_channel,
                 ramp,
                 "so that 35 mm of straight channel follow the ramp",
                 "Move the trailing edge aft or round the ramp less.");
  rules.at_most(ramp,
                -outline.belly_z(at.trailing_edge, 0.5 * exit.width) - at.deck_floor - least_firewall,
                {"fuselage.depth_below", spec.fuselage.depth_below},
                "so that the ramp ends below the lower deck's ceiling",
                "Round the ramp less, deepen the belly, or make the exit narrower.");

  // The floor must not choke the channel ahead of the gap.
  constexpr double least_share = 0.8;
  double missing = -HUGE_VAL;
  for (const double y : channel_columns(exit)) {
    for (int i = 0; i <= 8; ++i) {
      const double x = spec.cowl.firewall_station + exit.overhang * i / 8.0;
      const double height = outline.belly_z(at.trailing_edge, y) - channel_floor_z(spec, outline, x, y);
      missing = std::max(missing, least_share * exit.gap - height);
    }
  }
  rules.at_least({"cowl.depth_below", spec.cowl.depth_below},
                 spec.cowl.depth_below + missing,
                 {"fuselage.depth_below", spec.fuselage.depth_below},
                 "so that the channel is nowhere lower than 80 % of the exit gap",
                 "Deepen the cowl, raise the belly, or move the last core forward.");
}

void add_lip_rules(const ShapeSpec& spec, RuleList& rules) {
  const ExitSpec& exit = spec.exit;
  if (!(exit.lip_length > 0.0) && exit.lip_length == 0.0) return;
  const Layout at = layout(spec);
  const Outline outline(spec);
  double skin = HUGE_VAL;
  for (const double y : channel_columns(exit)) {
    skin = std::min(skin,
                    outline.lower_z(at.trailing_edge, y, spec.cowl.skin_thickness) -
                        outline.lower_z(at.trailing_edge, y, 0.0));
  }
  const KeyedLength thickness{"exit.lip_thickness", exit.lip_thickness};
  rules.at_most(thickness,
                skin - 2.0 * cover,
                {"cowl.skin_thickness", spec.cowl.skin_thickness},
                "so that its root lies inside the skin",
                "Make the lip thinner or the skin thicker.");
  rules.at_least({"exit.lip_length", exit.lip_length},
                 exit.lip_thickness,
                 thickness,
                 "or 0, so that it is a lip and not a bead",
                 "Make the lip longer, or 0 for none.");
}

/// Air that must stay free beside a body in the channel, so that cells fit there on every grid [m].
double free_air(const ExitSpec& exit) {
  constexpr double share_of_gap = 0.2;  // 2.4 of the coarse grid's cells at the channel's walls
  return share_of_gap * exit.gap;
}

/// Thinnest round body that has enough cells round it.
double thinnest_body(const ExitSpec& exit) {
  constexpr double thinnest = 0.020;
  constexpr double share_of_gap = 0.25;
  return std::max(thinnest, share_of_gap * exit.gap);
}

void add_strut_rules(const ShapeSpec& spec, RuleList& rules) {
  const ExitSpec& exit = spec.exit;
  const KeyedLength strut{"exit.strut_diameter", exit.strut_diameter};
  if (exit.strut_diameter == 0.0) return;
  rules.at_least(strut,
                 thinnest_body(exit),
                 {"exit.gap", exit.gap},
                 "or 0, so that cells follow its roundness",
                 "Make the strut thicker, or 0 mm for none.");
  const double front = strut_station(spec) - 0.5 * exit.strut_diameter;
  rules.at_least({"exit.overhang", exit.overhang},
                 exit.overhang + spec.cowl.firewall_station + strut_front - front,
                 strut,
                 "so that the strut stands between the firewall and the exit's measurement plane",
                 "Move the trailing edge aft or make the strut thinner.");
  rules.at_most(strut,
                exit.width - 2.0 * free_air(exit),
                {"exit.width", exit.width},
                "so that air passes on both sides",
                "Make the strut thinner or the exit wider.");
}

/// How far the pipe would have to shrink in radius to leave the wanted air above and below it, up to the
/// trailing edge.
double missing_air_round_pipe(const ShapeSpec& spec, const ExhaustPath& pipe) {
  constexpr int n_along = 24;
  constexpr int n_across = 8;
  const Outline outline(spec);
  double missing = -HUGE_VAL;
  for (int i = 0; i <= n_along; ++i) {
    const double start = pipe.leg_station + pipe.bend_radius;
    const double x = start + (layout(spec).trailing_edge - start) * i / n_along;
    for (int j = -n_across; j <= n_across; ++j) {
      const double u = static_cast<double>(j) / n_across;
      const double y = pipe.side + u * pipe.radius;
      const double half_chord = pipe.radius * std::sqrt(1.0 - u * u);
      const double below = pipe.height - half_chord - outline.lower_z(x, y, spec.cowl.skin_thickness);
      missing = std::max(missing, free_air(spec.exit) - below);
      if (x < spec.cowl.firewall_station) continue;
      const double above = channel_ceiling_z(spec, outline, x, y) - pipe.height - half_chord;
      missing = std::max(missing, free_air(spec.exit) - above);
    }
  }
  return missing;
}

/// Rear end of the crankcase and of all air behind it that a pipe's leg would run into, with what must stay
/// between.
double front_of_legs(const ShapeSpec& spec, const ExhaustPath& pipe) {
  double front = layout(spec).crankcase_rear + leg_to_crankcase;
  const double reach = pipe.radius + passage_wall;
  for (const PassageBox& box : passage_boxes(spec)) {
    const auto meets = [&](double side) {
      return box.duct.low.y < side + reach && box.duct.high.y > side - reach;
    };
    if (!meets(pipe.side) && !meets(-pipe.side)) continue;
    const bool has_chamber =
        box.passage.kind == base::PassageKind::Cooler && spec.oil_cooler.place == CoolerPlace::Rear;
    const double rear = has_chamber ? rear_chamber_end(spec) : box.duct.high.x;
    front = std::max(front, rear + passage_wall);
  }
  return front;
}

void add_exhaust_rules(const ShapeSpec& spec, RuleList& rules) {
  const ExitSpec& exit = spec.exit;
  if (exit.exhaust_diameter == 0.0) return;
  const KeyedLength diameter{"exit.exhaust_diameter", exit.exhaust_diameter};
  const KeyedLength spacing{"exit.exhaust_spacing", exit.exhaust_spacing};
  const double air = free_air(exit);
  rules.at_least(diameter,
                 thinnest_body(exit),
                 {"exit.gap", exit.gap},
                 "or 0, so that cells follow its roundness",
                 "Make the pipes thicker, or 0 mm for none.");
  rules.at_most(spacing,
                exit.width - exit.exhaust_diameter - 2.0 * air,
                {"exit.width", exit.width},
                "so that 20 % of the gap stays free beside each pipe",
                "Move the pipes together, make them thinner, or the exit wider.");
  rules.at_least(
      spacing,
      exit.exhaust_diameter + (exit.strut_diameter > 0.0 ? exit.strut_diameter + 2.0 * air : air),
      exit.strut_diameter > 0.0 ? KeyedLength{"exit.strut_diameter", exit.strut_diameter} : diameter,
      "so that 20 % of the gap stays free between the bodies",
      "Move the pipes apart or make the bodies thinner.");
  if (!(spacing.value + diameter.value < exit.width)) return;
  const ExhaustPath pipe = exhaust_path(spec);
  rules.at_most(diameter,
                diameter.value - 2.0 * missing_air_round_pipe(spec, pipe),
                {"exit.gap", exit.gap},
                "so that 20 % of the gap stays free above and below the pipes",
                "Make the pipes thinner, the gap higher, or move the pipes together.");
  rules.at_least({"cowl.firewall_station", spec.cowl.firewall_station},
                 front_of_legs(spec, pipe) + exit.exhaust_diameter + leg_to_firewall,
                 diameter,
                 "so that the pipes' legs pass between the firewall and crankcase, oil cooler and leaks",
                 "Move the firewall aft, make the pipes thinner, or move the last cylinder forward.");
}

void add_side_plate_rules(const ShapeSpec& spec, RuleList& rules) {
  if (!spec.exit.side_plates) return;
  rules.at_least({"exit.lip_length", spec.exit.lip_length},
                 spec.exit.lip_thickness,
                 {"exit.lip_thickness", spec.exit.lip_thickness},
                 "with side_plates = true, which stand on the lip's ends",
                 "Give the exit a lip or take the side plates away.");
}

}  // namespace

void add_exit_rules(const ShapeSpec& spec, RuleList& rules) {
  if (!spec.own) add_fairing_rules(spec, rules);
  add_channel_rules(spec, rules);
  add_lip_rules(spec, rules);
  add_side_plate_rules(spec, rules);
  add_strut_rules(spec, rules);
  add_exhaust_rules(spec, rules);
}

}  // namespace cowlwright::shape
