// SPDX-License-Identifier: GPL-3.0-or-later
//
// The two decks and the exit channel: structured surfaces between stations.
#include "geometry/shape/builder.h"
#include "geometry/shape/parts.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <ranges>

namespace cowlwright::shape {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int n_arc = 44;          // intervals along a whole deck's roof and sides
constexpr int n_ramp = 13;         // intervals along the front ramp
constexpr int n_side = 20;         // columns of the lower deck on each side of the channel's columns
constexpr int n_channel = 27;      // columns of the channel; odd: none lies in the plane of symmetry
constexpr int n_ramp_arc = 8;      // intervals of the firewall's rounded edge
constexpr double pitch = 0.045;    // of stations along the decks [m]
constexpr double run_out = 0.070;  // of the channel behind the trailing edge [m]
constexpr double relief = 0.002;   // of the channel's ceiling into the belly at the trailing edge [m]

/// Uneven spacing, so that no column or station falls on a round dimension of another part.
double stagger(double u) {
  return u + 0.0137 * std::sin(pi * u) + 0.0091 * std::sin(2.0 * pi * u);
}

void append_stations(std::vector<double>& x, double to, int n) {
  const double from = x.back();
  for (int i = 1; i < n; ++i) x.push_back(from + (to - from) * stagger(static_cast<double>(i) / n));
  x.push_back(to);
}

int intervals(double from, double to) {
  return std::max(2, static_cast<int>(std::ceil((to - from) / pitch)));
}

std::vector<double> upper_stations(const Layout& at, double from, double to) {
  std::vector<double> x{from};
  if (from < at.deck_start) append_stations(x, at.deck_start, n_ramp);
  append_stations(x, to, intervals(at.deck_start, to));
  return x;
}

/// One section of the upper deck: sides and roof from right to left (or to the crown) and the floor under
/// them.
struct DeckSection {
  std::vector<std::uint32_t> arc;
  std::vector<std::uint32_t> floor;
};

/// Right half of sides and roof at a station, from the floor's edge to the plane of symmetry: along the cowl,
/// or up to the lid and then along it.
std::vector<base::Vec3> right_half(
    const Outline& outline, double x, double floor_z, double lid_z, double inset, int n) {
  const bool has_lid = std::isfinite(lid_z);
  const int n_wall = has_lid ? n / 2 : n;
  const double start = outline.angle_at_height(x, floor_z, inset);
  const double end = has_lid ? outline.angle_at_height(x, lid_z, inset) : 0.5 * pi;
  std::vector<base::Vec3> points{{x, outline.half_width_at(x, floor_z, inset), floor_z}};
  for (int i = 1; i <= n_wall; ++i) {
    points.push_back(outline.point(x, start + (end - start) * i / n_wall, inset));
  }
  if (has_lid) {
    const double edge = outline.half_width_at(x, lid_z, inset);
    points.back() = {x, edge, lid_z};
    for (int i = n_wall + 1; i <= n; ++i) points.push_back({x, edge * (n - i) / (n - n_wall), lid_z});
  }
  return points;
}

DeckSection add_section(SurfaceBuilder& builder,
                        const Outline& outline,
                        double x,
                        double floor_z,
                        double lid_z,
                        double inset,
                        DeckPart part) {
  const bool is_whole = part == DeckPart::Whole;
  const double mirror = part == DeckPart::Left ? -1.0 : 1.0;
  const int n_half = n_arc / 2;
  const std::vector<base::Vec3> right = right_half(outline, x, floor_z, lid_z, inset, n_half);
  const int n = is_whole ? n_arc : n_half;
  DeckSection section;
  for (int i = 0; i <= n; ++i) {
    const bool is_left = i > n_half;
    const base::Vec3& p = right[static_cast<std::size_t>(is_left ? n_arc - i : i)];
    section.arc.push_back(builder.add_point({x, is_left ? -p.y : mirror * p.y, p.z}));
  }
  const double edge = right.front().y;
  for (int i = 0; i <= n; ++i) {
    const bool is_shared = i == 0 || (i == n && is_whole);
    const double u = static_cast<double>(i) / n;
    const double y = is_whole ? edge * (1.0 - 2.0 * u) : edge * (1.0 - u);
    section.floor.push_back(is_shared ? section.arc[static_cast<std::size_t>(i)]
                                      : builder.add_point({x, mirror * y, floor_z}));
  }
  return section;
}

}  // namespace

