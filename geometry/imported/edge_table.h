// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which faces meet at which edge. Internal to this folder.
#pragma once

#include "geometry/shape/surface.h"

#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::imported {

/// Sets of numbers that are merged pair by pair.
class Groups {
 public:
  explicit Groups(std::size_t n);
  std::uint32_t root(std::uint32_t i);
  void join(std::uint32_t a, std::uint32_t b);

 private:
  std::vector<std::uint32_t> parent_;
};

/// One face's passage along an edge.
struct EdgePassage {
  std::uint32_t high = 0;    ///< the edge's point of the higher number
  std::uint32_t corner = 0;  ///< 3 * face + k: the edge runs from the face's corner k to the next
  std::uint32_t face() const { return corner / 3; }
};

class EdgeTable {
 public:
  /// Faces whose entry in `left_out` is not 0 are passed over. n_triangles < 2^30.
  EdgeTable(const shape::Surface& surface, std::span<const std::uint8_t> left_out);

  /// visit(low, uses): the edges in order of their points; the uses of one edge in the order of the faces.
  template <typename Visit>
  void for_each(const Visit& visit) const {
    for (std::size_t low = 0; low + 1 < start_.size(); ++low) {
      for (std::size_t i = start_[low]; i < start_[low + 1];) {
        std::size_t end = i + 1;
        while (end < start_[low + 1] && uses_[end].high == uses_[i].high) ++end;
        visit(static_cast<std::uint32_t>(low), std::span(uses_).subspan(i, end - i));
        i = end;
      }
    }
  }

 private:
  std::vector<std::uint32_t> start_;
  std::vector<EdgePassage> uses_;
};

/// The point a face's edge starts at, and the one it ends at.
inline std::uint32_t from_point(const shape::Surface& surface, std::uint32_t corner) {
  return surface.triangles[corner / 3][corner % 3];
}
inline std::uint32_t next_corner(std::uint32_t corner) {
  return corner % 3 == 2 ? corner - 2 : corner + 1;
}

}  // namespace cowlwright::imported
