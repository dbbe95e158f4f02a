// SPDX-License-Identifier: GPL-3.0-or-later
//
// An edge is open when one triangle alone uses it.
#include "geometry/shape/connectivity.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <utility>

namespace cowlwright::shape {

namespace {

[[noreturn]] void fail(const Surface& surface, std::uint32_t point, const std::string& what) {
  const base::Vec3& p = surface.points[point];
  throw base::InputError(fmt::format(
      "{} at FS {:.1f} BL {:.1f} WL {:.1f} mm. See `cowlwright inspect`, mend with `cowlwright repair`.",
      what,
      1000.0 * p.x,
      1000.0 * p.y,
      1000.0 * p.z));
}

}  // namespace

DisjointSets::DisjointSets(std::size_t n) : parent_(n) {
  std::iota(parent_.begin(), parent_.end(), 0U);
}

std::uint32_t DisjointSets::find(std::uint32_t i) {
  while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
  return i;
}

void DisjointSets::unite(std::uint32_t a, std::uint32_t b) {
  a = find(a);
  b = find(b);
  if (a < b) parent_[b] = a;
  if (b < a) parent_[a] = b;
}

/// Counted into places by their lower point, then sorted within: faster than sorting all.
std::vector<EdgeUse> edge_uses(const Surface& surface, std::span<const std::uint8_t> left_out) {
  const auto for_each_use = [&](const auto& visit) {
    for (std::uint32_t i = 0; i < surface.triangles.size(); ++i) {
      const auto& t = surface.triangles[i];
      if (!left_out.empty() && left_out[i] != 0) continue;
      if (t[0] == t[1] || t[1] == t[2] || t[2] == t[0]) continue;
      for (std::uint8_t k = 0; k < 3; ++k) {
        const auto [low, high] = std::minmax(t[k], t[(k + 1U) % 3]);
        visit(EdgeUse{low, high, i, k, t[k] == low});
      }
    }
  };
  std::vector<std::size_t> start(surface.points.size() + 1, 0);
  for_each_use([&](const EdgeUse& use) { ++start[use.low + 1]; });
  std::partial_sum(start.begin(), start.end(), start.begin());
  std::vector<EdgeUse> uses(start.back());
  std::vector<std::size_t> at(start.begin(), start.end() - 1);
  for_each_use([&](const EdgeUse& use) { uses[at[use.low]++] = use; });
  for (std::size_t low = 0; low + 1 < start.size(); ++low) {
    std::sort(uses.begin() + static_cast<std::ptrdiff_t>(start[low]),
              uses.begin() + static_cast<std::ptrdiff_t>(start[low + 1]),
              [](const EdgeUse& a, const EdgeUse& b) {
                return a.high != b.high ? a.high < b.high : a.triangle < b.triangle;
              });
  }
  return uses;
}

std::size_t drop_unused_points(Surface& surface) {
  std::vector<std::uint32_t> index(surface.points.size(), 0);
  for (const auto& t : surface.triangles) {
    for (const std::uint32_t k : t) index[k] = 1;
  }
  std::uint32_t n = 0;
  for (std::uint32_t i = 0; i < index.size(); ++i) {
    if (index[i] == 0) continue;
    surface.points[n] = surface.points[i];
    index[i] = n++;
  }
  for (auto& t : surface.triangles) {
    for (std::uint32_t& k : t) k = index[k];
  }
  const std::size_t dropped = surface.points.size() - n;
  surface.points.resize(n);
  return dropped;
}

std::vector<std::vector<std::uint32_t>> edge_loops(const Surface& surface) {
  std::map<std::uint32_t, std::uint32_t> next;
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> uses) {
    for (std::size_t i = 1; i < uses.size(); ++i) {
      if (uses[i].runs_up == uses[0].runs_up || uses.size() > 2) {
        fail(surface, uses[i].from(), "an edge with two triangles of one sense (a flipped or doubled face)");
      }
    }
    if (uses.size() == 1 && !next.emplace(uses[0].from(), uses[0].to()).second) {
      fail(surface, uses[0].from(), "two open edges touch in a point");
    }
  });
  std::vector<std::vector<std::uint32_t>> loops;
  while (!next.empty()) {
    std::vector<std::uint32_t> loop;
    for (auto at = next.begin(); at != next.end(); at = next.find(loop.back())) {
      loop.push_back(at->second);
      next.erase(at);
    }
    std::rotate(loop.begin(), std::min_element(loop.begin(), loop.end()), loop.end());
    loops.push_back(std::move(loop));
  }
  std::stable_sort(loops.begin(), loops.end(), [&](const auto& a, const auto& b) {
    return loop_length(surface, a) > loop_length(surface, b);
  });
  return loops;
}

double loop_length(const Surface& surface, std::span<const std::uint32_t> loop) {
  double length = 0.0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    length += norm(surface.points[loop[(i + 1) % loop.size()]] - surface.points[loop[i]]);
  }
  return length;
}

Box loop_box(const Surface& surface, std::span<const std::uint32_t> loop) {
  Surface edge;
  for (const std::uint32_t i : loop) edge.points.push_back(surface.points[i]);
  return bounding_box(edge);
}

std::size_t n_pieces(const Surface& surface) {
  DisjointSets sets(surface.points.size());
  for (const auto& t : surface.triangles) {
    sets.unite(t[0], t[1]);
    sets.unite(t[0], t[2]);
  }
  std::size_t n = 0;
  for (std::uint32_t i = 0; i < surface.points.size(); ++i) n += sets.find(i) == i ? 1 : 0;
  return n;
}

}  // namespace cowlwright::shape
