// SPDX-License-Identifier: GPL-3.0-or-later
//
// The oil cooler by hand, and what a reading of the oil does.
#include "cases/temperature/oil.h"

#include "geometry/base/air.h"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright;
using namespace cowlwright::temperature;

constexpr CoolerPoint point{6000.0, 0.15, 60.0};
constexpr OilCondition at_point{6000.0, 0.15, 300.0};

TEST(OilCooler, GivesBackItsStatedPoint) {
  EXPECT_NEAR(cooler_conductance(point, 0.15, cooler_exponent), 6000.0 / 60.0, 1e-9);
  const Estimate hot = oil_temperature(point, {}, at_point);
  EXPECT_FALSE(hot.value.has_value());  // no reading: a band only
  EXPECT_NEAR(0.5 * (hot.low + hot.high), 360.0, 1e-9);
  EXPECT_NEAR(hot.high - 360.0, oil_heat_half_band * 60.0, 1e-9);
}

TEST(OilCooler, TakesAllTheAirCanWhenTheTransferIsEndless) {
  const CoolerPoint nearly{0.999999 * greatest_heat(point), 0.15, 60.0};
  EXPECT_NEAR(cooler_conductance(nearly, 0.05, 1.0), base::air::specific_heat * 0.05, 1e-3);
}

TEST(OilCooler, LessAirMeansHotterOil) {
  const Estimate half = oil_temperature(point, {}, {6000.0, 0.075, 300.0});
  EXPECT_GT(0.5 * (half.low + half.high), 370.0);
}

TEST(OilCooler, MeetsItsReadingAndScalesWithTheHeat) {
  const std::vector<OilObservation> readings{{at_point, 350.0, 5.0}};
  const Estimate same = oil_temperature(point, readings, at_point);
  ASSERT_TRUE(same.value.has_value());
  EXPECT_NEAR(*same.value, 350.0, 1e-9);
  EXPECT_NEAR(same.high, 355.0, 1e-9);
  const Estimate less = oil_temperature(point, readings, {3000.0, 0.15, 300.0});
  EXPECT_NEAR(*less.value, 325.0, 1e-9);
}

TEST(OilCooler, OilBehindItIsCoolerByHeatOverHeatCapacity) {
  const Estimate hot{360.0, 350.0, 370.0};
  const Estimate cooled = cooled_oil_temperature(hot, at_point, 0.2);
  EXPECT_NEAR(*cooled.value, 360.0 - 6000.0 / (0.2 * 2100.0), 1e-9);
  EXPECT_GT(cooled.high - *cooled.value, 10.0);
}

}  // namespace
