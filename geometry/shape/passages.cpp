// SPDX-License-Identifier: GPL-3.0-or-later
//
// Boxes of cores and oil cooler, and how far each zone may be drawn into the solid.
#include "geometry/shape/passages.h"

#include "geometry/shape/builder.h"
#include "geometry/shape/layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::shape {

namespace {

using base::Side;

constexpr base::Vec3 down{0.0, 0.0, -1.0};
constexpr base::Vec3 aft{1.0, 0.0, 0.0};

/// The mirror image of a box on the right.
Box on_side(const Box& right, Side side) {
  if (side != Side::Left) return right;
  return {{right.low.x, -right.high.y, right.low.z}, {right.high.x, -right.low.y, right.high.z}};
}

/// A box run on, or drawn out, at both ends of every axis.
Box grown(const Box& box, const base::Vec3& low, const base::Vec3& high) {
  return {box.low - low, box.high + high};
}

double section_area(const Box& box, int along) {
  const base::Vec3 size = box.high - box.low;
  return component(size, (along + 1) % 3) * component(size, (along + 2) % 3);
}

/// Fills in what follows from the boxes.
void measure(PassageBox& box) {
  const int along = axis_of(box.passage.direction);
  const base::Vec3 size = box.air.high - box.air.low;
  box.passage.area = section_area(box.air, along);
  box.passage.depth = component(size, along);
  box.passage.narrowest = std::min({size.x, size.y, size.z});
}

/// What one cylinder's fins are split into, from the shaft line outward.
struct CorePart {
  const char* suffix;
  double inner;
  double outer;
};

std::vector<CorePart> core_parts(const EngineSpec& e) {
  if (!(e.head_width > 0.0)) return {{"", e.core_inner, e.core_outer}};
  const double head_inner = e.core_outer - e.head_width;
  return {{"_barrel", e.core_inner, head_inner - head_barrel_wall}, {"_head", head_inner, e.core_outer}};
}

void add_cores(const ShapeSpec& spec, std::vector<PassageBox>& boxes) {
  const EngineSpec& e = spec.engine;
  const double half_depth = 0.5 * e.core_depth;
  const double along = 0.8 * core_front_wall;
  const double inward = std::min(zone_overlap, 0.5 * (e.core_inner - 0.5 * e.crankcase_width));
  const double outward = std::min(zone_overlap, 0.5 * (0.5 * spec.cowl.width - e.core_outer));
  for (const Side side : {Side::Left, Side::Right}) {
    for (int k = 0; k < e.n_cylinders / 2; ++k) {
      const double front = core_front(e, k);
      for (const CorePart& part : core_parts(e)) {
        const Box air{{front, part.inner, -half_depth}, {front + e.core_length, part.outer, half_depth}};
        PassageBox box;
        box.side = side;
        box.passage.cylinder = fmt::format("{}{}", side == Side::Left ? 'l' : 'r', k + 1);
        box.passage.name = "core_" + box.passage.cylinder + part.suffix;
        box.passage.kind = base::PassageKind::Core;
        box.passage.direction = down;
        box.passage.outlet = box.passage.name + "_outlet";
        box.air = on_side(air, side);
        box.duct = grown(box.air, {0.0, 0.0, room_poke}, {0.0, 0.0, room_poke});
        box.drawn = on_side(grown(air, {along, inward, 0.0}, {along, outward, 0.0}), side);
        boxes.push_back(std::move(box));
      }
    }
  }
}

void add_cooler(const ShapeSpec& spec, std::vector<PassageBox>& boxes) {
  const OilCoolerSpec& cooler = spec.oil_cooler;
  if (cooler.place == CoolerPlace::None) return;
  const Layout at = layout(spec);
  const double half_depth = 0.5 * cooler.depth;
  const double drawn = 0.5 * passage_wall;
  const double inner = spec.engine.core_inner;
  const double outer = inner + cooler.width;
  PassageBox box;
  box.side = cooler.side;
  box.wall = Patch::OilCoolerWall;
  box.passage.name = "oil_cooler";
  box.passage.kind = base::PassageKind::Cooler;
  box.passage.direction = cooler.place == CoolerPlace::Rear ? aft : down;
  box.passage.outlet = "oil_cooler_outlet";
  if (cooler.place == CoolerPlace::Rear) {
    const double foot = at.deck_floor + passage_wall;
    box.air = {{at.deck_end, inner, foot}, {at.deck_end + cooler.depth, outer, foot + cooler.height}};
    box.duct = grown(box.air, {room_poke, 0.0, 0.0}, {0.0, 0.0, 0.0});
    box.drawn = grown(box.air, {0.0, drawn, drawn}, {0.0, drawn, drawn});
  } else {
    const double front = floor_cooler_front(spec);
    const double run = at.deck_floor - half_depth + room_poke;
    box.air = {{front, inner, -half_depth}, {front + cooler.height, outer, half_depth}};
    box.duct = grown(box.air, {0.0, 0.0, run}, {0.0, 0.0, run});
    box.drawn = grown(box.air, {drawn, drawn, 0.0}, {drawn, drawn, 0.0});
  }
  for (Box* each : {&box.air, &box.duct, &box.drawn}) *each = on_side(*each, box.side);
  boxes.push_back(std::move(box));
}

/// The opening in the middle of its room: square where there is room for that.
Box opening(const LeakRoom& leak, double area) {
  const int along = axis_of(leak.direction);
  const double u_room = leak.sides[0].length;
  const double v_room = leak.sides[1].length;
  double u = std::min(std::sqrt(area), u_room);
  const double v = std::min(area / u, v_room);
  u = area / v;
  Box box = leak.room;
  for (const auto& [axis, side] : {std::pair{(along + 1) % 3, u}, {(along + 2) % 3, v}}) {
    const double middle = 0.5 * (component(leak.room.low, axis) + component(leak.room.high, axis));
    component(box.low, axis) = middle - 0.5 * side;
    component(box.high, axis) = middle + 0.5 * side;
  }
  return box;
}

void add_leaks(const ShapeSpec& spec, std::vector<PassageBox>& boxes) {
  const double drawn = 0.5 * passage_wall;
  for (std::size_t i = 0; i < n_leak_places; ++i) {
    const double effective_area = spec.leaks.effective_area[i];
    if (!(effective_area > 0.0)) continue;
    const auto place = static_cast<LeakPlace>(i);
    const std::vector<LeakRoom> rooms = leak_rooms(spec, place);
    const auto n_rooms = static_cast<double>(rooms.size());
    for (const LeakRoom& room : rooms) {
      const int along = axis_of(room.direction);
      PassageBox box;
      box.side = room.side;
      box.wall = Patch::LeakWall;
      box.passage.name = room.name;
      box.passage.kind = base::PassageKind::Leak;
      box.passage.direction = room.direction;
      box.passage.joins_decks = place != LeakPlace::CentreWall;
      box.passage.effective_area = effective_area / n_rooms;
      box.air = opening(room, leak_opening_area(effective_area, rooms.size()) / n_rooms);
      box.duct = box.air;
      component(box.duct.low, along) -= room.run_low;
      component(box.duct.high, along) += room.run_high;
      base::Vec3 margin{drawn, drawn, drawn};
      component(margin, along) = 0.0;
      box.drawn = grown(box.air, margin, margin);
      boxes.push_back(std::move(box));
    }
  }
}

/// Neighbours side by side, or across a corner that a zone is drawn to, leave a part of the solid between
/// their zones free.
void part_zones(std::vector<PassageBox>& boxes) {
  constexpr double share = 0.4;
  for (PassageBox& box : boxes) {
    const Box reach = box.drawn;
    const int along = axis_of(box.passage.direction);
    for (const PassageBox& other : boxes) {
      if (axis_of(other.passage.direction) != along) continue;
      for (const int turn : {1, 2}) {
        const int axis = (along + turn) % 3;
        const int beside = (along + 3 - turn) % 3;
        const bool is_beside = component(other.air.low, beside) < component(reach.high, beside) &&
                               component(other.air.high, beside) > component(reach.low, beside);
        if (!is_beside) continue;
        const double above = component(other.air.low, axis) - component(box.air.high, axis);
        const double below = component(box.air.low, axis) - component(other.air.high, axis);
        if (above > 0.0) {
          double& high = component(box.drawn.high, axis);
          high = std::min(high, component(box.air.high, axis) + share * above);
        }
        if (below > 0.0) {
          double& low = component(box.drawn.low, axis);
          low = std::max(low, component(box.air.low, axis) - share * below);
        }
      }
    }
  }
}

}  // namespace

