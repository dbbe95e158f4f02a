// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/remesh.h"

#include "geometry/base/error.h"
#include "geometry/imported/triangle_mesh.h"

#include <CGAL/Polygon_mesh_processing/detect_features.h>
#include <CGAL/Polygon_mesh_processing/remesh.h>

namespace cowlwright::imported {

namespace {

namespace pmp = CGAL::Polygon_mesh_processing;

/// Sharper than the turn between two facets of a curve of 12 facets to the circle: an edge, not a curve.
constexpr double sharp_edge = 30.0;  // deg, as the kernel takes it
/// Passes of split, collapse, flip and relax; more change little.
constexpr unsigned n_passes = 3;

}  // namespace

shape::Surface remesh(const shape::Surface& surface, double edge) {
  std::optional<TriangleMesh> mesh = to_mesh(surface);
  if (!mesh) throw base::ResultError("remesh: the surface is not manifold. Repair it first.");
  auto is_fixed = mesh->add_property_map<TriangleMesh::Edge_index, bool>("e:fixed", false).first;
  pmp::detect_sharp_edges(*mesh, sharp_edge, is_fixed);
  const PatchMap patches = patch_map(*mesh);
  for (const auto e : mesh->edges()) {
    const auto h = mesh->halfedge(e);
    if (mesh->is_border(e) || patches[mesh->face(h)] != patches[mesh->face(mesh->opposite(h))])
      is_fixed[e] = true;
  }
  pmp::isotropic_remeshing(mesh->faces(),
                           edge,
                           *mesh,
                           CGAL::parameters::number_of_iterations(n_passes)
                               .edge_is_constrained_map(is_fixed)
                               .face_patch_map(patches)
                               .protect_constraints(false));
  mesh->collect_garbage();
  return to_surface(*mesh, surface.patch_names);
}

}  // namespace cowlwright::imported
