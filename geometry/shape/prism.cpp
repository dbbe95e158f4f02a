// SPDX-License-Identifier: GPL-3.0-or-later
//
// Two copies of the surface, one turned over, and a wall along the edges that only one triangle has.
#include "geometry/shape/prism.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <map>
#include <utility>

namespace cowlwright::shape {

namespace {

using Edge = std::pair<std::uint32_t, std::uint32_t>;

/// Directed edges without a partner running the other way.
std::vector<Edge> border_edges(const Surface& surface) {
  std::map<Edge, int> directed;
  for (const auto& triangle : surface.triangles) {
    for (std::size_t i = 0; i < 3; ++i) {
      ++directed[{triangle[i], triangle[(i + 1) % 3]}];
    }
  }
  std::vector<Edge> border;
  for (const auto& [edge, count] : directed) {
    if (!directed.contains({edge.second, edge.first})) {
      border.push_back(edge);
    }
  }
  return border;
}

/// Sum of the area vectors [m²].
base::Vec3 area_vector(const Surface& surface) {
  base::Vec3 sum;
  for (const auto& [a, b, c] : surface.triangles) {
    const base::Vec3& origin = surface.points[a];
    sum = sum + 0.5 * cross(surface.points[b] - origin, surface.points[c] - origin);
  }
  return sum;
}

}  // namespace

Surface prism(const Surface& open, const base::Vec3& offset, const std::string& name) {
  const std::vector<Edge> border = border_edges(open);
  const double swept = dot(area_vector(open), offset);
  if (border.empty() || !(std::abs(swept) > 0.0)) {
    throw base::InputError(
        fmt::format("prism {}: swept volume = {} m3 over {} border edges: must not be 0. Give an "
                    "open surface and an offset that leaves it.",
                    name,
                    swept,
                    border.size()));
  }
  Surface closed;
  closed.patch_names = {name};
  closed.points = open.points;
  const auto n = static_cast<std::uint32_t>(open.points.size());
  for (const base::Vec3& point : open.points) {
    closed.points.push_back(point + offset);
  }
  // Swept along its normals the start is the underside; swept against them the far copy is.
  const bool along = swept > 0.0;
  const auto add = [&](std::uint32_t a, std::uint32_t b, std::uint32_t c, bool turn) {
    closed.triangles.push_back(turn ? std::array{a, c, b} : std::array{a, b, c});
  };
  for (const auto& [a, b, c] : open.triangles) {
    add(a, b, c, along);
    add(a + n, b + n, c + n, !along);
  }
  for (const auto& [a, b] : border) {
    add(a, b, b + n, !along);
    add(a, b + n, a + n, !along);
  }
  closed.patch.assign(closed.triangles.size(), 0);
  return closed;
}

}  // namespace cowlwright::shape
