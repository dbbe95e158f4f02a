// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/faults.h"

#include "geometry/imported/boundary_loops.h"
#include "geometry/imported/intersections.h"
#include "geometry/imported/sheet_sides.h"
#include "geometry/shape/connectivity.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace cowlwright::imported {

namespace {

using base::Vec3;
using shape::DisjointSets;
using shape::EdgeUse;

/// Corners are numbered 3 * face + k.
std::uint32_t next_corner(std::uint32_t corner) {
  return corner % 3 == 2 ? corner - 2 : corner + 1;
}

/// The corner an edge begins at, as its face runs along it.
std::uint32_t start_corner(const EdgeUse& use) {
  return 3 * use.triangle + use.corner;
}

class Diagnosis {
 public:
  Diagnosis(const shape::Surface& surface, const FaultLimits& limits)
      : surface_(&surface), limits_(limits), left_out_(surface.triangles.size(), 0) {}

  Faults find() && {
    classify_triangles();
    find_unused_points();
    judge_edges();
    measure_shells();
    Intersections crossing = find_intersections(*surface_, left_out_, limits_);
    faults_.intersections = std::move(crossing.pairs);
    faults_.has_all_intersections = crossing.is_complete;
    find_overlaps();
    return std::move(faults_);
  }

 private:
  std::size_t n_faces() const { return surface_->triangles.size(); }
  std::array<Vec3, 3> corners(std::size_t face) const {
    const auto& t = surface_->triangles[face];
    return {surface_->points[t[0]], surface_->points[t[1]], surface_->points[t[2]]};
  }

  void classify_triangles() {
    // Coordinates in single precision, as binary STL has them, are good to 1.2e-7 of their size: a height
    // below that share of the longest edge is rounding.
    constexpr double resolved = 1.2e-7;
    for (std::uint32_t face = 0; face < n_faces(); ++face) {
      const auto& t = surface_->triangles[face];
      const auto [a, b, c] = corners(face);
      const double longest = std::max({norm(b - a), norm(c - b), norm(a - c)});
      const double height = longest > 0 ? norm(cross(b - a, c - a)) / longest : 0.0;
      const bool has_repeated_corner = t[0] == t[1] || t[1] == t[2] || t[2] == t[0];
      if (has_repeated_corner) left_out_[face] = 1;
      if (has_repeated_corner || !(height > resolved * longest)) {
        faults_.degenerate_faces.push_back(face);
      } else if (longest < limits_.tiny_edge) {
        faults_.tiny_faces.push_back(face);
      } else if (longest > limits_.needle_ratio * height) {
        faults_.needle_faces.push_back(face);
      }
    }
  }

  void find_unused_points() {
    std::vector<bool> is_used(surface_->points.size(), false);
    for (const auto& t : surface_->triangles) {
      for (const std::uint32_t corner : t) is_used[corner] = true;
    }
    for (std::uint32_t i = 0; i < is_used.size(); ++i) {
      if (!is_used[i]) faults_.unused_points.push_back(i);
    }
  }

  void judge_edges() {
    std::vector<EdgeUse> edges = shape::edge_uses(*surface_, left_out_);
    find_copies(edges);
    if (!faults_.duplicated_faces.empty()) edges = shape::edge_uses(*surface_, left_out_);
    find_topology(edges);
    judge_sides(edges);
  }

  /// Faces of the same three points: all but the first are copies.
  void find_copies(std::span<const EdgeUse> edges) {
    std::vector<std::array<std::uint32_t, 2>>
        third;  // highest point, face: of faces whose two lower points are the edge's
    shape::for_each_edge(edges, [&](std::span<const EdgeUse> uses) {
      if (uses.size() < 2) return;
      third.clear();
      for (const EdgeUse& use : uses) {
        const std::uint32_t apex = surface_->triangles[use.triangle][(use.corner + 2U) % 3];
        if (apex > use.high) third.push_back({apex, use.triangle});
      }
      std::sort(third.begin(), third.end());
      for (std::size_t i = 1; i < third.size(); ++i) {
        if (third[i][0] == third[i - 1][0]) faults_.duplicated_faces.push_back(third[i][1]);
      }
    });
    std::sort(faults_.duplicated_faces.begin(), faults_.duplicated_faces.end());
    for (const std::uint32_t face : faults_.duplicated_faces) left_out_[face] = 1;
  }

