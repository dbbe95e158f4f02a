// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/sheet_sides.h"

#include <algorithm>

namespace cowlwright::imported {

namespace {

/// Sets of faces in which each face knows whether it lies as the set's first face does or turned.
class SidedGroups {
 public:
  explicit SidedGroups(std::size_t n) : parent_(n), is_turned_(n, 0) {
    for (std::uint32_t i = 0; i < n; ++i) parent_[i] = i;
  }

  /// The set's root, and whether the face is turned against it.
  struct Place {
    std::uint32_t root = 0;
    std::uint8_t is_turned = 0;
  };
  Place find(std::uint32_t i) {
    Place place{i, 0};
    while (parent_[place.root] != place.root) {
      place.is_turned ^= is_turned_[place.root];
      place.root = parent_[place.root];
    }
    // Hang everything on the way directly below the root.
    std::uint8_t turned = place.is_turned;
    while (parent_[i] != i) {
      const std::uint32_t up = parent_[i];
      const std::uint8_t step = is_turned_[i];
      parent_[i] = place.root;
      is_turned_[i] = turned;
      turned ^= step;
      i = up;
    }
    return place;
  }

  /// @return false when the two are in one set and lie otherwise.
  bool join(std::uint32_t a, std::uint32_t b, std::uint8_t turned) {
    const Place at_a = find(a);
    const Place at_b = find(b);
    const auto relation = static_cast<std::uint8_t>(at_a.is_turned ^ at_b.is_turned ^ turned);
    if (at_a.root == at_b.root) return relation == 0;
    const std::uint32_t low = std::min(at_a.root, at_b.root);
    const std::uint32_t high = std::max(at_a.root, at_b.root);
    parent_[high] = low;
    is_turned_[high] = relation;
    return true;
  }

 private:
  std::vector<std::uint32_t> parent_;
  std::vector<std::uint8_t> is_turned_;
};

}  // namespace

SheetSides sheet_sides(const shape::Surface& surface,
                       std::span<const shape::EdgeUse> edges,
                       std::span<const std::uint8_t> left_out) {
  SheetSides result;
  SidedGroups groups(surface.triangles.size());
  shape::for_each_edge(edges, [&](std::span<const shape::EdgeUse> uses) {
    if (uses.size() != 2) return;
    const bool disagree = uses[0].runs_up == uses[1].runs_up;
    if (disagree) ++result.n_disagreeing_edges;
    if (!groups.join(uses[0].triangle, uses[1].triangle, disagree ? 1 : 0))
      result.one_sided.push_back(uses[0].triangle);
  });
  if (result.n_disagreeing_edges == 0) return result;

  std::vector<std::uint32_t> n_straight(surface.triangles.size(), 0);
  std::vector<std::uint32_t> n_turned(surface.triangles.size(), 0);
  for (std::uint32_t face = 0; face < surface.triangles.size(); ++face) {
    if (left_out[face] != 0) continue;
    const auto place = groups.find(face);
    ++(place.is_turned != 0 ? n_turned : n_straight)[place.root];
  }
  for (std::uint32_t face = 0; face < surface.triangles.size(); ++face) {
    if (left_out[face] != 0) continue;
    const auto place = groups.find(face);
    const bool turned_is_smaller = n_turned[place.root] <= n_straight[place.root];
    if ((place.is_turned != 0) == turned_is_smaller) result.to_turn.push_back(face);
  }
  return result;
}

}  // namespace cowlwright::imported
