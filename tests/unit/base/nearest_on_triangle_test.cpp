// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where on a triangle the nearest point lies.
#include "geometry/base/nearest_on_triangle.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace cowlwright::base {
namespace {

// The triangle (0,0,0), (1,0,0), (0,1,0): its inside, each edge and each corner, by hand.
TEST(NearestOnTriangle, OfATriangleIsItsInsideAnEdgeOrACorner) {
  const Vec3 a{0.0, 0.0, 0.0};
  const Vec3 b{1.0, 0.0, 0.0};
  const Vec3 c{0.0, 1.0, 0.0};
  struct Case {
    Vec3 point;
    std::array<double, 3> weights;
    double distance;
  };
  for (const Case& known : std::vector<Case>{{{0.25, 0.25, 2.0}, {0.5, 0.25, 0.25}, 2.0},
                                             {{0.5, -1.0, 0.0}, {0.5, 0.5, 0.0}, 1.0},
                                             {{-1.0, 0.25, 0.0}, {0.75, 0.0, 0.25}, 1.0},
                                             {{1.0, 1.0, 0.0}, {0.0, 0.5, 0.5}, std::sqrt(0.5)},
                                             {{-3.0, -4.0, 0.0}, {1.0, 0.0, 0.0}, 5.0},
                                             {{3.0, -1.0, 0.0}, {0.0, 1.0, 0.0}, std::sqrt(5.0)},
                                             {{-1.0, 3.0, 0.0}, {0.0, 0.0, 1.0}, std::sqrt(5.0)}}) {
    const OnTriangle found = nearest_on_triangle(a, b, c, known.point);
    EXPECT_NEAR(norm(known.point - found.point), known.distance, 1e-12);
    for (std::size_t i = 0; i < 3; ++i) {
      EXPECT_NEAR(found.weights[i], known.weights[i], 1e-12) << known.point.x << " " << known.point.y;
    }
  }
}

TEST(NearestOnTriangle, OfATriangleWithoutAreaIsStillANumber) {
  const Vec3 a{1.0, 0.0, 0.0};
  const Vec3 p{1.0, 2.0, 0.0};
  EXPECT_NEAR(norm(p - nearest_on_triangle(a, a, a, p).point), 2.0, 1e-12);
}

}  // namespace
}  // namespace cowlwright::base
