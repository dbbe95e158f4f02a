// SPDX-License-Identifier: GPL-3.0-or-later
//
// Half edges are sorted by their ends: an open one has no partner of the opposite sense.
#include "geometry/shape/connectivity.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <unordered_map>
#include <utility>

namespace cowlwright::shape {

namespace {

using Edge = std::pair<std::uint32_t, std::uint32_t>;

[[noreturn]] void fail(const Surface& surface, std::uint32_t point, const std::string& what) {
  const base::Vec3& p = surface.points[point];
  throw base::InputError(fmt::format(
      "{} at FS {:.1f} BL {:.1f} WL {:.1f} mm. See `cowlwright inspect`, mend with `cowlwright repair`.",
      what,
      1000.0 * p.x,
      1000.0 * p.y,
      1000.0 * p.z));
}

std::vector<Edge> sorted_half_edges(const Surface& surface) {
  std::vector<Edge> edges;
  edges.reserve(3 * surface.triangles.size());
  for (const auto& t : surface.triangles) {
    for (std::size_t k = 0; k < 3; ++k) edges.emplace_back(t[k], t[(k + 1) % 3]);
  }
  std::sort(edges.begin(), edges.end());
  const auto twice = std::adjacent_find(edges.begin(), edges.end());
  if (twice != edges.end()) {
    fail(surface, twice->first, "an edge with two triangles of one sense (a flipped or doubled face)");
  }
  return edges;
}

}  // namespace

std::vector<std::vector<std::uint32_t>> edge_loops(const Surface& surface) {
  const std::vector<Edge> edges = sorted_half_edges(surface);
  std::unordered_map<std::uint32_t, std::uint32_t> next;
  for (const Edge& edge : edges) {
    if (std::binary_search(edges.begin(), edges.end(), Edge{edge.second, edge.first})) continue;
    if (!next.emplace(edge).second) fail(surface, edge.first, "two open edges touch in a point");
  }
  std::vector<std::vector<std::uint32_t>> loops;
  for (const Edge& edge : edges) {  // in their order, so that equal surfaces give equal loops
    if (!next.contains(edge.first)) continue;
    std::vector<std::uint32_t> loop;
    for (auto at = next.find(edge.first); at != next.end(); at = next.find(loop.back())) {
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
  std::vector<std::uint32_t> leader(surface.points.size());
  std::iota(leader.begin(), leader.end(), 0U);
  const auto find = [&](std::uint32_t i) {
    while (leader[i] != i) i = leader[i] = leader[leader[i]];
    return i;
  };
  for (const auto& t : surface.triangles) {
    leader[find(t[1])] = find(t[0]);
    leader[find(t[2])] = find(t[0]);
  }
  std::size_t n = 0;
  for (std::uint32_t i = 0; i < leader.size(); ++i) n += leader[i] == i ? 1 : 0;
  return n;
}

}  // namespace cowlwright::shape
