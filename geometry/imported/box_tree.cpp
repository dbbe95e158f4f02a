// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/box_tree.h"

#include <algorithm>
#include <atomic>
#include <bit>
#include <cmath>
#include <future>
#include <limits>
#include <thread>

namespace cowlwright::imported {

namespace {

constexpr std::uint32_t most_in_leaf = 8;
constexpr float far = std::numeric_limits<float>::infinity();

float rounded_down(double x) {
  const auto f = static_cast<float>(x);
  return static_cast<double>(f) > x ? std::nextafterf(f, -far) : f;
}
float rounded_up(double x) {
  const auto f = static_cast<float>(x);
  return static_cast<double>(f) < x ? std::nextafterf(f, far) : f;
}

void extend(FloatBox& box, const FloatBox& by) {
  for (std::size_t k = 0; k < 3; ++k) {
    box.low[k] = std::min(box.low[k], by.low[k]);
    box.high[k] = std::max(box.high[k], by.high[k]);
  }
}

}  // namespace

FloatBox box_of(const shape::Surface& surface, std::uint32_t face) {
  const auto& t = surface.triangles[face];
  const base::Vec3& a = surface.points[t[0]];
  const base::Vec3& b = surface.points[t[1]];
  const base::Vec3& c = surface.points[t[2]];
  return {{rounded_down(std::min({a.x, b.x, c.x})),
           rounded_down(std::min({a.y, b.y, c.y})),
           rounded_down(std::min({a.z, b.z, c.z}))},
          {rounded_up(std::max({a.x, b.x, c.x})),
           rounded_up(std::max({a.y, b.y, c.y})),
           rounded_up(std::max({a.z, b.z, c.z}))}};
}

struct BoxTree::Build {
  std::atomic<std::uint32_t> n_nodes{1};
};

BoxTree::BoxTree(const shape::Surface& surface, std::span<const std::uint8_t> left_out) {
  items_.reserve(surface.triangles.size());
  for (std::uint32_t face = 0; face < surface.triangles.size(); ++face) {
    if (left_out[face] == 0) items_.push_back({box_of(surface, face), face});
  }
  if (items_.empty()) return;
  // Splitting in the middle leaves more than most_in_leaf / 2 faces in each leaf.
  nodes_.resize(4 * items_.size() / most_in_leaf + 3);
  Build state;
  const unsigned n_threads = std::max(1U, std::thread::hardware_concurrency());
  build(state,
        0,
        0,
        static_cast<std::uint32_t>(items_.size()),
        static_cast<int>(std::bit_width(n_threads - 1)));
  nodes_.resize(state.n_nodes);
}

void BoxTree::build(Build& state, std::uint32_t node, std::uint32_t begin, std::uint32_t end, int n_splits) {
  FloatBox box{{far, far, far}, {-far, -far, -far}};
  std::uint32_t highest = 0;
  for (std::uint32_t i = begin; i < end; ++i) {
    extend(box, items_[i].box);
    highest = std::max(highest, items_[i].face);
  }
  nodes_[node] = {.box = box, .first = begin, .n_faces = end - begin, .highest_face = highest};
  if (end - begin <= most_in_leaf) return;
  std::size_t axis = 0;
  for (std::size_t k = 1; k < 3; ++k) {
    if (box.high[k] - box.low[k] > box.high[axis] - box.low[axis]) axis = k;
  }
  const std::uint32_t middle = begin + (end - begin) / 2;
  std::nth_element(items_.begin() + begin,
                   items_.begin() + middle,
                   items_.begin() + end,
                   [axis](const Item& a, const Item& b) {
                     const float at_a = a.box.low[axis] + a.box.high[axis];
                     const float at_b = b.box.low[axis] + b.box.high[axis];
                     return at_a != at_b ? at_a < at_b : a.face < b.face;
                   });
  const std::uint32_t children = state.n_nodes.fetch_add(2);
  nodes_[node].first = children;
  nodes_[node].n_faces = 0;
  if (n_splits > 0) {
    const std::future<void> other = std::async(std::launch::async, [&, children, begin, middle, n_splits] {
      build(state, children, begin, middle, n_splits - 1);
    });
    build(state, children + 1, middle, end, n_splits - 1);
    other.wait();
  } else {
    build(state, children, begin, middle, 0);
    build(state, children + 1, middle, end, 0);
  }
}

}  // namespace cowlwright::imported
