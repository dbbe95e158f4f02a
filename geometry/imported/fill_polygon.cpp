// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/fill_polygon.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/triangulate_hole.h>
#include <CGAL/utility.h>

#include <iterator>

namespace cowlwright::imported {

std::vector<std::array<std::uint32_t, 3>> fill_polygon(std::span<const base::Vec3> polygon) {
  using Point = CGAL::Exact_predicates_inexact_constructions_kernel::Point_3;
  std::vector<Point> points;
  points.reserve(polygon.size());
  for (const base::Vec3& p : polygon) points.emplace_back(p.x, p.y, p.z);
  using Triple = CGAL::Triple<int, int, int>;
  std::vector<Triple> found;
  CGAL::Polygon_mesh_processing::triangulate_hole_polyline(points, std::back_inserter(found));
  std::vector<std::array<std::uint32_t, 3>> triangles;
  for (const Triple& t : found) {
    triangles.push_back({static_cast<std::uint32_t>(t.first),
                         static_cast<std::uint32_t>(t.second),
                         static_cast<std::uint32_t>(t.third)});
  }
  return triangles;
}

}  // namespace cowlwright::imported
