// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/openings.h"

#include "geometry/mold/lines.h"

#include <algorithm>
#include <unordered_map>
#include <utility>

namespace cowlwright::mold {
namespace {

void measure(TrimEdge& edge) {
  edge.length = line_length(edge.line);
  Vec3 low = edge.line.front(), high = low;
  for (const Vec3& p : edge.line) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y), std::min(low.z, p.z)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y), std::max(high.z, p.z)};
  }
  edge.place = 0.5 * (low + high);
  edge.size = high - low;
  const FittedPlane plane = fit_plane({&edge.line, 1});
  edge.plane_normal = plane.normal;
  edge.off_plane = plane.off_plane;
  edge.is_flat = plane.off_plane <= 0.001 + 0.001 * edge.length;
}

}  // namespace

std::vector<TrimEdge> trim_edges(const Sheet& sheet) {
  std::unordered_multimap<std::uint32_t, std::uint32_t> from;  // first point -> 3 face + k
  std::vector<std::uint32_t> slots;
  for (std::uint32_t f = 0; f < sheet.n_faces(); ++f) {
    for (std::uint32_t k = 0; k < 3; ++k) {
      if (sheet.neighbour[f][k] >= 0) continue;
      from.emplace(sheet.faces[f][k], 3 * f + k);
      slots.push_back(3 * f + k);
    }
  }
  std::vector<TrimEdge> edges;
  for (const std::uint32_t start : slots) {
    const std::uint32_t first = sheet.faces[start / 3][start % 3];
    auto next = from.find(first);
    if (next == from.end()) continue;
    TrimEdge edge;
    edge.line.push_back(sheet.points[first]);
    while (next != from.end()) {
      const std::uint32_t slot = next->second;
      from.erase(next);
      const std::uint32_t end = sheet.faces[slot / 3][(slot % 3 + 1) % 3];
      edge.line.push_back(sheet.points[end]);
      edge.normals.push_back(sheet.normal[slot / 3]);
      next = from.find(end);
    }
    measure(edge);
    edges.push_back(std::move(edge));
  }
  std::stable_sort(
      edges.begin(), edges.end(), [](const TrimEdge& a, const TrimEdge& b) { return a.length > b.length; });
  return edges;
}

}  // namespace cowlwright::mold