int axis_of(const base::Vec3& direction) {
  return direction.x != 0.0 ? 0 : direction.y != 0.0 ? 1 : 2;
}

double& component(base::Vec3& v, int axis) {
  return axis == 0 ? v.x : axis == 1 ? v.y : v.z;
}

double component(const base::Vec3& v, int axis) {
  return axis == 0 ? v.x : axis == 1 ? v.y : v.z;
}

std::vector<PassageBox> passage_boxes(const ShapeSpec& spec) {
  std::vector<PassageBox> boxes;
  add_cores(spec, boxes);
  add_cooler(spec, boxes);
  add_leaks(spec, boxes);
  for (PassageBox& box : boxes) measure(box);
  part_zones(boxes);
  return boxes;
}

std::optional<Box> centre_wall_boss(const ShapeSpec& spec) {
  constexpr double root = 0.5 * passage_wall;  // inside the crankcase block [m]
  const std::vector<PassageBox> boxes = passage_boxes(spec);
  if (boxes.back().passage.joins_decks) return std::nullopt;
  Box boss = grown(boxes.back().air, {passage_wall, 0.0, 0.0}, {passage_wall, 0.0, passage_wall});
  boss.low.z = layout(spec).deck_floor + spec.engine.crankcase_rise - root;
  return boss;
}