Surface upper_deck(const ShapeSpec& spec, double from, double to, double inset, DeckPart part) {
  const Layout at = layout(spec);
  const Outline outline(spec);
  SurfaceBuilder builder;
  std::vector<DeckSection> sections;
  const double lid_z = at.deck_lid + spec.cowl.skin_thickness - inset;
  for (const double x : upper_stations(at, from, to)) {
    sections.push_back(add_section(builder, outline, x, deck_floor_at(spec, at, x), lid_z, inset, part));
  }
  const std::size_t n = sections.front().arc.size();
  for (std::size_t s = 0; s + 1 < sections.size(); ++s) {
    const DeckSection& a = sections[s];
    const DeckSection& b = sections[s + 1];
    for (std::size_t i = 0; i + 1 < n; ++i) {
      const bool is_right_half = 2 * i < n - 1;
      if (is_right_half) {
        builder.add_quad(a.arc[i], a.arc[i + 1], b.arc[i + 1], b.arc[i], Patch::UpperDeck);
      } else {
        builder.add_quad_other_way(a.arc[i], a.arc[i + 1], b.arc[i + 1], b.arc[i], Patch::UpperDeck);
      }
      builder.add_quad(a.floor[i + 1], a.floor[i], b.floor[i], b.floor[i + 1], Patch::Baffle);
    }
    if (part != DeckPart::Whole) {  // the wall in the plane of symmetry
      builder.add_quad(a.arc.back(), a.floor.back(), b.floor.back(), b.arc.back(), Patch::UpperDeck);
    }
  }
  const DeckSection& front = sections.front();
  const DeckSection& rear = sections.back();
  for (std::size_t i = 0; i + 1 < n; ++i) {
    builder.add_quad(front.arc[i + 1], front.arc[i], front.floor[i], front.floor[i + 1], Patch::Baffle);
    builder.add_quad(rear.arc[i], rear.arc[i + 1], rear.floor[i + 1], rear.floor[i], Patch::Baffle);
  }
  return std::move(builder).closed();
}

std::vector<double> channel_columns(const ExitSpec& exit) {
  std::vector<double> y;
  for (int j = 0; j <= n_channel; ++j) {
    const double u = 2.0 * j / n_channel - 1.0;
    y.push_back(0.5 * exit.width * (u + 0.0173 * std::sin(pi * u)));
  }
  y.front() = -0.5 * exit.width;
  y.back() = 0.5 * exit.width;
  return y;
}

double channel_ceiling_z(const ShapeSpec& spec, const Outline& outline, double x, double y) {
  const Layout at = layout(spec);
  const double r = spec.exit.ramp_radius;
  const double run = x - spec.cowl.firewall_station;
  const double belly = outline.belly_z(at.trailing_edge, y);
  if (run < r) return belly + r - std::sqrt(r * r - (r - run) * (r - run));
  // Where the tool leaves the body it dives a little into the belly and out again, so that it crosses the
  // skin instead of lying in it.
  const double rise_start = at.trailing_edge - 0.03;
  const double rise_end = at.trailing_edge + step_run;
  const double tool_end = at.trailing_edge + run_out;
  if (x <= rise_start) return belly;
  if (x <= rise_end) return belly + relief * (x - rise_start) / (rise_end - rise_start);
  return belly + relief * (1.0 - 3.0 * (x - rise_end) / (tool_end - rise_end));
}

