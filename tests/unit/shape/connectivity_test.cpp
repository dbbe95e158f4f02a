// SPDX-License-Identifier: GPL-3.0-or-later
//
// Open edges and pieces of tiny surfaces counted by hand.
#include "geometry/shape/connectivity.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <vector>

namespace cowlwright::shape {
namespace {

using ::testing::HasSubstr;
using ::testing::ThrowsMessage;

Surface two_triangles(std::array<std::uint32_t, 3> second) {
  return {
      {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {1, 1, 0}, {2, 2, 0}, {3, 2, 0}}, {{0, 1, 2}, second}, {0, 0}, {"a"}};
}

TEST(EdgeLoops, RunInTheSenseOfTheTriangles) {
  EXPECT_EQ(edge_loops(two_triangles({1, 3, 2})), (std::vector<std::vector<std::uint32_t>>{{0, 1, 3, 2}}));
}

TEST(EdgeLoops, RefuseAFlippedNeighbour) {
  EXPECT_THAT(
      [] {
        edge_loops(two_triangles({1, 2, 3}));
      },
      ThrowsMessage<base::InputError>(HasSubstr("flipped or doubled")));
}

TEST(Pieces, AreWhatNoPointJoins) {
  EXPECT_EQ(n_pieces(two_triangles({3, 4, 5})), 2U);
  EXPECT_EQ(n_pieces(two_triangles({2, 4, 5})), 2U);  // point 3 alone
}

TEST(EdgeLoops, OfABoxWithoutLidIsItsRim) {
  Surface box{{{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}, {0, 0, 2}, {1, 0, 2}, {1, 1, 2}, {0, 1, 2}},
              {},
              {},
              {"a"}};
  box.triangles = {{0, 2, 1},
                   {0, 3, 2},
                   {0, 1, 5},
                   {0, 5, 4},
                   {1, 2, 6},
                   {1, 6, 5},
                   {2, 3, 7},
                   {2, 7, 6},
                   {3, 0, 4},
                   {3, 4, 7}};
  box.patch.assign(box.triangles.size(), 0);
  const auto loops = edge_loops(box);
  ASSERT_EQ(loops.size(), 1U);
  EXPECT_EQ(loops[0].size(), 4U);
  EXPECT_DOUBLE_EQ(loop_length(box, loops[0]), 4.0);
  EXPECT_EQ(loop_box(box, loops[0]).low, (base::Vec3{0, 0, 2}));
}

TEST(EdgeLoops, RefusesTwoEdgesThatTouchInAPoint) {
  const Surface bow{
      {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {-1, 0, 0}, {-1, -1, 0}}, {{0, 1, 2}, {0, 3, 4}}, {0, 0}, {"a"}};
  EXPECT_THAT([&] { edge_loops(bow); }, ThrowsMessage<base::InputError>(HasSubstr("touch in a point")));
}

}  // namespace
}  // namespace cowlwright::shape
