// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/uncross.h"

#include "geometry/imported/fill_polygon.h"
#include "geometry/imported/self_intersections.h"
#include "geometry/imported/topology.h"

#include <algorithm>
#include <limits>
#include <optional>
#include <vector>

namespace cowlwright::imported {

namespace {

using shape::Surface;

using Marks = std::vector<char>;

/// Marks all triangles round the corners of those marked.
void grow(const Surface& surface, Marks& is_out) {
  Marks is_near(surface.points.size(), 0);
  for (std::size_t i = 0; i < is_out.size(); ++i)
    if (is_out[i])
      for (const std::uint32_t k : surface.triangles[i]) is_near[k] = 1;
  for (std::size_t i = 0; i < is_out.size(); ++i)
    for (const std::uint32_t k : surface.triangles[i]) is_out[i] = is_out[i] || is_near[k];
}

Surface without(const Surface& surface, const Marks& is_out) {
  Surface rest{surface.points, {}, {}, surface.patch_names};
  for (std::size_t i = 0; i < is_out.size(); ++i) {
    if (is_out[i]) continue;
    rest.triangles.push_back(surface.triangles[i]);
    rest.patch.push_back(surface.patch[i]);
  }
  return rest;
}

/// A point whose open edges are more than one going out joins two gaps in itself: all round it goes out, too.
/// @return whether there was one.
bool widen_pinches(const Surface& surface, Marks& is_out) {
  std::vector<std::uint8_t> n_open(surface.points.size(), 0);
  for_each_edge(edge_uses(without(surface, is_out)), [&](std::span<const EdgeUse> edge) {
    if (edge.size() != 1) return;
    std::uint8_t& n = n_open[edge[0].runs_up ? edge[0].high : edge[0].low];
    n = static_cast<std::uint8_t>(std::min(n + 1, 2));
  });
  bool found = false;
  for (std::size_t i = 0; i < is_out.size(); ++i) {
    if (is_out[i]) continue;
    for (const std::uint32_t k : surface.triangles[i]) {
      if (n_open[k] < 2) continue;
      is_out[i] = 1;
      found = true;
    }
  }
  return found;
}

/// Of each shell, only the largest piece that is left by area stays in.
void mark_loose_pieces(const Surface& surface, Marks& is_out) {
  const std::vector<std::uint32_t> shell = shells(surface);
  const Surface rest = without(surface, is_out);
  const std::vector<std::uint32_t> piece = shells(rest);
  std::vector<double> area(rest.triangles.size(), 0.0);
  for (std::size_t i = 0; i < piece.size(); ++i) {
    const auto& t = rest.triangles[i];
    const base::Vec3& a = rest.points[t[0]];
    area[piece[i]] += norm(cross(rest.points[t[1]] - a, rest.points[t[2]] - a));
  }
  constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
  std::vector<std::uint32_t> largest(surface.triangles.size(), none);
  const auto for_each_left = [&](auto act) {
    for (std::size_t i = 0, at = 0; i < is_out.size(); ++i)
      if (!is_out[i]) act(i, piece[at++]);
  };
  for_each_left([&](std::size_t i, std::uint32_t p) {
    std::uint32_t& best = largest[shell[i]];
    if (best == none || area[p] > area[best]) best = p;
  });
  Marks is_loose(is_out.size(), 0);
  for_each_left([&](std::size_t i, std::uint32_t p) { is_loose[i] = largest[shell[i]] != p; });
  for (std::size_t i = 0; i < is_out.size(); ++i) is_out[i] = is_out[i] || is_loose[i];
}

/// Closes the gaps; borders that were there before stay. Nothing when a gap cannot be closed.
std::optional<Surface> close_gaps(const Surface& surface, const Marks& is_out) {
  Marks was_open(surface.points.size(), 0);
  for (const BorderLoop& loop : border_loops(surface))
    for (const std::uint32_t i : loop.points) was_open[i] = 1;
  Surface closed = without(surface, is_out);
  const auto fresh = static_cast<std::uint16_t>(surface.patch_names.size());
  for (const BorderLoop& loop : border_loops(closed)) {
    if (std::any_of(
            loop.points.begin(), loop.points.end(), [&](std::uint32_t i) { return was_open[i] != 0; }))
      continue;
    std::vector<base::Vec3> polygon;
    for (const std::uint32_t i : loop.points) polygon.push_back(surface.points[i]);
    const auto triangles = fill_polygon(polygon);
    if (triangles.empty()) return std::nullopt;
    for (const auto& t : triangles) {
      closed.triangles.push_back({loop.points[t[0]], loop.points[t[1]], loop.points[t[2]]});
      closed.patch.push_back(fresh);
    }
  }
  drop_unused_points(closed);
  return closed;
}

bool is_manifold(const Surface& surface) {
  bool sound = true;
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> edge) {
    if (edge.size() > 2 || (edge.size() == 2 && edge[0].runs_up == edge[1].runs_up)) sound = false;
  });
  return sound;
}

std::optional<Uncrossed> attempt(const Surface& surface, int n_rings) {
  Marks is_out(surface.triangles.size(), 0);
  for (const auto& [a, b] : crossing_triangles(surface)) is_out[a] = is_out[b] = 1;
  for (int ring = 0; ring < n_rings; ++ring) grow(surface, is_out);
  mark_loose_pieces(surface, is_out);
  while (widen_pinches(surface, is_out)) mark_loose_pieces(surface, is_out);
  std::optional<Surface> closed = close_gaps(surface, is_out);
  if (!closed || closed->triangles.empty() || !is_manifold(*closed)) return std::nullopt;
  const std::size_t n_left = crossing_triangles(*closed).size();
  return Uncrossed{std::move(*closed), n_left};
}

}  // namespace

Uncrossed remove_crossings(const Surface& surface, std::size_t n_crossings) {
  constexpr int most_rings = 3;
  Uncrossed best{surface, n_crossings};
  for (int rings = 0; rings <= most_rings && best.n_left > 0;) {
    std::optional<Uncrossed> next = attempt(best.surface, rings);
    if (next && next->n_left < best.n_left) {
      // New triangles keep the mark of new ones: the next attempt carries it along.
      best = std::move(*next);
    } else {
      ++rings;
    }
  }
  return best;
}

}  // namespace cowlwright::imported
