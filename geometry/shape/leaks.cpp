// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where leaks lie. The places are those where air gets past the baffles of an opposed engine (common
// practice, no source): along the cowl's seals, behind the last cylinder, at the crankcase's nose, between
// cylinders and through the centre wall.
#include "geometry/shape/layout.h"
#include "geometry/shape/outline.h"
#include "geometry/shape/passages.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::shape {

namespace {

using base::Side;

constexpr std::array<std::string_view, n_leak_places> keys{"cowl_seal_left",
                                                           "cowl_seal_right",
                                                           "rear_baffle_left",
                                                           "rear_baffle_right",
                                                           "crankcase_nose",
                                                           "between_cylinders_left",
                                                           "between_cylinders_right",
                                                           "centre_wall"};

Side side_of(LeakPlace place) {
  const std::string_view key = leak_key(place);
  return key.ends_with("_left") ? Side::Left : key.ends_with("_right") ? Side::Right : Side::Centre;
}

/// A room through the deck's floor: between two stations and two distances from the plane of symmetry.
struct FloorRoom {
  double front;
  double rear;
  double inner;
  double outer;
};

LeakRoom through_the_floor(const ShapeSpec& spec, std::string name, Side side, const FloorRoom& at) {
  const double half_depth = 0.5 * spec.engine.core_depth;
  LeakRoom room;
  room.name = std::move(name);
  room.side = side;
  room.room = {{at.front, at.inner, -half_depth}, {at.rear, at.outer, half_depth}};
  if (side == Side::Left) {
    room.room.low.y = -at.outer;
    room.room.high.y = -at.inner;
  }
  room.run_low = room_poke;
  room.run_high = room_poke;
  room.sides[0].length = at.rear - at.front;
  room.sides[1].length = at.outer - at.inner;
  return room;
}

/// Half width inside the skin where a duct through the floor ends in either deck, the smallest from `front`
/// to `rear`.
double half_width_at_floor(const ShapeSpec& spec, double front, double rear) {
  const double height = 0.5 * spec.engine.core_depth + room_poke;
  return least_half_width(spec, {front, rear}, {height, -height});
}

LeakRoom cowl_seal(const ShapeSpec& spec, const std::string& name, Side side) {
  const EngineSpec& e = spec.engine;
  const double front = e.first_core_station;
  const double rear = layout(spec).last_core_end;
  const double outer = half_width_at_floor(spec, front, rear) - passage_wall;
  LeakRoom room = through_the_floor(spec, name, side, {front, rear, e.core_outer + passage_wall, outer});
  room.sides[0] = {room.sides[0].length, "engine.core_length", e.core_length, 1.0, "Lengthen the cores."};
  room.sides[1] = {room.sides[1].length,
                   "engine.core_outer",
                   e.core_outer,
                   -1.0,
                   "Move the cores' outer edges in or widen the cowl."};
  return room;
}

LeakRoom rear_baffle(const ShapeSpec& spec, const std::string& name, Side side) {
  const Layout at = layout(spec);
  const EngineSpec& e = spec.engine;
  const double front = at.last_core_end + passage_wall;
  const double rear = at.deck_end - passage_wall;
  const bool has_cooler = spec.oil_cooler.place == CoolerPlace::Below && spec.oil_cooler.side == side;
  const double inner = has_cooler ? e.core_inner + spec.oil_cooler.width : 0.5 * e.crankcase_width;
  const double outer = half_width_at_floor(spec, front, rear) - passage_wall;
  LeakRoom room = through_the_floor(spec, name, side, {front, rear, inner + passage_wall, outer});
  room.sides[0] = {room.sides[0].length,
                   "plenum.rear_baffle_clearance",
                   spec.plenum.rear_baffle_clearance,
                   1.0,
                   "Move the rear baffle aft."};
  room.sides[1] = {room.sides[1].length,
                   has_cooler ? "oil_cooler.width" : "engine.crankcase_width",
                   has_cooler ? spec.oil_cooler.width : e.crankcase_width,
                   has_cooler ? -1.0 : -0.5,
                   has_cooler ? "Make the oil cooler narrower." : "Make the crankcase narrower."};
  return room;
}

LeakRoom between_cylinders(const ShapeSpec& spec, const std::string& name, Side side) {
  const EngineSpec& e = spec.engine;
  const double front = e.first_core_station + e.core_length + passage_wall;
  const double rear = core_front(e, 1) - passage_wall;
  LeakRoom room = through_the_floor(spec, name, side, {front, rear, e.core_inner, e.core_outer});
  room.sides[0] = {room.sides[0].length, "engine.core_gap", e.core_gap, 1.0, "Move the cylinders apart."};
  room.sides[1] = {
      room.sides[1].length, "engine.core_outer", e.core_outer, 1.0, "Move the cores' outer edges out."};
  return room;
}

/// Through the crankcase block beside the first cylinder; under a centre wall one on either side of it.
std::vector<LeakRoom> crankcase_nose(const ShapeSpec& spec, const std::string& name) {
  const EngineSpec& e = spec.engine;
  const double front = layout(spec).deck_start + passage_wall;
  const double rear = e.first_core_station + e.core_length;
  const double outer = 0.5 * e.crankcase_width - passage_wall;
  std::vector<LeakRoom> rooms;
  if (spec.plenum.kind == PlenumKind::Split) {
    const double inner = 0.5 * spec.plenum.wall_thickness + passage_wall;
    const FloorRoom half{front, rear, inner, outer};
    rooms = {through_the_floor(spec, name + "_left", Side::Left, half),
             through_the_floor(spec, name + "_right", Side::Right, half)};
  } else {
    rooms = {through_the_floor(spec, name, Side::Centre, {front, rear, -outer, outer})};
  }
  const double gain = 1.0 / static_cast<double>(rooms.size());
  for (LeakRoom& room : rooms) {
    room.run_low += e.sump_drop;
    room.run_high += e.crankcase_rise;
    room.sides[0] = {room.sides[0].length, "engine.core_length", e.core_length, 1.0, "Lengthen the cores."};
    room.sides[1] = {
        room.sides[1].length, "engine.crankcase_width", e.crankcase_width, gain, "Make the crankcase wider."};
  }
  return rooms;
}

/// Over the second cylinder, on the crankcase block and below the wall's top.
LeakRoom centre_wall(const ShapeSpec& spec, const std::string& name) {
  const Layout at = layout(spec);
  const double half = 0.5 * boss_thickness;
  const double front = core_front(spec.engine, 1);
  const double rear = at.deck_end - boss_clearance - passage_wall;
  const double foot = at.deck_floor + spec.engine.crankcase_rise + passage_wall;
  double head = centre_wall_top(spec, at) - passage_wall;
  const Outline outline(spec);
  for (const double x : {front, at.deck_end}) {
    head = std::min(head, deck_roof_z(spec, outline, x, half) - boss_clearance - passage_wall);
  }
  LeakRoom room;
  room.name = name;
  room.direction = {0.0, 1.0, 0.0};
  room.room = {{front, -half, foot}, {rear, half, head}};
  room.run_low = room_poke;
  room.run_high = room_poke;
  room.sides[0] = {head - foot,
                   "engine.crankcase_rise",
                   spec.engine.crankcase_rise,
                   -1.0,
                   "Lower the crankcase, or raise the wall and what is above it."};
  room.sides[1] = {rear - front,
                   "plenum.rear_baffle_clearance",
                   spec.plenum.rear_baffle_clearance,
                   1.0,
                   "Move the rear baffle aft."};
  return room;
}

}  // namespace

std::string_view leak_key(LeakPlace place) {
  return keys.at(static_cast<std::size_t>(place));
}

std::vector<LeakRoom> leak_rooms(const ShapeSpec& spec, LeakPlace place) {
  const std::string name = "leak_" + std::string(leak_key(place));
  const Side side = side_of(place);
  switch (place) {
    case LeakPlace::CowlSealLeft:
    case LeakPlace::CowlSealRight:
      return {cowl_seal(spec, name, side)};
    case LeakPlace::RearBaffleLeft:
    case LeakPlace::RearBaffleRight:
      return {rear_baffle(spec, name, side)};
    case LeakPlace::CrankcaseNose:
      return crankcase_nose(spec, name);
    case LeakPlace::BetweenCylindersLeft:
    case LeakPlace::BetweenCylindersRight:
      return {between_cylinders(spec, name, side)};
    case LeakPlace::CentreWall:
      return {centre_wall(spec, name)};
  }
  return {};
}

double leak_opening_area(double effective_area, std::size_t n_rooms) {
  const double least = static_cast<double>(n_rooms) * least_opening * least_opening;
  return std::max(leak_opening_ratio * effective_area, least);
}

}  // namespace cowlwright::shape