double rear_chamber_end(const ShapeSpec& spec) {
  return layout(spec).deck_end + spec.oil_cooler.depth + spec.oil_cooler.height;
}

double floor_cooler_front(const ShapeSpec& spec) {
  const Layout at = layout(spec);
  return spec.oil_cooler.place == CoolerPlace::Front ? at.deck_start + core_front_wall
                                                     : at.last_core_end + passage_wall;
}

Surface rear_cooler_duct(const ShapeSpec& spec, const PassageBox& cooler) {
  const Box& duct = cooler.duct;
  const double bend = duct.high.x;
  const double rear = rear_chamber_end(spec);
  const double bottom = -layout(spec).deck_floor - room_poke;
  // Profile in x and z: duct, chamber behind it, chamber below.
  const std::array<std::array<double, 2>, 8> profile{{{duct.low.x, duct.low.z},
                                                      {bend, duct.low.z},
                                                      {bend, bottom},
                                                      {rear, bottom},
                                                      {rear, duct.low.z},
                                                      {rear, duct.high.z},
                                                      {bend, duct.high.z},
                                                      {duct.low.x, duct.high.z}}};
  constexpr std::uint32_t n = 8;
  SurfaceBuilder builder;
  for (const double y : {duct.low.y, duct.high.y}) {
    for (const auto& [x, z] : profile) builder.add_point({x, y, z});
  }
  for (std::uint32_t k = 0; k < n; ++k) {
    const std::uint32_t next = (k + 1) % n;
    builder.add_quad(k, next, next + n, k + n, cooler.wall);
  }
  for (const auto& [a, b, c, d] : {std::array<std::uint32_t, 4>{0, 1, 6, 7}, {1, 4, 5, 6}, {1, 2, 3, 4}}) {
    builder.add_quad(d, c, b, a, cooler.wall);
    builder.add_quad(a + n, b + n, c + n, d + n, cooler.wall);
  }
  return std::move(builder).closed();
}

}  // namespace cowlwright::shape
