// SPDX-License-Identifier: GPL-3.0-or-later
//
// Suggestions for unknown names.
#include "geometry/base/nearest_name.h"

#include <gtest/gtest.h>

#include <array>

namespace {

using cowlwright::base::edit_distance;
using cowlwright::base::suggestion;

TEST(EditDistance, CountsInsertionsDeletionsAndReplacements) {
  EXPECT_EQ(edit_distance("kitten", "sitting"), 3u);  // the textbook pair: k-s, e-i, +g
  EXPECT_EQ(edit_distance("", "gap"), 3u);
  EXPECT_EQ(edit_distance("gap", ""), 3u);
  EXPECT_EQ(edit_distance("gap", "gap"), 0u);
  EXPECT_EQ(edit_distance("Gap", "gAP"), 0u);
}

TEST(EditDistance, IsSymmetric) {
  EXPECT_EQ(edit_distance("lip_angel", "lip_angle"), edit_distance("lip_angle", "lip_angel"));
}

TEST(Suggestion, NamesTheNearestWhenItIsNear) {
  constexpr std::array<std::string_view, 3> known{"lip_length", "lip_angle", "gap"};
  EXPECT_EQ(suggestion("lip_angel", known), " Did you mean lip_angle?");
  EXPECT_EQ(suggestion("gab", known), " Did you mean gap?");
}

TEST(Suggestion, ListsAllWhenNothingIsNearAndIsEmptyWhenNothingIsKnown) {
  constexpr std::array<std::string_view, 2> known{"lip_length", "overhang"};
  EXPECT_EQ(suggestion("xqzzt", known), " Known: lip_length, overhang.");
  EXPECT_EQ(suggestion("xqzzt", {}), "");
}

}  // namespace