  /// Open and non-manifold edges, loops, shells, points where fans meet.
  void find_topology(std::span<const EdgeUse> edges) {
    DisjointSets shells(n_faces());
    DisjointSets fans(3 * n_faces());
    std::vector<EdgeUse> open_uses;
    shape::for_each_edge(edges, [&](std::span<const EdgeUse> uses) {
      const EdgeUse& first = uses[0];
      if (uses.size() == 1) {
        faults_.boundary_edges.push_back({first.low, first.high});
        open_uses.push_back(first);
      }
      if (uses.size() > 2) faults_.non_manifold_edges.push_back({first.low, first.high});
      if (uses.size() != 2) opening_faces_.push_back(first.triangle);
      for (const EdgeUse& other : uses.subspan(1)) {
        shells.unite(first.triangle, other.triangle);
        const std::uint32_t start = start_corner(other);
        const std::uint32_t end = next_corner(start);
        const bool same_sense = first.runs_up == other.runs_up;
        fans.unite(start_corner(first), same_sense ? start : end);
        fans.unite(next_corner(start_corner(first)), same_sense ? end : start);
      }
    });
    std::vector<OpenEdge> open;
    open.reserve(open_uses.size());
    for (const EdgeUse& use : open_uses) {
      const std::uint32_t corner = start_corner(use);
      open.push_back({{use.from(), use.to()}, {fans.find(corner), fans.find(next_corner(corner))}});
    }
    faults_.loops = boundary_loops(*surface_, open);
    number_shells(shells);
    find_meeting_fans(fans);
  }

  void number_shells(DisjointSets& shells) {
    faults_.shell_of.assign(n_faces(), Faults::no_shell);
    for (std::uint32_t face = 0; face < n_faces(); ++face) {
      if (left_out_[face] != 0) continue;
      const std::uint32_t root = shells.find(face);  // the lowest face of the shell: it comes first
      if (root == face) {
        faults_.shell_of[face] = static_cast<std::uint32_t>(faults_.shells.size());
        faults_.shells.emplace_back();
      } else {
        faults_.shell_of[face] = faults_.shell_of[root];
      }
    }
    give_copies_their_shell();
  }

  void give_copies_their_shell() {
    if (faults_.duplicated_faces.empty()) return;
    std::map<std::array<std::uint32_t, 3>, std::uint32_t> wanted;
    const auto key = [&](std::size_t face) {
      std::array<std::uint32_t, 3> t = surface_->triangles[face];
      std::sort(t.begin(), t.end());
      return t;
    };
    for (const std::uint32_t face : faults_.duplicated_faces) wanted.emplace(key(face), Faults::no_shell);
    for (std::uint32_t face = 0; face < n_faces(); ++face) {
      if (left_out_[face] != 0) continue;
      const auto at = wanted.find(key(face));
      if (at != wanted.end()) at->second = faults_.shell_of[face];
    }
    for (const std::uint32_t face : faults_.duplicated_faces) faults_.shell_of[face] = wanted.at(key(face));
  }

  void find_meeting_fans(DisjointSets& fans) {
    std::vector<std::uint32_t> fan_at(surface_->points.size(), Faults::no_shell);
    std::vector<bool> is_marked(surface_->points.size(), false);
    for (std::uint32_t corner = 0; corner < 3 * n_faces(); ++corner) {
      if (left_out_[corner / 3] != 0) continue;
      const std::uint32_t point = surface_->triangles[corner / 3][corner % 3];
      const std::uint32_t fan = fans.find(corner);
      if (fan_at[point] == Faults::no_shell) fan_at[point] = fan;
      if (fan_at[point] != fan) is_marked[point] = true;
    }
    for (std::uint32_t i = 0; i < is_marked.size(); ++i) {
      if (is_marked[i]) faults_.non_manifold_points.push_back(i);
    }
  }

  void judge_sides(std::span<const EdgeUse> edges) {
    SheetSides sides = sheet_sides(*surface_, edges, left_out_);
    faults_.n_disagreeing_edges = sides.n_disagreeing_edges;
    for (const std::uint32_t face : sides.one_sided)
      faults_.shells[faults_.shell_of[face]].is_one_sided = true;
    faults_.flipped_faces = std::move(sides.to_turn);
  }

  void measure_shells() {
    std::vector<double> volume(faults_.shells.size(), 0.0);
    std::vector<shape::Box> boxes(faults_.shells.size(), {{1e300, 1e300, 1e300}, {-1e300, -1e300, -1e300}});
    double whole = 0;
    for (Shell& shell : faults_.shells) shell.is_closed = true;
    for (std::uint32_t face = 0; face < n_faces(); ++face) {
      if (left_out_[face] != 0) continue;
      const std::uint32_t s = faults_.shell_of[face];
      const auto [a, b, c] = corners(face);
      const double area = 0.5 * norm(cross(b - a, c - a));
      Shell& shell = faults_.shells[s];
      ++shell.n_faces;
      shell.area += area;
      shell.centre = shell.centre + (area / 3.0) * (a + b + c);
      whole += area;
      const Vec3& o = surface_->points[0];
      volume[s] += dot(a - o, cross(b - o, c - o));
      for (const Vec3& p : {a, b, c}) {
        boxes[s].low = {
            std::min(boxes[s].low.x, p.x), std::min(boxes[s].low.y, p.y), std::min(boxes[s].low.z, p.z)};
        boxes[s].high = {
            std::max(boxes[s].high.x, p.x), std::max(boxes[s].high.y, p.y), std::max(boxes[s].high.z, p.z)};
      }
    }
    for (const std::uint32_t face : opening_faces_) faults_.shells[faults_.shell_of[face]].is_closed = false;
    judge_shells(whole, volume, boxes);
  }

