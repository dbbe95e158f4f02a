// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/edge_table.h"

#include <algorithm>
#include <numeric>

namespace cowlwright::imported {

Groups::Groups(std::size_t n) : parent_(n) {
  std::iota(parent_.begin(), parent_.end(), 0U);
}

std::uint32_t Groups::root(std::uint32_t i) {
  while (parent_[i] != i) {
    parent_[i] = parent_[parent_[i]];
    i = parent_[i];
  }
  return i;
}

void Groups::join(std::uint32_t a, std::uint32_t b) {
  a = root(a);
  b = root(b);
  // The lower number leads: the result does not depend on the order of joining.
  if (a < b) parent_[b] = a;
  if (b < a) parent_[a] = b;
}

EdgeTable::EdgeTable(const shape::Surface& surface, std::span<const std::uint8_t> left_out)
    : start_(surface.points.size() + 1, 0) {
  const auto for_each_corner = [&](const auto& visit) {
    for (std::size_t face = 0; face < surface.triangles.size(); ++face) {
      if (left_out[face] != 0) continue;
      for (std::size_t k = 0; k < 3; ++k) {
        const auto corner = static_cast<std::uint32_t>(3 * face + k);
        const std::uint32_t a = from_point(surface, corner);
        const std::uint32_t b = from_point(surface, next_corner(corner));
        visit(std::min(a, b), EdgePassage{std::max(a, b), corner});
      }
    }
  };
  for_each_corner([&](std::uint32_t low, const EdgePassage&) { ++start_[low + 1]; });
  std::partial_sum(start_.begin(), start_.end(), start_.begin());
  uses_.resize(start_.back());
  std::vector<std::uint32_t> at(start_.begin(), start_.end() - 1);
  for_each_corner([&](std::uint32_t low, const EdgePassage& use) { uses_[at[low]++] = use; });
  for (std::size_t low = 0; low + 1 < start_.size(); ++low) {
    std::sort(uses_.begin() + start_[low],
              uses_.begin() + start_[low + 1],
              [](const EdgePassage& a, const EdgePassage& b) {
                return a.high != b.high ? a.high < b.high : a.corner < b.corner;
              });
  }
}

}  // namespace cowlwright::imported
