// SPDX-License-Identifier: GPL-3.0-or-later
//
// How the triangles of a surface hang together by corners that are one point: its edges, its open edges
// joined to closed loops, and its pieces.
#pragma once

#include "geometry/shape/surface.h"

#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::shape {

/// Union of numbers 0 to n-1 into sets. The lowest number of a set leads it, whatever the order of calls.
class DisjointSets {
 public:
  explicit DisjointSets(std::size_t n);
  std::uint32_t find(std::uint32_t i);
  void unite(std::uint32_t a, std::uint32_t b);

 private:
  std::vector<std::uint32_t> parent_;
};

/// One triangle at one of its edges, which runs from corner `corner` to the next one.
struct EdgeUse {
  std::uint32_t low = 0, high = 0;  ///< the edge's points
  std::uint32_t triangle = 0;
  std::uint8_t corner = 0;
  bool runs_up = false;  ///< from `low` to `high`

  std::uint32_t from() const { return runs_up ? low : high; }
  std::uint32_t to() const { return runs_up ? high : low; }
};

/// All of them, in order of (low, high, triangle). Triangles with two equal corners are passed over.
///
/// @param left_out  (n_triangles), or empty: triangles whose entry is not 0 are passed over too.
std::vector<EdgeUse> edge_uses(const Surface& surface, std::span<const std::uint8_t> left_out = {});

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

/// Leaves out the points no triangle uses. @return their number.
std::size_t drop_unused_points(Surface& surface);

/// Every loop of open edges as indices into surface.points, each in the sense in which its triangles pass
/// along it, from its lowest index on; the longest loop first.
///
/// @throws InputError  when an edge has more than two triangles or two of one sense, or two loops touch in a
/// point; names the place.
std::vector<std::vector<std::uint32_t>> edge_loops(const Surface& surface);

/// Length round a loop [m].
double loop_length(const Surface& surface, std::span<const std::uint32_t> loop);

/// Box round a loop [m].
Box loop_box(const Surface& surface, std::span<const std::uint32_t> loop);

/// Number of pieces that no triangle joins.
std::size_t n_pieces(const Surface& surface);

}  // namespace cowlwright::shape
