// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/fault_table.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::imported {

namespace {

using base::Vec3;

class Table {
 public:
  Table(const shape::Surface& surface,
        const Faults& faults,
        const FaultLimits& limits,
        std::size_t most_places)
      : surface_(&surface), faults_(&faults), limits_(limits), most_places_(most_places) {}

  std::vector<FaultRow> rows() && {
    add_rows_of_faces();
    add_rows_of_sense();
    add_rows_of_topology();
    add_rows_of_shells();
    return std::move(rows_);
  }

 private:
  void add_rows_of_faces() {
    add_faces({.key = "degenerate",
               .name = "degenerate faces",
               .rule = "a corner twice, or a height below 1.2e-7 of the longest edge",
               .remedy = "drops them"},
              faults_->degenerate_faces);
    add_faces({.key = "duplicated",
               .name = "duplicated faces",
               .rule = "copies of a face with the same three corners",
               .remedy = "keeps one of each"},
              faults_->duplicated_faces);
    add_faces({.key = "tiny",
               .name = "tiny triangles",
               .rule = fmt::format("longest edge below {:.3g} mm (common practice)", 1e3 * limits_.tiny_edge),
               .remedy = "leaves them, unless --weld is larger than they are"},
              faults_->tiny_faces);
    add_faces(
        {.key = "needle",
         .name = "needle triangles",
         .rule = fmt::format("longest edge over height above {:.0f} (common practice)", limits_.needle_ratio),
         .remedy = "leaves them, unless --remesh is given"},
        faults_->needle_faces);
  }

  void add_rows_of_sense() {
    add_faces({.key = "flipped",
               .name = "flipped faces",
               .rule = fmt::format("{} edges are traversed twice in one sense; these would be turned",
                                   faults_->n_disagreeing_edges),
               .remedy = "turns them"},
              faults_->flipped_faces);
    add_shells({.key = "inside_out",
                .name = "shells inside out",
                .rule = "closed, normals inward, in no other shell",
                .remedy = "turns them"},
               [](const Shell& shell) { return shell.is_inside_out; });
    add_shells({.key = "one_sided",
                .name = "one-sided shells",
                .rule = "no turning makes all faces agree",
                .remedy = "cuts them open where they disagree"},
               [](const Shell& shell) { return shell.is_one_sided; });
  }

  void add_rows_of_topology() {
    FaultRow& loops =
        add({.key = "open_edge",
             .name = "open edges (holes, rims)",
             .count = faults_->loops.size(),
             .rule = fmt::format("loops of {} edges that have one face", faults_->boundary_edges.size()),
             .remedy = "closes those no wider than --fill-holes; --weld closes cracks"});
    for (const BoundaryLoop& loop : first(faults_->loops)) {
      loops.places.push_back(
          {loop.centre,
           fmt::format("{:.1f} mm round, {:.1f} mm across", 1e3 * loop.length, 1e3 * loop.diagonal)});
    }
    FaultRow& edges = add({.key = "non_manifold_edge",
                           .name = "non-manifold edges",
                           .count = faults_->non_manifold_edges.size(),
                           .rule = "three faces or more at one edge",
                           .remedy = "splits the surface there"});
    for (const auto& [a, b] : first(faults_->non_manifold_edges)) {
      edges.places.push_back({0.5 * (surface_->points[a] + surface_->points[b]), ""});
    }
    FaultRow& points = add({.key = "non_manifold_point",
                            .name = "non-manifold points",
                            .count = faults_->non_manifold_points.size(),
                            .rule = "faces that meet in the point alone",
                            .remedy = "splits the surface there"});
    for (const std::uint32_t i : first(faults_->non_manifold_points))
      points.places.push_back({surface_->points[i], ""});
    FaultRow& unused = add({.key = "unused_point",
                            .name = "unused points",
                            .count = faults_->unused_points.size(),
                            .rule = "no face has them",
                            .remedy = "drops them"});
    for (const std::uint32_t i : first(faults_->unused_points))
      unused.places.push_back({surface_->points[i], ""});
  }

