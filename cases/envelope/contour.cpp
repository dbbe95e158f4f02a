// SPDX-License-Identifier: GPL-3.0-or-later
//
// Clipping triangles by values [Sutherland and Hodgman's way, in any textbook].
#include "cases/envelope/contour.h"

namespace cowlwright::envelope {

namespace {

Node between(const Node& a, const Node& b, double level) {
  const double t = (level - a.value) / (b.value - a.value);
  return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y), level};
}

/// What of the polygon has sign * (value - level) >= 0.
std::vector<Node> clipped(const std::vector<Node>& polygon, double level, double sign) {
  std::vector<Node> kept;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Node& here = polygon[i];
    const Node& next = polygon[(i + 1) % polygon.size()];
    const bool is_in = sign * (here.value - level) >= 0.0;
    const bool next_is_in = sign * (next.value - level) >= 0.0;
    if (is_in) kept.push_back(here);
    if (is_in != next_is_in) kept.push_back(between(here, next, level));
  }
  return kept.size() < 3 ? std::vector<Node>{} : kept;
}

}  // namespace

std::vector<Node> part_between(const Triangle& triangle, double low, double high) {
  return clipped(clipped({triangle.begin(), triangle.end()}, low, 1.0), high, -1.0);
}

std::vector<Node> line_at(const Triangle& triangle, double level) {
  std::vector<Node> ends;
  for (std::size_t i = 0; i < 3; ++i) {
    const Node& a = triangle[i];
    const Node& b = triangle[(i + 1) % 3];
    if ((a.value < level) != (b.value < level)) ends.push_back(between(a, b, level));
  }
  return ends;
}

std::array<Triangle, 4> triangles(const std::array<Node, 4>& c) {
  Node middle;
  for (const Node& corner : c) {
    middle.x += 0.25 * corner.x;
    middle.y += 0.25 * corner.y;
    middle.value += 0.25 * corner.value;
  }
  return {Triangle{c[0], c[1], middle}, {c[1], c[2], middle}, {c[2], c[3], middle}, {c[3], c[0], middle}};
}

}  // namespace cowlwright::envelope
