// SPDX-License-Identifier: GPL-3.0-or-later
//
// Zones are drawn into solid wherever solid bounds the air, and end exactly where air meets air. Their true
// air volumes are those of the same surfaces drawn on the walls.
#include "geometry/shape/zones.h"

#include "geometry/shape/builder.h"
#include "geometry/shape/parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

namespace {

using base::Side;

/// One side's core from the front, as its own box and as drawn into the solid.
struct CoreBox {
  std::string label;  ///< "l1"
  Side side;
  Box air;
  Box drawn;
};

std::vector<CoreBox> core_boxes(const ShapeSpec& spec) {
  const EngineSpec& e = spec.engine;
  const double half_depth = 0.5 * e.core_depth;
  const double along = std::min(0.4 * e.core_gap, 0.8 * core_front_wall);
  const double inward = std::min(zone_overlap, 0.5 * (e.core_inner - 0.5 * e.crankcase_width));
  const double outward = std::min(zone_overlap, 0.5 * (0.5 * spec.cowl.width - e.core_outer));
  std::vector<CoreBox> boxes;
  for (const Side side : {Side::Left, Side::Right}) {
    for (int k = 0; k < e.n_cylinders / 2; ++k) {
      const double front = core_front(e, k);
      Box air{{front, e.core_inner, -half_depth}, {front + e.core_length, e.core_outer, half_depth}};
      Box drawn{{air.low.x - along, air.low.y - inward, air.low.z},
                {air.high.x + along, air.high.y + outward, air.high.z}};
      if (side == Side::Left) {
        for (Box* box : {&air, &drawn}) {
          const double inner = box->low.y;
          box->low.y = -box->high.y;
          box->high.y = -inner;
        }
      }
      const char letter = side == Side::Left ? 'l' : 'r';
      boxes.push_back({fmt::format("{}{}", letter, k + 1), side, air, drawn});
    }
  }
  return boxes;
}

Zone upper_zone(const ShapeSpec& spec, Side side) {
  const Layout at = layout(spec);
  const DeckPart part = side == Side::Left ? DeckPart::Left : DeckPart::Right;
  const double skin = spec.cowl.skin_thickness;
  const double rear = at.deck_end + 0.5 * zone_overlap;
  const double air = enclosed_volume(upper_deck(spec, at.deck_start, at.deck_end, skin, part));
  const double length = at.deck_end - at.deck_start;
  const double block = 0.5 * spec.engine.crankcase_width * spec.engine.crankcase_rise * length;
  double wall = 0.0;
  if (spec.plenum.kind == PlenumKind::Split) {
    // Half of the wall, from the crankcase block up; the roof is level across the wall's thickness.
    const double height =
        Outline(spec).upper_z(at.deck_end, 0.0, skin) - at.deck_floor - spec.engine.crankcase_rise;
    wall = 0.5 * spec.plenum.wall_thickness * height * length;
  }
  const std::string name = side == Side::Left ? "upper_deck_left" : "upper_deck_right";
  return {{name, base::ZoneRole::UpperDeck, side, air - block - wall},
          upper_deck(spec, at.deck_start, rear, 0.5 * skin, part)};
}

Zone lower_zone(const ShapeSpec& spec) {
  const Layout at = layout(spec);
  const double skin = spec.cowl.skin_thickness;
  const double air = enclosed_volume(lower_deck(spec, at.deck_start, skin, ExitChannel::Without));
  const double sump =
      spec.engine.crankcase_width * spec.engine.sump_drop * (at.crankcase_rear - at.deck_start);
  return {{"lower_deck", base::ZoneRole::LowerDeck, Side::Centre, air - sump},
          lower_deck(spec, at.deck_start - 0.5 * core_front_wall, 0.5 * skin, ExitChannel::Without)};
}

MeasurementPlane inlet_plane(const ShapeSpec& spec, Side side) {
  constexpr std::uint32_t n_around = 96;
  const Layout at = layout(spec);
  const double radius = 0.5 * spec.inlets.diameter;
  const double drawn = radius + plane_overlap;
  const base::Vec3 centre{0.5 * (at.throat_start + spec.plenum.front_station),
                          (side == Side::Left ? -0.5 : 0.5) * spec.inlets.spacing,
                          spec.inlets.height};
  const Patch patch = side == Side::Left ? Patch::InletLeft : Patch::InletRight;
  SurfaceBuilder builder;
  const std::uint32_t middle = builder.add_point(centre);
  for (std::uint32_t k = 0; k < n_around; ++k) {
    const double angle = 2.0 * std::numbers::pi * (k + 0.5) / n_around;
    builder.add_point({centre.x, centre.y + drawn * std::cos(angle), centre.z + drawn * std::sin(angle)});
  }
  for (std::uint32_t k = 0; k < n_around; ++k) {
    builder.add_triangle(middle, 1 + k, 1 + (k + 1) % n_around, patch);
  }
  const std::string name = side == Side::Left ? "inlet_left" : "inlet_right";
  return {{name,
           base::PlaneRole::Inlet,
           side,
           centre,
           {1.0, 0.0, 0.0},
           std::numbers::pi * radius * radius,
           drawn},
          std::move(builder).open()};
}

MeasurementPlane core_plane(const CoreBox& core) {
  const Box& b = core.drawn;
  SurfaceBuilder builder;
  builder.add_point({b.low.x, b.low.y, 0.0});
  builder.add_point({b.low.x, b.high.y, 0.0});
  builder.add_point({b.high.x, b.high.y, 0.0});
  builder.add_point({b.high.x, b.low.y, 0.0});
  builder.add_quad(0, 1, 2, 3, Patch::CoreWall);
  const base::Vec3 size = core.air.high - core.air.low;
  const base::Vec3 drawn = b.high - b.low;
  base::Vec3 centre = 0.5 * (core.air.low + core.air.high);
  centre.z = 0.0;
  return {{"core_" + core.label,
           base::PlaneRole::Core,
           core.side,
           centre,
           {0.0, 0.0, -1.0},
           size.x * size.y,
           0.5 * std::hypot(drawn.x, drawn.y) + plane_overlap},
          std::move(builder).open()};
}

MeasurementPlane exit_plane(const ShapeSpec& spec) {
  const Outline outline(spec);
  const double x = exit_plane_station(spec);
  const double overlap = 0.5 * spec.cowl.skin_thickness;
  std::vector<double> columns = channel_columns(spec.exit);
  double area = 0.0;
  double deepest = 0.0;
  double highest = -1.0;
  for (std::size_t j = 0; j < columns.size(); ++j) {
    const double floor = channel_floor_z(spec, outline, x, columns[j]);
    const double ceiling = channel_ceiling_z(spec, outline, x, columns[j]);
    deepest = std::min(deepest, floor);
    highest = std::max(highest, ceiling);
    if (j == 0) continue;
    const double last = channel_ceiling_z(spec, outline, x, columns[j - 1]) -
                        channel_floor_z(spec, outline, x, columns[j - 1]);
    area += 0.5 * (ceiling - floor + last) * (columns[j] - columns[j - 1]);
  }
  columns.insert(columns.begin(), columns.front() - overlap);
  columns.push_back(columns.back() + overlap);
  SurfaceBuilder builder;
  for (std::uint32_t j = 0; j < columns.size(); ++j) {
    const double y = columns[j];
    builder.add_point({x, y, channel_floor_z(spec, outline, x, y) - overlap});
    builder.add_point({x, y, channel_ceiling_z(spec, outline, x, y) + overlap});
    if (j > 0) builder.add_quad(2 * j - 2, 2 * j, 2 * j + 1, 2 * j - 1, Patch::ExitWall);
  }
  const base::Vec3 centre{x, 0.0, 0.5 * (deepest + highest)};
  const double reach = std::hypot(columns.back(), 0.5 * (highest - deepest) + overlap);
  return {{"exit", base::PlaneRole::Exit, Side::Centre, centre, {1.0, 0.0, 0.0}, area, reach},
          std::move(builder).open()};
}

}  // namespace

