// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/mend.h"

#include "geometry/imported/point_grid.h"
#include "geometry/imported/topology.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <tuple>
#include <utility>

namespace cowlwright::imported {

namespace {

using base::Vec3;
using shape::Surface;

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

/// Sets every corner to its representative and leaves out points that are used no more.
void replace_points(Surface& surface, const std::vector<std::uint32_t>& by) {
  for (auto& t : surface.triangles)
    for (std::uint32_t& k : t) k = by[k];
  drop_unused_points(surface);
}

std::size_t merge_equal_points(Surface& surface) {
  std::vector<std::uint32_t> order(surface.points.size());
  std::iota(order.begin(), order.end(), 0u);
  const auto key = [&](std::uint32_t i) {
    const Vec3& p = surface.points[i];
    return std::tuple(p.x, p.y, p.z);
  };
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    return std::tuple(key(a), a) < std::tuple(key(b), b);
  });
  std::vector<std::uint32_t> by(surface.points.size());
  std::size_t merged = 0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const bool is_equal = i > 0 && surface.points[order[i]] == surface.points[order[i - 1]];
    by[order[i]] = is_equal ? by[order[i - 1]] : order[i];
    merged += is_equal ? 1 : 0;
  }
  replace_points(surface, by);
  return merged;
}

/// 1 for points on an edge that has not two triangles.
std::vector<char> loose_points(const Surface& surface) {
  std::vector<char> is_loose(surface.points.size(), 0);
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> edge) {
    if (edge.size() == 2) return;
    is_loose[edge.front().low] = is_loose[edge.front().high] = 1;
  });
  return is_loose;
}

/// Points that share a triangle with each point, one list after the other.
struct Neighbours {
  std::vector<std::uint32_t> first, list;

  explicit Neighbours(const Surface& surface) : first(surface.points.size() + 1, 0) {
    for (const auto& t : surface.triangles)
      for (const std::uint32_t k : t) first[k + 1] += 2;
    std::partial_sum(first.begin(), first.end(), first.begin());
    list.resize(first.back());
    std::vector<std::uint32_t> at(first.begin(), first.end() - 1);
    for (const auto& t : surface.triangles) {
      for (std::size_t k = 0; k < 3; ++k) {
        list[at[t[k]]++] = t[(k + 1) % 3];
        list[at[t[k]]++] = t[(k + 2) % 3];
      }
    }
  }
  std::span<const std::uint32_t> of(std::uint32_t i) const {
    return std::span(list).subspan(first[i], first[i + 1] - first[i]);
  }
};

/// Where along its open edge each hanging point sits.
struct Hanging {
  std::uint32_t triangle = 0;
  std::uint8_t corner = 0;
  double along = 0.0;  ///< 0 to 1
  std::uint32_t point = 0;
  double away = 0.0;  ///< [m]
};

std::vector<Hanging> find_hanging(const Surface& surface, double tolerance) {
  std::vector<EdgeUse> open;
  double length = 0.0;
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> edge) {
    if (edge.size() != 1) return;
    open.push_back(edge.front());
    length += norm(surface.points[edge.front().high] - surface.points[edge.front().low]);
  });
  if (open.empty()) return {};
  const double cell = std::max(length / static_cast<double>(open.size()), 2.0 * tolerance);
  PointGrid grid(cell);
  for (std::uint32_t i = 0; i < open.size(); ++i) {
    const Vec3 a = surface.points[open[i].low], along = surface.points[open[i].high] - a;
    const int n = static_cast<int>(std::ceil(norm(along) / cell)) + 1;
    for (int k = 0; k <= n; ++k) grid.add(a + (static_cast<double>(k) / n) * along, i);
  }
  std::vector<char> is_done(surface.points.size(), 0);
  std::vector<Hanging> hanging;
  for (const EdgeUse& use : open) {
    for (const std::uint32_t point : {use.low, use.high}) {
      if (std::exchange(is_done[point], 1)) continue;
      const Vec3& p = surface.points[point];
      Hanging best{.away = tolerance};
      bool found = false;
      grid.near(p, [&](std::uint32_t i) {
        const EdgeUse& edge = open[i];
        const auto& t = surface.triangles[edge.triangle];
        if (t[0] == point || t[1] == point || t[2] == point) return;
        const Vec3 a = surface.points[t[edge.corner]];
        const Vec3 along = surface.points[t[(edge.corner + 1u) % 3]] - a;
        const double part = dot(p - a, along) / dot(along, along);
        const double away = norm(p - (a + part * along));
        if (!(part > 0.0 && part < 1.0 && away <= best.away)) return;
        best = {edge.triangle, edge.corner, part, point, away};
        found = true;
      });
      if (found) hanging.push_back(best);
    }
  }
  return hanging;
}

