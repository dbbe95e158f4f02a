// SPDX-License-Identifier: GPL-3.0-or-later
//
// Booleans by corefinement, with inexact constructions: fast, and safe as long as the operands cross
// transversally. The result is proven afterwards, not believed.
#include "geometry/shape/boolean.h"

#include "geometry/base/error.h"
#include "geometry/shape/triangle_tree.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/connected_components.h>
#include <CGAL/Polygon_mesh_processing/corefinement.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orient_polygon_soup.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <map>
#include <utility>

namespace cowlwright::shape {

namespace {

namespace pmp = CGAL::Polygon_mesh_processing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using TriangleMesh = CGAL::Surface_mesh<Point>;
using Face = TriangleMesh::Face_index;
using PatchMap = TriangleMesh::Property_map<Face, std::uint16_t>;

Point to_point(const base::Vec3& p) {
  return {p.x, p.y, p.z};
}

PatchMap patch_map(TriangleMesh& mesh) {
  return mesh.add_property_map<Face, std::uint16_t>("f:patch", 0).first;
}

TriangleMesh to_mesh(const Surface& surface) {
  TriangleMesh mesh;
  std::vector<TriangleMesh::Vertex_index> vertices;
  vertices.reserve(surface.points.size());
  for (const base::Vec3& p : surface.points) vertices.push_back(mesh.add_vertex(to_point(p)));
  PatchMap patches = patch_map(mesh);
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    const auto& t = surface.triangles[i];
    const Face face = mesh.add_face(vertices[t[0]], vertices[t[1]], vertices[t[2]]);
    if (face == TriangleMesh::null_face()) {
      const base::Vec3& p = surface.points[t[0]];
      throw base::ResultError(
          fmt::format("shape: triangle {} at ({:.4f}, {:.4f}, {:.4f}) m does not fit its neighbours: every "
                      "edge must have two triangles of opposite sense.",
                      i,
                      p.x,
                      p.y,
                      p.z));
    }
    patches[face] = surface.patch[i];
  }
  return mesh;
}

/// Hands a face's patch on to the pieces it is cut into and to its copy in the other mesh. Copied by value
/// into the algorithm, so the state sits behind pointers.
struct PatchVisitor : pmp::Corefinement::Default_visitor<TriangleMesh> {
  std::map<const TriangleMesh*, PatchMap>* patches = nullptr;
  std::uint16_t current = 0;

  void before_subface_creations(Face old_face, TriangleMesh& mesh) { current = patches->at(&mesh)[old_face]; }
  void after_subface_created(Face new_face, TriangleMesh& mesh) { patches->at(&mesh)[new_face] = current; }
  void after_face_copy(Face old_face, const TriangleMesh& from, Face new_face, TriangleMesh& to) {
    patches->at(&to)[new_face] = patches->at(&from)[old_face];
  }
};

[[noreturn]] void fail(const std::string& step, const std::string& reason) {
  throw base::ResultError(
      fmt::format("shape: step \"{}\" failed: {}. A dimension makes two parts touch without crossing: change "
                  "one of them by a millimetre, and report the study file.",
                  step,
                  reason));
}

enum class Operation { Union, Difference };

void combine(TriangleMesh& solid, TriangleMesh& cutter, Operation operation, const std::string& step) {
  // The algorithm orders its two meshes by their addresses: side by side they come in the same order every
  // time.
  std::array<TriangleMesh, 2> meshes{std::move(solid), std::move(cutter)};
  auto& [body, tool] = meshes;
  std::map<const TriangleMesh*, PatchMap> patches{{&body, patch_map(body)}, {&tool, patch_map(tool)}};
  PatchVisitor visitor;
  visitor.patches = &patches;
  const auto options = CGAL::parameters::visitor(visitor).throw_on_self_intersection(true);
  bool done = false;
  try {
    done = operation == Operation::Union ? pmp::corefine_and_compute_union(body, tool, body, options)
                                         : pmp::corefine_and_compute_difference(body, tool, body, options);
  } catch (const pmp::Corefinement::Self_intersection_exception&) {
    fail(step, "an operand intersects itself");
  }
  if (!done) fail(step, "the result is not a manifold surface");
  if (body.number_of_faces() == 0) fail(step, "the result is empty");
  body.collect_garbage();
  solid = std::move(body);
}

}  // namespace

struct Solid::Mesh {
  TriangleMesh triangles;
};

Solid::Solid(const Surface& surface) : mesh_(std::make_unique<Mesh>(Mesh{to_mesh(surface)})) {}
Solid::Solid(Solid&&) noexcept = default;
Solid& Solid::operator=(Solid&&) noexcept = default;
Solid::~Solid() = default;

void Solid::unite(Solid tool, const std::string& step) {
  combine(mesh_->triangles, tool.mesh_->triangles, Operation::Union, step);
}

