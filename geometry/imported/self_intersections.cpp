// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/self_intersections.h"

#include "geometry/base/error.h"
#include "geometry/imported/triangle_mesh.h"

#include <CGAL/Polygon_mesh_processing/self_intersections.h>

#include <iterator>

namespace cowlwright::imported {

namespace pmp = CGAL::Polygon_mesh_processing;

std::vector<std::pair<std::uint32_t, std::uint32_t>> crossing_triangles(const shape::Surface& surface) {
  const std::optional<TriangleMesh> mesh = to_mesh(surface);
  if (!mesh)
    throw base::ResultError("repair: crossings cannot be counted on a surface that is not manifold.");
  using Face = TriangleMesh::Face_index;
  std::vector<std::pair<Face, Face>> found;
  pmp::self_intersections(*mesh, std::back_inserter(found));
  std::vector<std::pair<std::uint32_t, std::uint32_t>> pairs;
  pairs.reserve(found.size());
  for (const auto& [a, b] : found) pairs.emplace_back(a.idx(), b.idx());
  return pairs;
}

}  // namespace cowlwright::imported