/// Splits every triangle along the first of its edges that holds hanging points.
void split_triangles(TracedSurface& traced, std::vector<Hanging>& hanging) {
  std::sort(hanging.begin(), hanging.end(), [](const Hanging& a, const Hanging& b) {
    return std::tuple(a.triangle, a.corner, a.along) < std::tuple(b.triangle, b.corner, b.along);
  });
  for (std::size_t begin = 0; begin < hanging.size();) {
    const std::uint32_t triangle = hanging[begin].triangle;
    const std::uint8_t corner = hanging[begin].corner;
    const auto old = traced.surface.triangles[triangle];
    const std::uint32_t apex = old[(corner + 2u) % 3];
    std::uint32_t from = old[corner];
    std::size_t end = begin;
    for (; end < hanging.size() && hanging[end].triangle == triangle; ++end) {
      if (hanging[end].corner != corner) continue;
      const std::uint32_t to = hanging[end].point;
      traced.add({from, to, apex}, traced.surface.patch[triangle], traced.source[triangle]);
      from = to;
    }
    traced.surface.triangles[triangle] = {from, old[(corner + 1u) % 3], apex};
    begin = end;
  }
}

}  // namespace

TracedSurface::TracedSurface(Surface given) : surface(std::move(given)), source(surface.triangles.size()) {
  std::iota(source.begin(), source.end(), 0u);
}

void TracedSurface::add(const std::array<std::uint32_t, 3>& triangle,
                        std::uint16_t patch,
                        std::uint32_t from) {
  surface.triangles.push_back(triangle);
  surface.patch.push_back(patch);
  source.push_back(from);
}

std::size_t TracedSurface::keep(const std::vector<char>& is_kept) {
  std::size_t n = 0;
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    if (!is_kept[i]) continue;
    surface.triangles[n] = surface.triangles[i];
    surface.patch[n] = surface.patch[i];
    source[n++] = source[i];
  }
  const std::size_t dropped = surface.triangles.size() - n;
  surface.triangles.resize(n);
  surface.patch.resize(n);
  source.resize(n);
  return dropped;
}

Moved weld(TracedSurface& traced, double tolerance) {
  Surface& surface = traced.surface;
  Moved moved{.count = merge_equal_points(surface)};
  if (!(tolerance > 0.0)) return moved;
  const std::vector<char> is_loose = loose_points(surface);
  const Neighbours neighbours(surface);
  std::vector<std::uint32_t> by(surface.points.size());
  std::iota(by.begin(), by.end(), 0u);
  // Only points near a loose one can be joined; the others need not be in the grid, but to know that costs
  // more.
  PointGrid grid(tolerance);
  for (std::uint32_t i = 0; i < by.size(); ++i)
    if (!is_loose[i]) grid.add(surface.points[i], i);
  for (std::uint32_t i = 0; i < by.size(); ++i) {
    if (!is_loose[i]) continue;
    std::uint32_t best = none;
    double nearest = tolerance;
    grid.near(surface.points[i], [&](std::uint32_t j) {
      const double away = norm(surface.points[j] - surface.points[i]);
      if (!(away <= nearest)) return;
      for (const std::uint32_t k : neighbours.of(i))
        if (by[k] == j) return;
      nearest = away;
      best = j;
    });
    if (best == none) {
      grid.add(surface.points[i], i);
      continue;
    }
    by[i] = best;
    moved.greatest = std::max(moved.greatest, nearest);
    ++moved.count;
  }
  replace_points(surface, by);
  return moved;
}

