// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/placement.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::imported {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::ThrowsMessage;

TEST(Placement, TakesOurOwnFrameAsItIs) {
  const base::Vec3 p = place(read_placement("m", "x y z", "0 0 0"), {1, 2, 3});
  EXPECT_EQ(p, (base::Vec3{1, 2, 3}));
}

TEST(Placement, TurnsShiftsAndScales) {
  // The file's x points forward and its y to the left, as in a frame of x forward, y left, z up.
  const base::Vec3 p = place(read_placement("in", "-x -y z", "10 0 -2"), {110, 50, 8});
  EXPECT_NEAR(p.x, -2.54, 1e-12);  // 100 in forward
  EXPECT_NEAR(p.y, -1.27, 1e-12);
  EXPECT_NEAR(p.z, 0.254, 1e-12);
}

TEST(Placement, PermutesAxes) {
  // y points aft, z to the right, x up: even, no mirror.
  EXPECT_EQ(place(read_placement("m", "y z x", "0 0 0"), {1, 2, 3}), (base::Vec3{2, 3, 1}));
}

TEST(Placement, HasNoNegativeZero) {
  EXPECT_FALSE(std::signbit(place(read_placement("mm", "-x -y z", "0 0 0"), {0, 0, 0}).x));
}

void expect_refusal(
    const char* unit, const char* axes, const char* origin, const char* what, const char* rule) {
  EXPECT_THAT([&] { read_placement(unit, axes, origin); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr(what), HasSubstr(rule))));
}

TEST(Placement, RefusesWhatIsNoPlacementNamingOptionValueAndRule) {
  expect_refusal("yd", "x y z", "0 0 0", "--unit = \"yd\"", "must be one of mm, in, m, cm, ft");
  expect_refusal("mm", "x y", "0 0 0", "--axes = \"x y\"", "must be three");
  expect_refusal("mm", "x y w", "0 0 0", "\"w\"", "must be x, y or z");
  expect_refusal("mm", "x y x", "0 0 0", "--axes = \"x y x\"", "each of x, y and z must stand there once");
  expect_refusal("mm", "x -y z", "0 0 0", "mirror", "Turn one sign, as in \"x y z\"");
  expect_refusal("mm", "x y z", "0 0", "--origin = \"0 0\"", "must be three numbers");
  expect_refusal("mm", "x y z", "0 nan 0", "--origin = \"0 nan 0\"", "must be three numbers");
  expect_refusal("mm", "x y z", "0 0 5mm", "--origin = \"0 0 5mm\"", "without a unit");
}

}  // namespace
}  // namespace cowlwright::imported
