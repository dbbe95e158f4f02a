// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/cross_shells.h"

#include "geometry/base/error.h"
#include "geometry/base/parallel.h"
#include "geometry/imported/self_intersections.h"
#include "geometry/imported/topology.h"
#include "geometry/shape/boolean.h"
#include "geometry/shape/triangle_tree.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <set>
#include <vector>

namespace cowlwright::imported {

namespace {

using shape::Surface;

/// The part of a surface with one label, or with any of a set of labels.
Surface part_of(const Surface& surface,
                const std::vector<std::uint32_t>& label,
                const std::set<std::uint32_t>& wanted) {
  Surface part{surface.points, {}, {}, surface.patch_names};
  for (std::size_t i = 0; i < label.size(); ++i) {
    if (!wanted.contains(label[i])) continue;
    part.triangles.push_back(surface.triangles[i]);
    part.patch.push_back(surface.patch[i]);
  }
  drop_unused_points(part);
  return part;
}

void append(Surface& to, const Surface& more) {
  const auto offset = static_cast<std::uint32_t>(to.points.size());
  to.points.insert(to.points.end(), more.points.begin(), more.points.end());
  for (auto t : more.triangles) {
    for (std::uint32_t& k : t) k += offset;
    to.triangles.push_back(t);
  }
  to.patch.insert(to.patch.end(), more.patch.begin(), more.patch.end());
}

/// Shells that may not be united: open ones and those that cross themselves.
std::set<std::uint32_t> unfit(const Surface& surface,
                              const std::vector<std::uint32_t>& label,
                              const std::vector<std::pair<std::uint32_t, std::uint32_t>>& crossings) {
  std::set<std::uint32_t> shells;
  for (const auto& [a, b] : crossings)
    if (label[a] == label[b]) shells.insert(label[a]);
  for (const BorderLoop& loop : border_loops(surface)) shells.insert(label[loop.triangle]);
  return shells;
}

Surface union_of(const Surface& surface,
                 const std::vector<std::uint32_t>& label,
                 const std::vector<std::uint32_t>& group) {
  shape::Solid solid(part_of(surface, label, {group.front()}));
  for (std::size_t i = 1; i < group.size(); ++i)
    solid.unite(shape::Solid(part_of(surface, label, {group[i]})), "overlapping shells");
  return solid.to_surface(surface.patch_names);
}

}  // namespace

UnitedShells unite_crossing_shells(const Surface& surface) {
  UnitedShells result{.surface = surface};
  const auto crossings = crossing_triangles(surface);
  result.n_crossings_left = crossings.size();
  if (crossings.empty()) return result;
  // 1. Groups of fit shells that cross.
  const std::vector<std::uint32_t> label = shells(surface);
  const std::set<std::uint32_t> unfit_shells = unfit(surface, label, crossings);
  DisjointSets groups(label.size());
  for (const auto& [a, b] : crossings)
    if (!unfit_shells.contains(label[a]) && !unfit_shells.contains(label[b]))
      groups.unite(label[a], label[b]);
  std::map<std::uint32_t, std::vector<std::uint32_t>> members;
  std::set<std::uint32_t> alone;
  for (std::uint32_t s = 0; s <= *std::max_element(label.begin(), label.end()); ++s)
    members[groups.find(s)].push_back(s);
  // 2. One body of each group; the others as they are.
  Surface all{{}, {}, {}, surface.patch_names};
  try {
    for (const auto& [first, group] : members) {
      if (group.size() == 1) {
        alone.insert(first);
        continue;
      }
      append(all, union_of(surface, label, group));
      result.n_united += group.size() - 1;
    }
  } catch (const base::ResultError& error) {
    result.n_united = 0;
    result.note = fmt::format("overlapping shells could not be united ({})", error.what());
    return result;
  }
  if (result.n_united == 0) return result;
  append(all, part_of(surface, label, alone));
  result.n_crossings_left = crossing_triangles(all).size();
  result.note = fmt::format("what lay inside another shell is gone: {:.1f} cm²",
                            1e4 * (surface_area(surface) - surface_area(all)));
  result.surface = std::move(all);
  return result;
}

void take_patches(Surface& surface, const Surface& from) {
  const shape::TriangleTree tree(from);
  base::for_each_index(surface.triangles.size(), [&](std::size_t i) {
    if (surface.patch[i] < surface.patch_names.size()) return;
    const auto& t = surface.triangles[i];
    const base::Vec3 centre =
        (1.0 / 3.0) * (surface.points[t[0]] + surface.points[t[1]] + surface.points[t[2]]);
    surface.patch[i] = from.patch[tree.nearest(centre, std::numeric_limits<double>::infinity()).triangle];
  });
}

}  // namespace cowlwright::imported