  void add_rows_of_shells() {
    FaultRow& pairs = add({.key = "self_intersection",
                           .name = "self-intersections",
                           .count = faults_->intersections.size(),
                           .is_at_least = !faults_->has_all_intersections,
                           .rule = "pairs of faces that cross or overlap",
                           .remedy = "cuts out the faces round them and closes the gap"});
    for (const auto& [a, b] : first(faults_->intersections)) {
      pairs.places.push_back({meeting_place(a, b), fmt::format("faces {} and {}", a, b)});
    }
    FaultRow& overlaps = add({.key = "overlapping_shells",
                              .name = "overlapping shells",
                              .count = faults_->overlaps.size(),
                              .is_at_least = !faults_->has_all_intersections,
                              .rule = "pairs of shells that cross, or coincide face by face",
                              .remedy = "unites closed ones, keeps one of two that coincide"});
    for (const ShellOverlap& o : first(faults_->overlaps)) {
      overlaps.places.push_back(
          {o.first,
           o.a == o.b ? fmt::format("shell {} is there more than once", o.a)
                      : fmt::format("shells {} and {}, {} pairs of faces", o.a, o.b, o.n_pairs)});
    }
    add_shells({.key = "crumb",
                .name = "crumbs",
                .rule = fmt::format("shells below {:.2g} % of the area (common practice)",
                                    100 * limits_.crumb_share),
                .remedy = "leaves out those below --crumbs"},
               [](const Shell& shell) { return shell.is_crumb; });
  }

  FaultRow& add(FaultRow row) { return rows_.emplace_back(std::move(row)); }

  void add_faces(FaultRow row, const std::vector<std::uint32_t>& faces) {
    row.count = faces.size();
    for (const std::uint32_t face : first(faces))
      row.places.push_back({middle(face), fmt::format("face {}", face)});
    add(std::move(row));
  }

  template <typename Wanted>
  void add_shells(FaultRow row, const Wanted& is_wanted) {
    for (const Shell& shell : faults_->shells) {
      if (!is_wanted(shell)) continue;
      if (row.count++ < most_places_) {
        row.places.push_back(
            {shell.centre, fmt::format("{} faces, {:.4g} cm2", shell.n_faces, 1e4 * shell.area)});
      }
    }
    add(std::move(row));
  }

  template <typename T>
  std::vector<T> first(const std::vector<T>& all) const {
    return {all.begin(), all.begin() + static_cast<std::ptrdiff_t>(std::min(most_places_, all.size()))};
  }

  Vec3 middle(std::uint32_t face) const {
    const auto& t = surface_->triangles[face];
    return (1.0 / 3.0) * (surface_->points[t[0]] + surface_->points[t[1]] + surface_->points[t[2]]);
  }

  /// Middle of what the two faces' boxes have in common.
  Vec3 meeting_place(std::uint32_t face_a, std::uint32_t face_b) const {
    const shape::Box a = box(face_a);
    const shape::Box b = box(face_b);
    const Vec3 low{std::max(a.low.x, b.low.x), std::max(a.low.y, b.low.y), std::max(a.low.z, b.low.z)};
    const Vec3 high{std::min(a.high.x, b.high.x), std::min(a.high.y, b.high.y), std::min(a.high.z, b.high.z)};
    return 0.5 * (low + high);
  }

  shape::Box box(std::uint32_t face) const {
    const Vec3& first = surface_->points[surface_->triangles[face][0]];
    shape::Box box{first, first};
    for (const std::uint32_t corner : surface_->triangles[face]) {
      const Vec3& p = surface_->points[corner];
      box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y), std::min(box.low.z, p.z)};
      box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y), std::max(box.high.z, p.z)};
    }
    return box;
  }

  const shape::Surface* surface_;
  const Faults* faults_;
  FaultLimits limits_;
  std::size_t most_places_;
  std::vector<FaultRow> rows_{};
};

}  // namespace

std::vector<FaultRow> fault_table(const shape::Surface& surface,
                                  const Faults& faults,
                                  const FaultLimits& limits,
                                  std::size_t most_places) {
  return Table(surface, faults, limits, most_places).rows();
}

}  // namespace cowlwright::imported