double channel_floor_z(const ShapeSpec& spec, const Outline& outline, double x, double y) {
  const Layout at = layout(spec);
  return outline.lower_z(std::min(x, at.trailing_edge), y, spec.cowl.skin_thickness);
}

namespace {

using Row = std::vector<std::uint32_t>;

/// Points of the lower deck's bottom at one station, left to right; the first and last lie on the ceiling.
std::vector<base::Vec3> bottom_row(const ShapeSpec& spec, const Outline& outline, double x, double inset) {
  const double ceiling = -layout(spec).deck_floor;
  const double edge = 0.5 * spec.exit.width;
  const double start = outline.lower_angle_at(x, edge, inset);
  const double end = outline.angle_at_height(x, ceiling, inset);
  std::vector<base::Vec3> right;
  for (int i = 1; i <= n_side; ++i) {
    right.push_back(outline.point(x, start + (end - start) * i / n_side, inset));
  }
  right.back() = {x, outline.half_width_at(x, ceiling, inset), ceiling};
  std::vector<base::Vec3> row;
  for (const base::Vec3& p : std::views::reverse(right)) row.push_back({x, -p.y, p.z});
  for (const double y : channel_columns(spec.exit)) row.push_back({x, y, outline.lower_z(x, y, inset)});
  row.insert(row.end(), right.begin(), right.end());
  return row;
}

/// Bottom and ceiling between two stations; diagonals mirrored left to right.
void add_strip(SurfaceBuilder& builder, const Row& near_row, const Row& far_row, bool is_floor, Patch patch) {
  for (std::size_t j = 0; j + 1 < near_row.size(); ++j) {
    const std::uint32_t a = near_row[j];
    const std::uint32_t b = near_row[j + 1];
    const std::uint32_t c = far_row[j + 1];
    const std::uint32_t d = far_row[j];
    const bool is_left_half = 2 * j < near_row.size() - 1;
    if (is_floor && is_left_half) builder.add_quad(a, b, c, d, patch);
    if (is_floor && !is_left_half) builder.add_quad_other_way(a, b, c, d, patch);
    if (!is_floor && is_left_half) builder.add_quad(d, c, b, a, patch);
    if (!is_floor && !is_left_half) builder.add_quad_other_way(d, c, b, a, patch);
  }
}

/// Upright wall between two rows over the same columns; `faces_forward` is its outward side.
void add_wall(SurfaceBuilder& builder, const Row& low, const Row& high, bool faces_forward, Patch patch) {
  for (std::size_t j = 0; j + 1 < low.size(); ++j) {
    if (faces_forward) {
      builder.add_quad(low[j], high[j], high[j + 1], low[j + 1], patch);
    } else {
      builder.add_quad(low[j + 1], high[j + 1], high[j], low[j], patch);
    }
  }
}

std::vector<double> channel_stations(const ShapeSpec& spec, const Layout& at) {
  const double firewall = spec.cowl.firewall_station;
  const double r = spec.exit.ramp_radius;
  std::vector<double> x{firewall};
  for (int i = 1; r > 0.0 && i <= n_ramp_arc; ++i) {
    x.push_back(firewall + r * (1.0 - std::cos(0.5 * pi * i / n_ramp_arc)));
  }
  const double rise_start = at.trailing_edge - 0.03;
  append_stations(x, rise_start, intervals(x.back(), rise_start));
  // The floor is curved up to the trailing edge; the last of these lies just inside the skin's edge face.
  for (const double ahead : {0.015, 0.0002}) x.push_back(at.trailing_edge - ahead);
  x.push_back(at.trailing_edge + step_run);
  x.push_back(at.trailing_edge + run_out);
  return x;
}

void add_channel(SurfaceBuilder& builder,
                 const ShapeSpec& spec,
                 const Row& deck_bottom,
                 const Row& deck_top) {
  const Layout at = layout(spec);
  const Outline outline(spec);
  const std::vector<double> columns = channel_columns(spec.exit);
  const auto first = static_cast<std::ptrdiff_t>(n_side);
  const auto count = static_cast<std::ptrdiff_t>(columns.size());
  Row floor(deck_bottom.begin() + first, deck_bottom.begin() + first + count);
  Row ceiling;
  const auto add_row = [&](double x, auto height) {
    Row row;
    for (const double y : columns) row.push_back(builder.add_point({x, y, height(spec, outline, x, y)}));
    return row;
  };
  const std::vector<double> stations = channel_stations(spec, at);
  ceiling = add_row(stations.front(), channel_ceiling_z);

  // Firewall: beside the channel from bottom to ceiling, above it from the channel's ceiling upward.
  const Row top(deck_top.begin() + first, deck_top.begin() + first + count);
  add_wall(builder, ceiling, top, false, Patch::Firewall);
  const Row left_bottom(deck_bottom.begin(), deck_bottom.begin() + first);
  const Row left_top(deck_top.begin(), deck_top.begin() + first);
  add_wall(builder, left_bottom, left_top, false, Patch::Firewall);
  const Row right_bottom(deck_bottom.begin() + first + count, deck_bottom.end());
  const Row right_top(deck_top.begin() + first + count, deck_top.end());
  add_wall(builder, right_bottom, right_top, false, Patch::Firewall);
  builder.add_triangle(left_bottom.back(), floor.front(), ceiling.front(), Patch::Firewall);
  builder.add_quad(left_bottom.back(), ceiling.front(), top.front(), left_top.back(), Patch::Firewall);
  builder.add_triangle(floor.back(), right_bottom.front(), ceiling.back(), Patch::Firewall);
  builder.add_quad(ceiling.back(), right_bottom.front(), right_top.front(), top.back(), Patch::Firewall);

  for (std::size_t i = 1; i < stations.size(); ++i) {
    const Row next_floor = add_row(stations[i], channel_floor_z);
    const Row next_ceiling = add_row(stations[i], channel_ceiling_z);
    add_strip(builder, floor, next_floor, true, Patch::ExitWall);
    add_strip(builder, ceiling, next_ceiling, false, Patch::ExitWall);
    builder.add_quad(
        floor.front(), next_floor.front(), next_ceiling.front(), ceiling.front(), Patch::ExitWall);
    builder.add_quad(floor.back(), ceiling.back(), next_ceiling.back(), next_floor.back(), Patch::ExitWall);
    floor = next_floor;
    ceiling = next_ceiling;
  }
  add_wall(builder, floor, ceiling, false, Patch::ExitWall);
}

}  // namespace

