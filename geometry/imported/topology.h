// SPDX-License-Identifier: GPL-3.0-or-later
//
// How triangles hang together: by corners that are one point, whatever file they came from.
#pragma once

#include "geometry/shape/surface.h"

#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::imported {

/// One triangle at one of its edges, which runs from corner `corner` to the next one.
struct EdgeUse {
  std::uint32_t low = 0, high = 0;  ///< the edge's points
  std::uint32_t triangle = 0;
  std::uint8_t corner = 0;
  bool runs_up = false;  ///< from `low` to `high`
};

/// All of them, those of one edge side by side. Triangles with two equal corners are left out.
std::vector<EdgeUse> edge_uses(const shape::Surface& surface);

/// Calls act(span of the uses of one edge) for every edge, in order of (low, high).
template <class Act>
void for_each_edge(std::span<const EdgeUse> uses, Act act) {
  for (std::size_t begin = 0; begin < uses.size();) {
    std::size_t end = begin + 1;
    while (end < uses.size() && uses[end].low == uses[begin].low && uses[end].high == uses[begin].high) ++end;
    act(uses.subspan(begin, end - begin));
    begin = end;
  }
}

/// Shell number of each triangle, from 0 in order of first triangle; triangles that share an edge are one
/// shell.
std::vector<std::uint32_t> shells(const shape::Surface& surface);

/// The border of one hole: points in the sense of the triangles that would close it.
struct BorderLoop {
  std::vector<std::uint32_t> points;
  std::uint32_t triangle = 0;  ///< one beside it
};

/// @param surface  every edge with at most two triangles of opposite sense, every point with one fan.
std::vector<BorderLoop> border_loops(const shape::Surface& surface);

/// Union of numbers 0 to n-1 into sets.
class DisjointSets {
 public:
  explicit DisjointSets(std::size_t n);
  std::uint32_t find(std::uint32_t i);
  void unite(std::uint32_t a, std::uint32_t b);

 private:
  std::vector<std::uint32_t> parent_;
};

/// Leaves out the points no triangle uses. @return their number.
std::size_t drop_unused_points(shape::Surface& surface);

}  // namespace cowlwright::imported
