// SPDX-License-Identifier: GPL-3.0-or-later
//
// Surfaces as the geometry kernel's mesh and back. Internal to this folder: it shows the kernel's types.
#pragma once

#include "geometry/shape/surface.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Surface_mesh.h>

#include <cstdint>
#include <optional>
#include <vector>

namespace cowlwright::imported {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using TriangleMesh = CGAL::Surface_mesh<Kernel::Point_3>;
using PatchMap = TriangleMesh::Property_map<TriangleMesh::Face_index, std::uint16_t>;

/// The patch of each face; a face that an algorithm has made without saying from what has `no_patch`.
inline constexpr std::uint16_t no_patch = 0xffff;
inline PatchMap patch_map(TriangleMesh& mesh) {
  return mesh.add_property_map<TriangleMesh::Face_index, std::uint16_t>("f:patch", no_patch).first;
}

/// Face and vertex i of the mesh are triangle and point i of the surface. Nothing when a triangle does not
/// fit its neighbours: every edge must have at most two triangles of opposite sense, every point one fan.
inline std::optional<TriangleMesh> to_mesh(const shape::Surface& surface) {
  TriangleMesh mesh;
  mesh.reserve(static_cast<TriangleMesh::size_type>(surface.points.size()),
               static_cast<TriangleMesh::size_type>(surface.triangles.size() * 3 / 2),
               static_cast<TriangleMesh::size_type>(surface.triangles.size()));
  PatchMap patches = patch_map(mesh);
  for (const base::Vec3& p : surface.points) mesh.add_vertex({p.x, p.y, p.z});
  using Vertex = TriangleMesh::Vertex_index;
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    const auto& t = surface.triangles[i];
    const auto face = mesh.add_face(Vertex(t[0]), Vertex(t[1]), Vertex(t[2]));
    if (face == TriangleMesh::null_face()) return std::nullopt;
    patches[face] = surface.patch[i];
  }
  return mesh;
}

/// Points without a face are left out.
inline shape::Surface to_surface(TriangleMesh& mesh, const std::vector<std::string>& patch_names) {
  shape::Surface surface;
  surface.patch_names = patch_names;
  const PatchMap patches = patch_map(mesh);
  std::vector<std::uint32_t> index(mesh.number_of_vertices() + mesh.number_of_removed_vertices());
  for (const auto vertex : mesh.vertices()) {
    if (mesh.is_isolated(vertex)) continue;
    index[vertex.idx()] = static_cast<std::uint32_t>(surface.points.size());
    const auto& p = mesh.point(vertex);
    surface.points.push_back({p.x(), p.y(), p.z()});
  }
  for (const auto face : mesh.faces()) {
    const auto h = mesh.halfedge(face);
    surface.triangles.push_back(
        {index[mesh.source(h).idx()], index[mesh.target(h).idx()], index[mesh.target(mesh.next(h)).idx()]});
    surface.patch.push_back(patches[face]);
  }
  return surface;
}

}  // namespace cowlwright::imported
