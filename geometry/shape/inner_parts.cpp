// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cores, inlets, crankcase and centre wall.
#include "geometry/shape/builder.h"
#include "geometry/shape/parts.h"
#include "geometry/shape/passages.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

Surface passage_ducts(const ShapeSpec& spec, base::PassageKind kind) {
  SurfaceBuilder all;
  for (const PassageBox& box : passage_boxes(spec)) {
    if (box.passage.kind != kind) continue;
    const bool is_rear_cooler = kind == base::PassageKind::Cooler && box.passage.direction.x > 0.0;
    all.add_surface(is_rear_cooler ? rear_cooler_duct(spec, box)
                                   : box_surface(box.duct.low, box.duct.high, box.wall));
  }
  return std::move(all).closed();
}

Surface inlet_ducts(const ShapeSpec& spec) {
  constexpr int n_around = 96;
  constexpr int n_round = 10;
  constexpr double poke = 0.006;         // through the deck's front wall [m]
  constexpr double ahead = 0.0008;       // the cone runs this far ahead of the crest, then straight on [m]
  constexpr double straight_on = 0.008;  // [m]
  constexpr double last_angle = 80.0 / 180.0 * std::numbers::pi;
  const Layout at = layout(spec);
  const double radius = 0.5 * spec.inlets.diameter;
  const double r = spec.inlets.lip_radius;
  SurfaceBuilder all;
  for (const double side : {-1.0, 1.0}) {
    const Patch duct = side < 0.0 ? Patch::InletLeft : Patch::InletRight;
    const Patch ring = side < 0.0 ? Patch::RingLeft : Patch::RingRight;
    std::vector<Ring> rings{{spec.plenum.front_station + poke, radius}, {at.throat_start, radius}};
    std::vector<Patch> patches{duct};
    if (spec.inlets.ring == RingStyle::None) {
      rings.back().x = at.crest - straight_on;
    } else {
      for (int i = 1; i <= n_round; ++i) {
        const double t = last_angle * i / n_round;
        rings.push_back({at.crest + r * (1.0 - std::sin(t)), radius + r * (1.0 - std::cos(t))});
        patches.push_back(ring);
      }
      const double cone = rings.back().x - (at.crest - ahead);
      const double mouth = rings.back().radius + cone * std::tan(last_angle);
      rings.push_back({at.crest - ahead, mouth});
      rings.push_back({at.crest - straight_on, mouth});
      patches.insert(patches.end(), 2, ring);
    }
    all.add_surface(
        revolved_surface(side * 0.5 * spec.inlets.spacing, spec.inlets.height, rings, patches, n_around));
  }
  return std::move(all).closed();
}

Surface crankcase_block(const ShapeSpec& spec) {
  const Layout at = layout(spec);
  const double half = 0.5 * spec.engine.crankcase_width;
  return box_surface({at.crankcase_front, -half, -at.deck_floor - spec.engine.sump_drop},
                     {at.crankcase_rear, half, at.deck_floor + spec.engine.crankcase_rise},
                     Patch::Crankcase);
}

Surface centre_wall(const ShapeSpec& spec) {
  constexpr double overlap = 0.010;  // into the solid all round [m]
  constexpr int n_ramp = 17;         // chords stay within the overlap of the curved floor
  const Layout at = layout(spec);
  const double half = 0.5 * spec.plenum.wall_thickness;
  const double front = spec.plenum.front_station;
  std::vector<double> stations{front - overlap};
  for (int i = 0; i <= n_ramp; ++i) stations.push_back(front + (at.deck_start - front) * i / n_ramp);
  stations.push_back(at.deck_end + overlap);
  const auto last_station = static_cast<std::uint32_t>(stations.size() - 1);
  SurfaceBuilder builder;
  for (std::uint32_t i = 0; i <= last_station; ++i) {
    const double x = stations[i];
    const double foot = deck_floor_at(spec, at, x) - overlap;
    const double head = std::min(spec.cowl.height_above + overlap, centre_wall_top(spec, at));
    for (const auto& [y, z] : {std::array{-half, foot}, {half, foot}, {half, head}, {-half, head}}) {
      builder.add_point({x, y, z});
    }
    if (i == 0) {
      builder.add_quad(0, 3, 2, 1, Patch::CentreWall);
      continue;
    }
    for (std::uint32_t k = 0; k < 4; ++k) {
      const std::uint32_t a = 4 * (i - 1) + k;
      const std::uint32_t b = 4 * (i - 1) + (k + 1) % 4;
      builder.add_quad(a, b, b + 4, a + 4, Patch::CentreWall);
    }
  }
  const std::uint32_t last = 4 * last_station;
  builder.add_quad(last, last + 1, last + 2, last + 3, Patch::CentreWall);
  return std::move(builder).closed();
}

}  // namespace cowlwright::shape
