// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules between the exit channel, its fairing, the lip and the belly.
#include "geometry/shape/parts.h"
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
  const Outline outline(spec);
  // The fairing must have faded out where the lower deck's sides meet its ceiling.
  double room = 0.96 * 0.5 * spec.cowl.width;
  for (const double x : {at.last_core_end, spec.cowl.firewall_station, at.trailing_edge}) {
    room = std::min(room, outline.half_width_at(x, -at.deck_floor, spec.cowl.skin_thickness));
  }
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

}  // namespace

void add_exit_rules(const ShapeSpec& spec, RuleList& rules) {
  add_fairing_rules(spec, rules);
  add_channel_rules(spec, rules);
  add_lip_rules(spec, rules);
}

}  // namespace cowlwright::shape