void Solid::subtract(Solid tool, const std::string& step) {
  combine(mesh_->triangles, tool.mesh_->triangles, Operation::Difference, step);
}

/// The booleans leave points and faces in an order that depends on where memory lies. They are put in one
/// order, so that equal dimensions give equal files and a case's hash holds from one run to the next.
Surface Solid::to_surface(std::span<const std::string> patch_names) const {
  TriangleMesh& mesh = mesh_->triangles;
  Surface surface;
  surface.patch_names.assign(patch_names.begin(), patch_names.end());
  // 1. Points in the order of their coordinates.
  std::vector<TriangleMesh::Vertex_index> vertices(mesh.vertices().begin(), mesh.vertices().end());
  std::sort(vertices.begin(), vertices.end(), [&](auto a, auto b) { return mesh.point(a) < mesh.point(b); });
  std::vector<std::uint32_t> index(mesh.num_vertices());
  for (const auto vertex : vertices) {
    index[vertex.idx()] = static_cast<std::uint32_t>(surface.points.size());
    const Point& p = mesh.point(vertex);
    surface.points.push_back({p.x(), p.y(), p.z()});
  }
  // 2. Triangles by patch, each from its lowest corner on.
  const PatchMap patches = patch_map(mesh);
  std::vector<std::pair<std::uint16_t, std::array<std::uint32_t, 3>>> triangles;
  for (const Face face : mesh.faces()) {
    const auto h = mesh.halfedge(face);
    std::array<std::uint32_t, 3> corners{
        index[mesh.source(h).idx()], index[mesh.target(h).idx()], index[mesh.target(mesh.next(h)).idx()]};
    std::rotate(corners.begin(), std::min_element(corners.begin(), corners.end()), corners.end());
    triangles.emplace_back(patches[face], corners);
  }
  std::sort(triangles.begin(), triangles.end());
  for (const auto& [patch, corners] : triangles) {
    surface.triangles.push_back(corners);
    surface.patch.push_back(patch);
  }
  return surface;
}

SurfaceProof prove_surface(const Surface& surface) {
  SurfaceProof proof;
  if (!pmp::is_polygon_soup_a_polygon_mesh(surface.triangles)) {
    proof.first_fault = "an edge with more than two triangles or a vertex with two fans";
    return proof;
  }
  TriangleMesh mesh = to_mesh(surface);
  for (const auto h : mesh.halfedges()) {
    if (!mesh.is_border(h)) continue;
    const Point& p = mesh.point(mesh.target(h));
    proof.first_fault = fmt::format("open edge at ({:.4f}, {:.4f}, {:.4f}) m", p.x(), p.y(), p.z());
    return proof;
  }
  proof.is_closed = true;

  std::vector<std::pair<Face, Face>> crossings;
  pmp::self_intersections(mesh, std::back_inserter(crossings));
  proof.is_free_of_self_intersections = crossings.empty();
  if (!crossings.empty()) {
    const Point& p = mesh.point(mesh.source(mesh.halfedge(crossings.front().first)));
    proof.first_fault = fmt::format("{} self-intersections, first near ({:.4f}, {:.4f}, {:.4f}) m",
                                    crossings.size(),
                                    p.x(),
                                    p.y(),
                                    p.z());
    return proof;
  }

  proof.bounds_a_volume = pmp::does_bound_a_volume(mesh);
  if (!proof.bounds_a_volume) proof.first_fault = "shells that are not nested as a volume's must be";
  auto component = mesh.add_property_map<Face, std::size_t>("f:component", 0).first;
  proof.n_components = pmp::connected_components(mesh, component);
  proof.volume = pmp::volume(mesh);
  if (!(proof.volume > 0.0)) {
    proof.bounds_a_volume = false;
    proof.first_fault = fmt::format("volume {} m³: the normals point inward", proof.volume);
  }
  const auto euler = static_cast<long>(mesh.number_of_vertices()) -
                     static_cast<long>(mesh.number_of_edges()) + static_cast<long>(mesh.number_of_faces());
  proof.genus = static_cast<int>((2 * static_cast<long>(proof.n_components) - euler) / 2);
  return proof;
}

double smallest_distance(const Surface& inner,
                         std::span<const std::uint32_t> points,
                         const Surface& skin,
                         std::span<const std::uint32_t> triangles) {
  Surface part;
  part.points = skin.points;
  for (const std::uint32_t i : triangles) {
    part.triangles.push_back(skin.triangles[i]);
    part.patch.push_back(0);
  }
  const TriangleTree tree(part);
  double smallest = HUGE_VAL;
  for (const std::uint32_t i : points) {
    smallest = std::min(smallest, tree.nearest(inner.points[i], smallest).distance);
  }
  return smallest;
}

}  // namespace cowlwright::shape
