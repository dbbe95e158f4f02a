// SPDX-License-Identifier: GPL-3.0-or-later
//
// Steps and lines of equal value over a grid of points, by triangles. No packaged library without a display
// library does this on a grid of unequal distances.
#pragma once

#include <array>
#include <vector>

namespace cowlwright::envelope {

struct Node {
  double x = 0.0, y = 0.0, value = 0.0;
};
using Triangle = std::array<Node, 3>;

/// The part of a triangle where low <= value <= high, value linear in it; empty when there is none.
std::vector<Node> part_between(const Triangle& triangle, double low, double high);

/// Where value = level crosses it; empty, or two ends. A level that only touches a corner gives nothing.
std::vector<Node> line_at(const Triangle& triangle, double level);

/// A cell of four corners (in order round it) as four triangles about its mean.
std::array<Triangle, 4> triangles(const std::array<Node, 4>& corners);

}  // namespace cowlwright::envelope
