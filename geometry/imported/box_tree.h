// SPDX-License-Identifier: GPL-3.0-or-later
//
// A tree of boxes over triangles that finds those whose boxes meet. Internal to this folder.
#pragma once

#include "geometry/shape/surface.h"

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::imported {

/// In single precision, rounded outward.
struct FloatBox {
  std::array<float, 3> low{};
  std::array<float, 3> high{};
};

FloatBox box_of(const shape::Surface& surface, std::uint32_t face);

inline bool do_meet(const FloatBox& a, const FloatBox& b) {
  return a.low[0] <= b.high[0] && b.low[0] <= a.high[0] && a.low[1] <= b.high[1] && b.low[1] <= a.high[1] &&
         a.low[2] <= b.high[2] && b.low[2] <= a.high[2];
}

class BoxTree {
 public:
  /// Over the faces whose entry in `left_out` is 0; built with all cores.
  BoxTree(const shape::Surface& surface, std::span<const std::uint8_t> left_out);

  /// visit(other) for each face above `face` whose box meets that face's box.
  template <typename Visit>
  void for_each_above(std::uint32_t face, const FloatBox& box, const Visit& visit) const {
    if (nodes_.empty()) return;
    std::array<std::uint32_t, 64> stack{};
    std::size_t depth = 1;  // node 0
    while (depth > 0) {
      const Node& node = nodes_[stack[--depth]];
      if (node.highest_face <= face || !do_meet(node.box, box)) continue;
      if (node.n_faces == 0) {
        stack[depth++] = node.first;
        stack[depth++] = node.first + 1;
        continue;
      }
      for (std::uint32_t i = node.first; i < node.first + node.n_faces; ++i) {
        if (items_[i].face > face && do_meet(items_[i].box, box)) visit(items_[i].face);
      }
    }
  }

  struct Item {
    FloatBox box{};
    std::uint32_t face = 0;
  };
  std::span<const Item> items() const { return items_; }  ///< neighbours in space stand near each other

 private:
  struct Node {
    FloatBox box{};
    std::uint32_t first = 0;         ///< first child, or first position in items_
    std::uint32_t n_faces = 0;       ///< 0: two children
    std::uint32_t highest_face = 0;  ///< below this node
  };
  struct Build;
  void build(Build& state, std::uint32_t node, std::uint32_t begin, std::uint32_t end, int n_splits);

  std::vector<Item> items_{};
  std::vector<Node> nodes_{};
};

}  // namespace cowlwright::imported