std::vector<Zone> make_zones(const ShapeSpec& spec) {
  std::vector<Zone> zones{upper_zone(spec, Side::Left), upper_zone(spec, Side::Right), lower_zone(spec)};
  for (const CoreBox& core : core_boxes(spec)) {
    const base::Vec3 size = core.air.high - core.air.low;
    Zone zone;
    zone.record = {"core_" + core.label, base::ZoneRole::Core, core.side, size.x * size.y * size.z};
    zone.surface = box_surface(core.drawn.low, core.drawn.high, Patch::CoreWall);
    zones.push_back(std::move(zone));
  }
  return zones;
}

std::vector<Passage> make_passages(const ShapeSpec& spec) {
  std::vector<Passage> passages;
  for (const CoreBox& core : core_boxes(spec)) {
    const base::Vec3 size = core.air.high - core.air.low;
    passages.push_back({.name = "core_" + core.label,
                        .kind = base::PassageKind::Core,
                        .cylinder = core.label,
                        .direction = {0.0, 0.0, -1.0},
                        .area = size.x * size.y,
                        .depth = size.z,
                        .outlet = {},
                        .joins_decks = true,
                        .effective_area = 0.0});
  }
  return passages;
}

std::vector<MeasurementPlane> make_planes(const ShapeSpec& spec) {
  std::vector<MeasurementPlane> planes{inlet_plane(spec, Side::Left), inlet_plane(spec, Side::Right)};
  for (const CoreBox& core : core_boxes(spec)) planes.push_back(core_plane(core));
  planes.push_back(exit_plane(spec));
  return planes;
}

}  // namespace cowlwright::shape
