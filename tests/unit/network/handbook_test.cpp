// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/network/handbook.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace cowlwright::network {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr double degree = std::numbers::pi / 180.0;

TEST(EntranceLoss, IsTheHandbooksBetweenTwoRowsAndFlatBeyondTheLast) {
  EXPECT_NEAR(flush_entrance_loss(0.055), 0.21, 1e-12);  // half way between 0.22 and 0.20
  EXPECT_NEAR(proud_entrance_loss(0.14), 0.08, 1e-12);   // half way between 0.10 and 0.06
  EXPECT_DOUBLE_EQ(flush_entrance_loss(0.7), 0.03);
}

TEST(EntranceLoss, FallsWithTheRadiusAndIsLargerStandingFreeThanFlush) {
  for (double ratio = 0.0; ratio < 0.15; ratio += 0.005) {
    EXPECT_GT(proud_entrance_loss(ratio), proud_entrance_loss(ratio + 0.005));
    EXPECT_GT(flush_entrance_loss(ratio), flush_entrance_loss(ratio + 0.005));
    EXPECT_GT(proud_entrance_loss(ratio), flush_entrance_loss(ratio));
  }
}

TEST(EntranceLoss, RefusesANegativeRadiusAndNoNumber) {
  EXPECT_THAT([] { flush_entrance_loss(-0.1); },
              ThrowsMessage<base::InputError>(HasSubstr("lip radius over diameter = -0.1: must be >= 0")));
  EXPECT_THROW(proud_entrance_loss(std::numeric_limits<double>::quiet_NaN()), base::InputError);
}

TEST(DiffuserLoss, IsTheHandbooksAtItsEntries) {
  EXPECT_NEAR(diffuser_loss(10.0 * degree, 0.0), 0.15, 1e-12);
  EXPECT_NEAR(diffuser_loss(20.0 * degree, 0.4), 0.13, 1e-12);
  EXPECT_NEAR(diffuser_loss(60.0 * degree, 0.6), 0.18, 1e-12);
}

TEST(DiffuserLoss, RefusesAnglesAndRatiosThatAreNone) {
  EXPECT_THAT([] { diffuser_loss(0.0, 0.5); },
              ThrowsMessage<base::InputError>(HasSubstr("full angle = 0 deg")));
  EXPECT_THAT([] { diffuser_loss(0.1, 1.5); },
              ThrowsMessage<base::InputError>(HasSubstr("inlet over outlet area = 1.5")));
}

}  // namespace
}  // namespace cowlwright::network
