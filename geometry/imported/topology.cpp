// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/topology.h"

#include <limits>
#include <utility>

namespace cowlwright::imported {

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
    next[use.to()] = use.from();
    beside[use.to()] = use.triangle;
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

}  // namespace cowlwright::imported
