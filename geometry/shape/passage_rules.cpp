// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules for the room that heads and barrels, the oil cooler and leaks need.
#include "geometry/shape/passages.h"
#include "geometry/shape/rule_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::shape {

namespace {

constexpr double least_part = 0.040;      // width of a core, a head or a barrel [m]
constexpr double least_air = 0.020;       // above and below an oil cooler's mouths [m]
constexpr double behind_chamber = 0.020;  // solid between the rear cooler's chamber and the firewall [m]

void add_head_rules(const ShapeSpec& spec, RuleList& rules) {
  const EngineSpec& e = spec.engine;
  if (e.head_width == 0.0) return;
  const KeyedLength head{"engine.head_width", e.head_width};
  rules.at_least(head,
                 least_part,
                 {"engine.core_outer", e.core_outer},
                 "or 0 mm, so that a head is at least 40 mm wide",
                 "Widen the head, or leave it away for cores that are not split.");
  rules.at_most(head,
                e.core_outer - e.core_inner - head_barrel_wall - least_part,
                {"engine.core_inner", e.core_inner},
                "so that 40 mm of barrel are left inside a wall of 15 mm",
                "Make the head narrower or the cores wider.");
}

void add_width_rule(const ShapeSpec& spec, double room, const std::string& remedy, RuleList& rules) {
  rules.at_most({"oil_cooler.width", spec.oil_cooler.width},
                room - passage_wall - spec.engine.core_inner,
                {"cowl.width", spec.cowl.width},
                "so that the oil cooler, from the cores' inner edge outward, lies inside the skin",
                remedy);
}

void add_rear_cooler_rules(const ShapeSpec& spec, RuleList& rules) {
  const OilCoolerSpec& cooler = spec.oil_cooler;
  const Layout at = layout(spec);
  const Outline outline(spec);
  const double foot = at.deck_floor + passage_wall;
  const double end = rear_chamber_end(spec);
  const double room = least_half_width(spec, {at.deck_end, end}, {foot, -at.deck_floor - room_poke});
  add_width_rule(spec, room, "Make the oil cooler narrower or the cowl wider.", rules);
  const double outer = spec.engine.core_inner + cooler.width;
  const double roof = std::min(deck_roof_z(spec, outline, at.deck_end, outer),
                               outline.upper_z(end, outer, spec.cowl.skin_thickness));
  const bool has_lid = spec.plenum.roof == PlenumRoof::Lid;
  rules.at_most({"oil_cooler.height", cooler.height},
                roof - passage_wall - foot,
                has_lid ? KeyedLength{"plenum.lid_height", spec.plenum.lid_height}
                        : KeyedLength{"cowl.height_above", spec.cowl.height_above},
                "so that the oil cooler stands between the deck's floor and its roof",
                "Make the oil cooler lower or narrower, or raise the roof.");
  rules.at_least(
      {"cowl.firewall_station", spec.cowl.firewall_station},
      end + behind_chamber,
      {"oil_cooler.height", cooler.height},
      "so that the oil cooler and the chamber behind it, as long as the cooler is high, stand ahead "
      "of the firewall",
      "Move the firewall aft, or make the oil cooler lower or thinner.");
}

/// In the deck's floor, ahead of the first core or behind the last.
void add_floor_cooler_rules(const ShapeSpec& spec, RuleList& rules) {
  const OilCoolerSpec& cooler = spec.oil_cooler;
  const Layout at = layout(spec);
  const bool is_front = cooler.place == CoolerPlace::Front;
  const double front = floor_cooler_front(spec);
  const double height = at.deck_floor + least_air;
  const double room = least_half_width(spec, {front, front + cooler.height}, {height, -height});
  add_width_rule(spec,
                 room,
                 is_front
                     ? "Make the oil cooler narrower, or start the cores further aft where the cowl is full."
                     : "Make the oil cooler narrower or the cowl wider.",
                 rules);
  rules.at_most({"oil_cooler.depth", cooler.depth},
                spec.engine.core_depth,
                {"engine.core_depth", spec.engine.core_depth},
                "so that the oil cooler fits between the decks",
                "Make the oil cooler thinner or the cores deeper.");
  if (is_front) return;
  rules.at_least({"plenum.rear_baffle_clearance", spec.plenum.rear_baffle_clearance},
                 cooler.height + 2.0 * passage_wall,
                 {"oil_cooler.height", cooler.height},
                 "so that the oil cooler fits between the last core and the rear baffle",
                 "Move the rear baffle aft, or turn the oil cooler's short side along the shaft.");
}

void add_cooler_rules(const ShapeSpec& spec, RuleList& rules) {
  if (spec.oil_cooler.place == CoolerPlace::None) return;
  if (spec.oil_cooler.place == CoolerPlace::Rear) {
    add_rear_cooler_rules(spec, rules);
  } else {
    add_floor_cooler_rules(spec, rules);
  }
}

/// Every side of the opening's room can be meshed, and the opening fits.
void add_leak_rules(const ShapeSpec& spec, LeakPlace place, const KeyedLength& leak, RuleList& rules) {
  const std::vector<LeakRoom> rooms = leak_rooms(spec, place);
  const auto& sides = rooms.front().sides;
  bool is_wide_enough = true;
  for (const RoomSide& side : sides) {
    if (side.length >= least_opening) continue;
    is_wide_enough = false;
    const KeyedLength limit{side.key, side.value};
    const std::string reason =
        "so that the leak has an opening of 24 mm with 10 mm of wall on either side, less cannot be meshed";
    const std::string remedy = side.remedy + " Or leave the leak away.";
    const double bound = side.value + (least_opening - side.length) / side.gain;
    if (side.gain > 0.0) {
      rules.at_least(limit, bound, leak, reason, remedy);
    } else {
      rules.at_most(limit, bound, leak, reason, remedy);
    }
  }
  if (!is_wide_enough) return;
  const auto& narrow = sides[0].length < sides[1].length ? sides[0] : sides[1];
  rules.at_most(leak,
                static_cast<double>(rooms.size()) * sides[0].length * sides[1].length / leak_opening_ratio,
                {narrow.key, narrow.value},
                fmt::format("so that its opening, {:.0f} times as large, fits into {:.0f} mm by {:.0f} mm{}",
                            leak_opening_ratio,
                            1000.0 * sides[0].length,
                            1000.0 * sides[1].length,
                            rooms.size() > 1 ? " on either side of the centre wall" : ""),
                "Make the leak smaller, spread it over several places, or make room: " + narrow.remedy);
}

void add_leak_rules(const ShapeSpec& spec, RuleList& rules) {
  for (std::size_t i = 0; i < n_leak_places; ++i) {
    const auto place = static_cast<LeakPlace>(i);
    const KeyedLength leak{
        "leaks." + std::string(leak_key(place)), spec.leaks.effective_area[i], base::Dimension::Area};
    if (leak.value == 0.0) continue;
    if (place == LeakPlace::CentreWall && spec.plenum.kind == PlenumKind::Shared) {
      rules.at_most(leak,
                    0.0,
                    {"plenum.kind", 0.0, base::Dimension::Length, "shared"},
                    "without a centre wall",
                    "Take the leak out, or ask for kind = \"split\".");
      continue;
    }
    add_leak_rules(spec, place, leak, rules);
  }
}

}  // namespace

void add_passage_rules(const ShapeSpec& spec, RuleList& rules) {
  add_head_rules(spec, rules);
  add_cooler_rules(spec, rules);
  add_leak_rules(spec, rules);
}

}  // namespace cowlwright::shape