Moved split_at_hanging_points(TracedSurface& traced, double tolerance) {
  Moved moved;
  if (!(tolerance > 0.0)) return moved;
  // A triangle may hold points on each of its edges, and its pieces' edges are open again.
  constexpr int most_passes = 6;
  for (int pass = 0; pass < most_passes; ++pass) {
    std::vector<Hanging> hanging = find_hanging(traced.surface, tolerance);
    if (hanging.empty()) break;
    for (const Hanging& h : hanging) moved.greatest = std::max(moved.greatest, h.away);
    moved.count += hanging.size();
    split_triangles(traced, hanging);
  }
  return moved;
}

std::size_t drop_collapsed(TracedSurface& traced) {
  std::vector<char> is_kept;
  is_kept.reserve(traced.surface.triangles.size());
  for (const auto& t : traced.surface.triangles)
    is_kept.push_back(t[0] != t[1] && t[1] != t[2] && t[2] != t[0]);
  return traced.keep(is_kept);
}

std::size_t drop_duplicates(TracedSurface& traced) {
  const auto& triangles = traced.surface.triangles;
  std::vector<std::pair<std::array<std::uint32_t, 3>, std::uint32_t>> sorted;
  sorted.reserve(triangles.size());
  for (std::uint32_t i = 0; i < triangles.size(); ++i) {
    std::array<std::uint32_t, 3> t = triangles[i];
    std::sort(t.begin(), t.end());
    sorted.emplace_back(t, i);
  }
  std::sort(sorted.begin(), sorted.end());
  std::vector<char> is_kept(triangles.size(), 1);
  for (std::size_t i = 1; i < sorted.size(); ++i)
    if (sorted[i].first == sorted[i - 1].first) is_kept[sorted[i].second] = 0;
  return traced.keep(is_kept);
}

std::size_t drop_flat(TracedSurface& traced, double least_height) {
  Surface& surface = traced.surface;
  std::vector<EdgeUse> uses;
  std::vector<char> is_kept(surface.triangles.size(), 1), is_changed(surface.triangles.size(), 0);
  std::size_t count = 0;
  for (std::uint32_t i = 0; i < surface.triangles.size(); ++i) {
    const auto t = surface.triangles[i];
    const std::array<Vec3, 3> p{surface.points[t[0]], surface.points[t[1]], surface.points[t[2]]};
    std::size_t k = 0;
    for (std::size_t j = 1; j < 3; ++j)
      if (norm(p[(j + 1) % 3] - p[j]) > norm(p[(k + 1) % 3] - p[k])) k = j;
    const double longest = norm(p[(k + 1) % 3] - p[k]);
    if (norm(cross(p[1] - p[0], p[2] - p[0])) >= least_height * longest || is_changed[i]) continue;
    if (uses.empty()) uses = edge_uses(surface);
    const auto [low, high] = std::minmax(t[k], t[(k + 1) % 3]);
    const auto first =
        std::lower_bound(uses.begin(), uses.end(), std::pair(low, high), [](auto& use, auto& edge) {
          return std::pair(use.low, use.high) < edge;
        });
    is_kept[i] = 0;
    ++count;
    const auto across =
        std::find_if(first, uses.end(), [&](const EdgeUse& use) { return use.triangle != i; });
    if (across == uses.end() || across->low != low || across->high != high) continue;
    if (is_changed[across->triangle] || !is_kept[across->triangle]) {
      is_kept[i] = 1;  // its neighbour has just been changed: left to a later pass
      --count;
      continue;
    }
    // The neighbour a, b, w becomes a, m, w and m, b, w.
    const auto other = surface.triangles[across->triangle];
    const std::uint32_t a = other[across->corner], b = other[(across->corner + 1u) % 3];
    const std::uint32_t w = other[(across->corner + 2u) % 3], middle = t[(k + 2) % 3];
    if (w == middle) continue;
    surface.triangles[across->triangle] = {a, middle, w};
    surface.triangles[i] = {middle, b, w};
    surface.patch[i] = surface.patch[across->triangle];
    traced.source[i] = traced.source[across->triangle];
    is_kept[i] = is_changed[i] = is_changed[across->triangle] = 1;
  }
  traced.keep(is_kept);
  return count;
}

}  // namespace cowlwright::imported