  void judge_shells(double whole, const std::vector<double>& volume, const std::vector<shape::Box>& boxes) {
    const std::vector<std::uint32_t> outer = largest_closed_shells(boxes);
    std::vector<bool> has_flipped(faults_.shells.size(), false);
    for (const std::uint32_t face : faults_.flipped_faces) has_flipped[faults_.shell_of[face]] = true;
    for (std::size_t s = 0; s < faults_.shells.size(); ++s) {
      Shell& shell = faults_.shells[s];
      if (shell.area > 0) shell.centre = (1.0 / shell.area) * shell.centre;
      shell.is_crumb = shell.area < limits_.crumb_share * whole;
      const bool is_oriented = shell.is_closed && !shell.is_one_sided && !has_flipped[s];
      shell.is_inside_out = is_oriented && volume[s] < 0 && !is_inside_one(s, outer, boxes);
    }
  }

  /// Closed shells that may hold others: the 1000 of the largest boxes, which bounds the work on a million
  /// shells.
  std::vector<std::uint32_t> largest_closed_shells(const std::vector<shape::Box>& boxes) const {
    constexpr std::size_t most = 1000;
    std::vector<std::uint32_t> closed;
    for (std::uint32_t s = 0; s < boxes.size(); ++s) {
      if (faults_.shells[s].is_closed) closed.push_back(s);
    }
    std::stable_sort(closed.begin(), closed.end(), [&](std::uint32_t a, std::uint32_t b) {
      return shape::volume(boxes[a]) > shape::volume(boxes[b]);
    });
    closed.resize(std::min(most, closed.size()));
    return closed;
  }

  static bool is_inside_one(std::size_t s,
                            const std::vector<std::uint32_t>& outer,
                            const std::vector<shape::Box>& boxes) {
    const shape::Box& in = boxes[s];
    return std::any_of(outer.begin(), outer.end(), [&](std::uint32_t o) {
      const shape::Box& out = boxes[o];
      return o != s && in.low.x >= out.low.x && in.low.y >= out.low.y && in.low.z >= out.low.z &&
             in.high.x <= out.high.x && in.high.y <= out.high.y && in.high.z <= out.high.z;
    });
  }

  void find_overlaps() {
    std::map<std::array<std::uint32_t, 2>, ShellOverlap> overlaps;
    for (const auto& [face_a, face_b] : faults_.intersections) {
      const std::uint32_t a = std::min(faults_.shell_of[face_a], faults_.shell_of[face_b]);
      const std::uint32_t b = std::max(faults_.shell_of[face_a], faults_.shell_of[face_b]);
      if (a == b) continue;
      const auto [p, q, r] = corners(face_a);
      ++overlaps.try_emplace({a, b}, ShellOverlap{a, b, 0, (1.0 / 3.0) * (p + q + r)}).first->second.n_pairs;
    }
    std::vector<std::size_t> n_copied(faults_.shells.size(), 0);
    std::array<std::uint32_t, 3> last{};
    for (const std::uint32_t face : faults_.duplicated_faces) {
      std::array<std::uint32_t, 3> t = surface_->triangles[face];
      std::sort(t.begin(), t.end());
      if (t != last) ++n_copied[faults_.shell_of[face]];
      last = t;
    }
    for (std::uint32_t s = 0; s < n_copied.size(); ++s) {
      const Shell& shell = faults_.shells[s];
      if (n_copied[s] >= 2 && n_copied[s] >= shell.n_faces) {
        overlaps.try_emplace({s, s}, ShellOverlap{s, s, n_copied[s], shell.centre});
      }
    }
    for (const auto& [shells, overlap] : overlaps) faults_.overlaps.push_back(overlap);
  }

  const shape::Surface* surface_;
  FaultLimits limits_;
  std::vector<std::uint8_t> left_out_;          ///< 1: a repeated corner, or a copy
  std::vector<std::uint32_t> opening_faces_{};  ///< a face at each edge that has not two
  Faults faults_{};
};

}  // namespace

Faults diagnose(const shape::Surface& surface, const FaultLimits& limits) {
  return Diagnosis(surface, limits).find();
}

}  // namespace cowlwright::imported
