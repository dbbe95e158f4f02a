// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cores, inlets, crankcase and centre wall.
#include "geometry/shape/builder.h"
#include "geometry/shape/opening.h"
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

namespace {

/// One section of a duct: the throat's edge scaled and moved outward.
struct DuctSection {
  double x;
  double scale;
  double offset;
};

Surface inlet_duct(const ShapeSpec& spec, base::Side side, DuctEnd end) {
  constexpr int n_around = 96;
  constexpr int n_round = 10;
  constexpr double poke = 0.006;         // through the deck's front wall [m]
  constexpr double grow_on = 0.001;      // a diffuser's walls run straight on this far behind it [m]
  constexpr double ahead = 0.0008;       // the cone runs this far ahead of the crest, then straight on [m]
  constexpr double straight_on = 0.008;  // [m]
  constexpr double last_angle = 80.0 / 180.0 * std::numbers::pi;
  const InletSpec& in = inlet(spec, side);
  const InletLayout at = inlet_layout(spec, side);
  const Patch duct = side == base::Side::Left ? Patch::InletLeft : Patch::InletRight;
  const Patch ring = side == base::Side::Left ? Patch::RingLeft : Patch::RingRight;
  const double front_wall = spec.plenum.front_station;
  const bool has_diffuser = in.diffuser_length > 0.0;
  const double grown = has_diffuser ? 1.0 + (at.end_scale - 1.0) * (1.0 + grow_on / in.diffuser_length) : 1.0;

  std::vector<DuctSection> course;
  std::vector<Patch> patches;
  if (end == DuctEnd::AtFrontWall) {
    course.push_back({front_wall, at.end_scale, 0.0});
  } else {
    course.push_back({front_wall + poke, grown, 0.0});
    if (has_diffuser) {
      course.push_back({front_wall + grow_on, grown, 0.0});
      patches.push_back(duct);
    }
  }
  if (has_diffuser) {
    course.push_back({at.throat_end, 1.0, 0.0});
    patches.push_back(duct);
  }
  patches.push_back(duct);
  if (in.ring == RingStyle::None) {
    course.push_back({at.crest - straight_on, 1.0, 0.0});
  } else {
    const double r = in.lip_radius;
    course.push_back({at.throat_start, 1.0, 0.0});
    for (int i = 1; i <= n_round; ++i) {
      const double t = last_angle * i / n_round;
      course.push_back({at.crest + r * (1.0 - std::sin(t)), 1.0, r * (1.0 - std::cos(t))});
    }
    const double cone = course.back().x - (at.crest - ahead);
    const double mouth = course.back().offset + cone * std::tan(last_angle);
    course.push_back({at.crest - ahead, 1.0, mouth});
    course.push_back({at.crest - straight_on, 1.0, mouth});
    patches.insert(patches.end(), n_round + 2, ring);
  }
  std::vector<LoftSection> sections;
  for (const DuctSection& c : course) {
    sections.push_back(opening_section(in, {at.y, in.height}, c.x, c.scale, c.offset, n_around));
  }
  return lofted_surface({at.y, in.height}, sections, patches);
}

}  // namespace

Surface inlet_ducts(const ShapeSpec& spec, DuctEnd end) {
  SurfaceBuilder all;
  for (const base::Side side : both_sides) all.add_surface(inlet_duct(spec, side, end));
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
