// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/lines.h"

#include "geometry/mold/flange.h"
#include "tests/support/mold_bodies.h"

#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::mold {
namespace {

using Segments = std::vector<std::array<std::uint64_t, 2>>;

TEST(JoinSegments, MakesOneLoopAndOneOpenChain) {
  const auto chains = join_segments(Segments{{7, 8}, {1, 2}, {3, 1}, {2, 3}, {9, 8}});
  ASSERT_EQ(chains.size(), 2U);
  EXPECT_EQ(chains[0].size(), 3U);  // 7 8 9, from an end
  EXPECT_EQ(chains[1].size(), 4U);
  EXPECT_EQ(chains[1].front(), chains[1].back());
}

TEST(JoinSegments, EndsChainsWhereThreeMeet) {
  EXPECT_EQ(join_segments(Segments{{1, 2}, {1, 3}, {1, 4}}).size(), 3U);
}

// A staircase of 2 mm steps at 45 deg has sqrt(2) times the length of its line.
TEST(Smoothed, TakesTheStairsOutOfAStaircase) {
  std::vector<Vec3> stairs;
  for (int i = 0; i <= 200; ++i) stairs.push_back({0.001 * (i - i % 2), 0.001 * (i + i % 2 - 1), 0.0});
  const double straight = norm(stairs.back() - stairs.front());
  EXPECT_GT(line_length(stairs), 1.3 * straight);
  EXPECT_NEAR(line_length(smoothed(stairs)), straight, 0.02 * straight);  // what is left near the ends
}

TEST(Smoothed, DoesNotShrinkACircle) {
  std::vector<Vec3> circle;
  for (int i = 0; i <= 100; ++i) {
    const double t = 2 * testing_support::pi * (i % 100) / 100;
    circle.push_back({std::cos(t), std::sin(t), 0});
  }
  EXPECT_NEAR(line_length(smoothed(circle)), line_length(circle), 2e-3 * line_length(circle));
}

TEST(FitPlane, FindsATiltedLoopsPlaneAndHowFarItIsOff) {
  std::vector<Vec3> loop;
  for (int i = 0; i <= 40; ++i) {
    const double t = 2 * testing_support::pi * (i % 40) / 40;
    loop.push_back({std::cos(t), 2 * std::sin(t), 0.5 * std::cos(t) + (i == 10 ? 0.01 : 0.0)});
  }
  const FittedPlane plane = fit_plane({&loop, 1});
  EXPECT_NEAR(std::abs(plane.normal.x / plane.normal.z), 0.5, 2e-3);
  EXPECT_NEAR(plane.off_plane, 0.01 / std::sqrt(1.25), 2e-3);  // the bump pulls the plane along a little
}

TEST(TrimEdges, OfATubeAreTwoFlatCircles) {
  const Sheet cone = make_sheet(testing_support::cone_side(0.1, 48, 4), MoldSide::Outside);
  const std::vector<TrimEdge> edges = trim_edges(cone);
  ASSERT_EQ(edges.size(), 2U);
  EXPECT_NEAR(edges[0].length, 2 * 48 * 0.2 * std::sin(testing_support::pi / 48), 1e-9);
  EXPECT_TRUE(edges[0].is_flat);
  EXPECT_EQ(edges[0].line.front(), edges[0].line.back());
  EXPECT_TRUE(trim_edges(make_sheet(testing_support::box({0, 0, 0}, {1, 1, 1}), MoldSide::Outside)).empty());
}

// A plate 0.2 m wide whose edge at x = 0.2 looks at an upright wall 30 mm away.
TEST(FlangeRoom, IsTheWayToWhatStandsBesideTheEdge) {
  shape::Surface plate = testing_support::extruded(0.3, 6, 4, [](double u) { return Vec3{0.2 * u, 0, 0}; });
  const shape::Surface wall = testing_support::extruded(0.3, 6, 4, [](double u) {
    return Vec3{0.23, 0, 0.1 * u - 0.05};
  });
  const auto shift = static_cast<std::uint32_t>(plate.points.size());
  plate.points.insert(plate.points.end(), wall.points.begin(), wall.points.end());
  for (auto t : wall.triangles) {
    for (auto& k : t) k += shift;
    plate.triangles.push_back(t);
    plate.patch.push_back(0);
  }
  const Sheet sheet = make_sheet(plate, MoldSide::Outside);
  const Tree tree(sheet.points, sheet.faces);
  double least = flange_reach, below = 0.0;
  for (const TrimEdge& edge : trim_edges(sheet)) {
    const FlangeRoom room = room_at(edge, tree, 0.05);
    if (std::abs(edge.place.z) < 1e-9 && edge.size.x > 0.1) {
      least = room.least;
      below = room.length_below;
    }
  }
  EXPECT_NEAR(least, 0.030, 1e-9);
  EXPECT_NEAR(below, 0.3, 1e-9);  // the whole of that side, none of the others
}

}  // namespace
}  // namespace cowlwright::mold
