// SPDX-License-Identifier: GPL-3.0-or-later
//
// Zones are drawn into solid wherever solid bounds the air, and end exactly where air meets air. Their true
// air volumes are those of the same surfaces drawn on the walls.
#include "geometry/shape/zones.h"

#include "geometry/shape/alternator.h"
#include "geometry/shape/builder.h"
#include "geometry/shape/opening.h"
#include "geometry/shape/parts.h"
#include "geometry/shape/passages.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <utility>

namespace cowlwright::shape {

namespace {

using base::Side;

/// Air of a leak's duct that lies in a deck's zone above or below the passage itself [m³].
double stub_volume(const PassageBox& box, bool above) {
  if (box.passage.kind != base::PassageKind::Leak || axis_of(box.passage.direction) != 2) return 0.0;
  const double run = above ? box.duct.high.z - box.air.high.z : box.air.low.z - box.duct.low.z;
  return box.passage.area * (run - room_poke);
}

/// What the crankcase's leaks add to one half of the upper deck, and what the boss round a leak through the
/// centre wall takes, on either side of that wall [m³].
double upper_leak_volume(const ShapeSpec& spec, const std::vector<PassageBox>& boxes, Side side) {
  double volume = 0.0;
  for (const PassageBox& box : boxes) {
    if (box.side == side) volume += stub_volume(box, true);
    if (box.side == Side::Centre) volume += 0.5 * stub_volume(box, true);
  }
  if (const std::optional<Box> boss = centre_wall_boss(spec)) {
    const PassageBox& leak = boxes.back();
    const base::Vec3 size = boss->high - boss->low;
    const double height = boss->high.z - layout(spec).deck_floor - spec.engine.crankcase_rise;
    volume -= 0.5 * (boss_thickness - spec.plenum.wall_thickness) * size.x * height;
    volume += 0.5 * leak.passage.area * leak.passage.depth;
  }
  return volume;
}

Zone upper_zone(const ShapeSpec& spec, const std::vector<PassageBox>& boxes, Side side) {
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
    const double roof = deck_roof_z(spec, Outline(spec), at.deck_end, 0.0);
    const double height =
        std::min(roof, centre_wall_top(spec, at)) - at.deck_floor - spec.engine.crankcase_rise;
    wall = 0.5 * spec.plenum.wall_thickness * height * length;
  }
  const std::string name = side == Side::Left ? "upper_deck_left" : "upper_deck_right";
  const double alternator = alternator_volume_behind(spec, side, at.deck_start);
  return {{name,
           base::ZoneRole::UpperDeck,
           side,
           air - block - wall - alternator + upper_leak_volume(spec, boxes, side)},
          upper_deck(spec, at.deck_start, rear, 0.5 * skin, part)};
}

Zone lower_zone(const ShapeSpec& spec, const std::vector<PassageBox>& boxes) {
  const Layout at = layout(spec);
  const double skin = spec.cowl.skin_thickness;
  const double air = enclosed_volume(lower_deck(spec, at.deck_start, skin, ExitChannel::Without));
  const double sump =
      spec.engine.crankcase_width * spec.engine.sump_drop * (at.crankcase_rear - at.deck_start);
  double stubs = 0.0;
  for (const PassageBox& box : boxes) stubs += stub_volume(box, false);
  return {{"lower_deck",
           base::ZoneRole::LowerDeck,
           Side::Centre,
           air - sump + stubs - exhaust_volume_in_deck(spec)},
          lower_deck(spec, at.deck_start - 0.5 * core_front_wall, 0.5 * skin, ExitChannel::Without)};
}

/// In the middle of the throat's constant section.
MeasurementPlane inlet_plane(const ShapeSpec& spec, Side side) {
  constexpr int n_around = 96;
  const InletSpec& in = inlet(spec, side);
  const InletLayout at = inlet_layout(spec, side);
  const base::Vec3 centre{0.5 * (at.throat_start + at.throat_end), at.y, in.height};
  const Patch patch = side == Side::Left ? Patch::InletLeft : Patch::InletRight;
  SurfaceBuilder builder;
  const std::uint32_t middle = builder.add_point(centre);
  const std::vector<ContourPoint> edge = opening_contour(in, n_around);
  for (const ContourPoint& p : edge) {
    builder.add_point(
        {centre.x, centre.y + p.y + plane_overlap * p.normal_y, centre.z + p.z + plane_overlap * p.normal_z});
  }
  const auto n = static_cast<std::uint32_t>(edge.size());
  for (std::uint32_t k = 0; k < n; ++k) {
    builder.add_triangle(middle, 1 + k, 1 + (k + 1) % n, patch);
  }
  const std::string name = side == Side::Left ? "inlet_left" : "inlet_right";
  return {{name,
           base::PlaneRole::Inlet,
           side,
           centre,
           {1.0, 0.0, 0.0},
           opening_area(in),
           opening_reach(in) + plane_overlap},
          std::move(builder).open()};
}

/// Where the air that enters an inlet is sampled: a third of the hydraulic diameter ahead of the ring, where
/// it has not yet felt the lip much, but off the propeller disk's cells where there is room.
base::PlaneRecord inlet_survey(const ShapeSpec& spec, Side side) {
  constexpr double off_disk = 0.060;   // half of a draft grid's layer of disk cells and 15 mm [m]
  constexpr double off_crest = 0.010;  // [m]
  const InletSpec& in = inlet(spec, side);
  const InletLayout at = inlet_layout(spec, side);
  const double station =
      std::max(at.crest - hydraulic_diameter(in) / 3.0, std::min(off_disk, at.crest - off_crest));
  return {side == Side::Left ? "ahead_of_inlet_left" : "ahead_of_inlet_right",
          base::PlaneRole::Inlet,
          side,
          {station, at.y, in.height},
          {1.0, 0.0, 0.0},
          opening_area(in),
          opening_reach(in)};
}

/// Across a passage at one coordinate of its axis.
MeasurementPlane passage_plane(const PassageBox& box,
                               double station,
                               std::string name,
                               base::PlaneRole role) {
  const base::Vec3& direction = box.passage.direction;
  const int along = axis_of(direction);
  const int u = (along + 1) % 3;
  const int v = (along + 2) % 3;
  const auto corner = [&](const base::Vec3& at_u, const base::Vec3& at_v) {
    base::Vec3 p;
    component(p, along) = station;
    component(p, u) = component(at_u, u);
    component(p, v) = component(at_v, v);
    return p;
  };
  const base::Vec3& low = box.drawn.low;
  const base::Vec3& high = box.drawn.high;
  // u, v and the axis are right-handed: this order faces against the axis.
  std::array corners{corner(low, low), corner(low, high), corner(high, high), corner(high, low)};
  if (component(direction, along) > 0.0) std::reverse(corners.begin(), corners.end());
  SurfaceBuilder builder;
  for (const base::Vec3& p : corners) builder.add_point(p);
  builder.add_quad(0, 1, 2, 3, box.wall);
  base::Vec3 centre = 0.5 * (box.air.low + box.air.high);
  component(centre, along) = station;
  return {{std::move(name),
           role,
           box.side,
           centre,
           direction,
           box.passage.area,
           0.5 * norm(corners[2] - corners[0]) + plane_overlap},
          std::move(builder).open()};
}

MeasurementPlane middle_plane(const PassageBox& box) {
  const int along = axis_of(box.passage.direction);
  const double middle = 0.5 * (component(box.air.low, along) + component(box.air.high, along));
  return passage_plane(box, middle, box.passage.name, base::plane_role(box.passage.kind));
}

MeasurementPlane outlet_plane(const PassageBox& box) {
  const int along = axis_of(box.passage.direction);
  const bool is_along = component(box.passage.direction, along) > 0.0;
  const double end = component(is_along ? box.air.high : box.air.low, along);
  return passage_plane(box, end, box.passage.outlet, base::PlaneRole::Outlet);
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
  if (spec.exit.exhaust_diameter > 0.0) {  // the strut stands ahead of the plane
    area -= 0.5 * std::numbers::pi * spec.exit.exhaust_diameter * spec.exit.exhaust_diameter;
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
  const std::vector<PassageBox> boxes = passage_boxes(spec);
  std::vector<Zone> zones{
      upper_zone(spec, boxes, Side::Left), upper_zone(spec, boxes, Side::Right), lower_zone(spec, boxes)};
  for (const PassageBox& box : boxes) {
    const Passage& passage = box.passage;
    zones.push_back({{passage.name, base::zone_role(passage.kind), box.side, passage.area * passage.depth},
                     box_surface(box.drawn.low, box.drawn.high, box.wall)});
  }
  return zones;
}

std::vector<Passage> make_passages(const ShapeSpec& spec) {
  if (spec.is_closed) return {};
  std::vector<Passage> passages;
  for (PassageBox& box : passage_boxes(spec)) passages.push_back(std::move(box.passage));
  return passages;
}

std::vector<MeasurementPlane> make_planes(const ShapeSpec& spec) {
  std::vector<MeasurementPlane> planes{inlet_plane(spec, Side::Left), inlet_plane(spec, Side::Right)};
  const std::vector<PassageBox> boxes = passage_boxes(spec);
  for (const PassageBox& box : boxes) planes.push_back(middle_plane(box));
  for (const PassageBox& box : boxes) {
    if (!box.passage.outlet.empty()) planes.push_back(outlet_plane(box));
  }
  planes.push_back(exit_plane(spec));
  return planes;
}

std::vector<base::PlaneRecord> make_surveys(const ShapeSpec& spec) {
  return {inlet_survey(spec, Side::Left), inlet_survey(spec, Side::Right)};
}

}  // namespace cowlwright::shape
