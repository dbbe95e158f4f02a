// SPDX-License-Identifier: GPL-3.0-or-later
//
// A unit of its own: its templates take minutes and gigabytes to compile.
#include "geometry/imported/alpha_wrap.h"

#include "geometry/imported/triangle_mesh.h"

#include <CGAL/alpha_wrap_3.h>

namespace cowlwright::imported {

shape::Surface alpha_wrap(const shape::Surface& surface, double alpha, double offset) {
  std::vector<Kernel::Point_3> points;
  points.reserve(surface.points.size());
  for (const base::Vec3& p : surface.points) points.emplace_back(p.x, p.y, p.z);
  TriangleMesh mesh;
  CGAL::alpha_wrap_3(points, surface.triangles, alpha, offset, mesh);
  PatchMap patches = patch_map(mesh);
  for (const auto face : mesh.faces()) patches[face] = 0;
  return to_surface(mesh, {"wrap"});
}

}  // namespace cowlwright::imported