Surface lower_deck(const ShapeSpec& spec, double from, double inset, ExitChannel channel) {
  const Outline outline(spec);
  const double ceiling = -layout(spec).deck_floor;
  const double firewall = spec.cowl.firewall_station;
  std::vector<double> stations{from};
  append_stations(stations, firewall, intervals(from, firewall));

  SurfaceBuilder builder;
  Row last_bottom;
  Row last_top;
  for (std::size_t i = 0; i < stations.size(); ++i) {
    Row bottom;
    Row top;
    for (const base::Vec3& p : bottom_row(spec, outline, stations[i], inset)) {
      bottom.push_back(builder.add_point(p));
      top.push_back(p.z == ceiling ? bottom.back() : builder.add_point({p.x, p.y, ceiling}));
    }
    if (i == 0) {
      add_wall(builder, bottom, top, true, Patch::LowerDeck);
    } else {
      add_strip(builder, last_bottom, bottom, true, Patch::LowerDeck);
      add_strip(builder, last_top, top, false, Patch::LowerDeck);
    }
    last_bottom = bottom;
    last_top = top;
  }
  if (channel == ExitChannel::With) {
    add_channel(builder, spec, last_bottom, last_top);
  } else {
    add_wall(builder, last_bottom, last_top, false, Patch::Firewall);
  }
  return std::move(builder).closed();
}

}  // namespace cowlwright::shape
