// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/topology.h"

#include <algorithm>
#include <limits>
#include <numeric>
#include <utility>

namespace cowlwright::imported {

std::vector<EdgeUse> edge_uses(const shape::Surface& surface) {
  std::vector<EdgeUse> uses;
  uses.reserve(surface.triangles.size() * 3);
  for (std::uint32_t i = 0; i < surface.triangles.size(); ++i) {
    const auto& t = surface.triangles[i];
    if (t[0] == t[1] || t[1] == t[2] || t[2] == t[0]) continue;
    for (std::uint8_t k = 0; k < 3; ++k) {
      const auto [low, high] = std::minmax(t[k], t[(k + 1u) % 3]);
      uses.push_back({low, high, i, k, t[k] == low});
    }
  }
  std::sort(uses.begin(), uses.end(), [](const EdgeUse& a, const EdgeUse& b) {
    if (a.low != b.low) return a.low < b.low;
    return a.high != b.high ? a.high < b.high : a.triangle < b.triangle;
  });
  return uses;
}

std::vector<std::uint32_t> shells(const shape::Surface& surface) {
  DisjointSets sets(surface.triangles.size());
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> edge) {
    for (const EdgeUse& use : edge.subspan(1)) sets.unite(edge.front().triangle, use.triangle);
  });
  constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
  std::vector<std::uint32_t> number(surface.triangles.size(), none), label(surface.triangles.size());
  std::uint32_t n = 0;
  for (std::uint32_t i = 0; i < label.size(); ++i) {
    std::uint32_t& of_set = number[sets.find(i)];
    if (of_set == none) of_set = n++;
    label[i] = of_set;
  }
  return label;
}

std::vector<BorderLoop> border_loops(const shape::Surface& surface) {
  constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
  // Along a border edge a to b of a triangle, the hole's own border runs from b to a.
  std::vector<std::uint32_t> next(surface.points.size(), none), beside(surface.points.size(), none);
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> edge) {
    if (edge.size() != 1) return;
    const EdgeUse& use = edge.front();
    const std::uint32_t from = use.runs_up ? use.high : use.low;
    next[from] = use.runs_up ? use.low : use.high;
    beside[from] = use.triangle;
  });
  std::vector<BorderLoop> loops;
  for (std::uint32_t start = 0; start < next.size(); ++start) {
    if (next[start] == none) continue;
    BorderLoop loop;
    loop.triangle = beside[start];
    for (std::uint32_t at = start; at != none && next[at] != none;) {
      loop.points.push_back(at);
      at = std::exchange(next[at], none);
    }
    loops.push_back(std::move(loop));
  }
  return loops;
}

DisjointSets::DisjointSets(std::size_t n) : parent_(n) {
  std::iota(parent_.begin(), parent_.end(), 0u);
}

std::uint32_t DisjointSets::find(std::uint32_t i) {
  while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
  return i;
}

void DisjointSets::unite(std::uint32_t a, std::uint32_t b) {
  a = find(a);
  b = find(b);
  // The lower number leads, so that the result does not depend on the order of calls.
  if (a < b) parent_[b] = a;
  if (b < a) parent_[a] = b;
}

std::size_t drop_unused_points(shape::Surface& surface) {
  std::vector<std::uint32_t> index(surface.points.size(), 0);
  for (const auto& t : surface.triangles)
    for (const std::uint32_t k : t) index[k] = 1;
  std::uint32_t n = 0;
  for (std::uint32_t i = 0; i < index.size(); ++i) {
    if (index[i] == 0) continue;
    surface.points[n] = surface.points[i];
    index[i] = n++;
  }
  for (auto& t : surface.triangles)
    for (std::uint32_t& k : t) k = index[k];
  const std::size_t dropped = surface.points.size() - n;
  surface.points.resize(n);
  return dropped;
}

}  // namespace cowlwright::imported
