// SPDX-License-Identifier: GPL-3.0-or-later
//
// Parts of triangles between two values, and lines of equal value, by hand.
#include "cases/envelope/contour.h"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright::envelope;

double area(const std::vector<Node>& polygon) {
  double twice = 0.0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Node& a = polygon[i];
    const Node& b = polygon[(i + 1) % polygon.size()];
    twice += a.x * b.y - b.x * a.y;
  }
  return 0.5 * std::abs(twice);
}

// Value x over the triangle (0,0) (1,0) (0,1).
const Triangle ramp{Node{0.0, 0.0, 0.0}, Node{1.0, 0.0, 1.0}, Node{0.0, 1.0, 0.0}};

TEST(PartBetween, HasTheAreaByHand) {
  // From x = 0 to 0.5: 1/2 - (1/2)^2 / 2.
  EXPECT_NEAR(area(part_between(ramp, 0.0, 0.5)), 0.375, 1e-12);
  EXPECT_NEAR(area(part_between(ramp, 0.5, 2.0)), 0.125, 1e-12);
}

TEST(PartBetween, IsAllOrNothingOutsideTheValues) {
  EXPECT_NEAR(area(part_between(ramp, -1.0, 2.0)), 0.5, 1e-12);
  EXPECT_TRUE(part_between(ramp, 1.5, 2.0).empty());
}

TEST(LineAt, EndsWhereTheValueIs) {
  const std::vector<Node> ends = line_at(ramp, 0.25);
  ASSERT_EQ(ends.size(), 2u);
  for (const Node& end : ends) EXPECT_NEAR(end.x, 0.25, 1e-12);
  EXPECT_NEAR(std::abs(ends[0].y - ends[1].y), 0.75, 1e-12);
  EXPECT_TRUE(line_at(ramp, 1.5).empty());
}

TEST(Triangles, FillTheCell) {
  const std::array<Node, 4> square{Node{0, 0, 1}, Node{2, 0, 2}, Node{2, 1, 3}, Node{0, 1, 4}};
  double sum = 0.0;
  for (const Triangle& t : triangles(square)) {
    sum += area({t.begin(), t.end()});
    EXPECT_NEAR(t[2].value, 2.5, 1e-12);
  }
  EXPECT_NEAR(sum, 2.0, 1e-12);
}

}  // namespace
