// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a reading teaches, how wide the band is and how it grows, and what stands in for readings.
#include "cases/temperature/correlation.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright;
using namespace cowlwright::temperature;
using testing::AllOf;
using testing::HasSubstr;

constexpr CylinderCondition cruise{0.015, 1000.0, 290.0, 285.0};
const Correlation correlation = default_correlation(Site::HeadBottom);

Observation observed(std::size_t cylinder, double temperature, CylinderCondition condition = cruise) {
  return {"reading_1", cylinder, temperature, reading_half_band, {condition}};
}

Estimate at(const Calibration& calibration, const CylinderCondition& condition, std::size_t cylinder = 0) {
  return calibration.at(cylinder, std::vector{condition});
}

TEST(Calibration, GivesBackItsOwnReadingWithinTheReadingsBand) {
  const Calibration calibration(Site::HeadBottom, correlation, {observed(0, 420.0)});
  const Estimate estimate = at(calibration, cruise);
  ASSERT_TRUE(estimate.value.has_value());
  EXPECT_NEAR(*estimate.value, 420.0, 1e-9);
  // At the reading itself no exponent matters: what is left is the reading's band, on one side a little more,
  // because ln K has one half band for both.
  EXPECT_NEAR(estimate.high - 420.0, reading_half_band, 0.3);
  EXPECT_NEAR(420.0 - estimate.low, reading_half_band, 0.3);
}

TEST(Calibration, BandGrowsWithTheDistanceFromTheReading) {
  const Calibration calibration(Site::HeadBottom, correlation, {observed(0, 420.0)});
  double width = 0.0;
  for (const double factor : {1.0, 0.8, 0.6, 0.4}) {
    CylinderCondition condition = cruise;
    condition.cooling_pressure *= factor;
    const Estimate estimate = at(calibration, condition);
    EXPECT_GT(estimate.high - estimate.low, width) << factor;
    width = estimate.high - estimate.low;
  }
}

TEST(Calibration, LessFuelMoreAirAndColderAirAreCooler) {
  const Calibration calibration(Site::HeadBottom, correlation, {observed(0, 420.0)});
  EXPECT_LT(*at(calibration, {0.012, 1000.0, 290.0, 285.0}).value, 420.0);
  EXPECT_LT(*at(calibration, {0.015, 1200.0, 290.0, 285.0}).value, 420.0);
  EXPECT_LT(*at(calibration, {0.015, 1000.0, 280.0, 285.0}).value, 420.0);
}

TEST(Calibration, EveryCylinderHasItsOwnConstantAndTheOthersTheMean) {
  const Calibration calibration(Site::UnderPlug, correlation, {observed(0, 410.0), observed(1, 430.0)});
  EXPECT_NEAR(*at(calibration, cruise, 0).value, 410.0, 1e-9);
  EXPECT_NEAR(*at(calibration, cruise, 1).value, 430.0, 1e-9);
  const Estimate other = at(calibration, cruise, 2);
  EXPECT_NEAR(std::log(calibration.constant(2)),
              0.5 * (std::log(calibration.constant(0)) + std::log(calibration.constant(1))),
              1e-12);
  EXPECT_LT(other.low, 410.0);  // two cylinders say little of a third
  EXPECT_GT(other.high, 430.0);
  EXPECT_FALSE(calibration.has_reading_of(2));
}

TEST(Calibration, OneReadingOfOneCylinderLeavesTheOthersAWiderBand) {
  const Calibration calibration(Site::HeadBottom, correlation, {observed(0, 420.0)});
  const Estimate own = at(calibration, cruise, 0);
  const Estimate other = at(calibration, cruise, 3);
  EXPECT_NEAR(*other.value, 420.0, 1e-9);
  EXPECT_GT(other.high, own.high + 5.0);
}

TEST(Calibration, SeveralReadingsThatDisagreeWidenTheBandByStudentsFactor) {
  std::vector<Observation> observations{observed(0, 415.0), observed(0, 425.0)};
  for (Observation& o : observations) o.half_band = 0.0;
  const Calibration calibration(Site::HeadBottom, correlation, observations);
  const Numbers n = numbers(correlation);
  const double one = log_constant(n, cruise, 415.0);
  const double two = log_constant(n, cruise, 425.0);
  // Two values: deviation |a - b| / sqrt 2, Student's factor for one degree of freedom 12.706 (tables), and
  // sqrt(1 + 1/2) for a value still to come.
  EXPECT_NEAR(calibration.scatter(), 12.706 * std::abs(two - one) / std::sqrt(2.0) * std::sqrt(1.5), 1e-4);
  EXPECT_NEAR(std::log(calibration.constant(0)), 0.5 * (one + two), 1e-12);
  const Estimate estimate = at(calibration, cruise);
  // 0.01 K: another gas temperature moves the mean of two logarithms a little.
  EXPECT_NEAR(
      estimate.high, site_temperature(n, cruise, 0.5 * (one + two) + calibration.scatter()), 0.01);
}

TEST(Calibration, NetworkCoefficientsThatAreOffAlikeAtReadingAndPointCancel) {
  CylinderCondition less = cruise;
  less.cooling_pressure *= 0.8;
  Observation observation = observed(0, 420.0);
  observation.condition.push_back(less);
  observation.half_band = 0.0;
  const Calibration calibration(Site::HeadBottom, correlation, {observation});
  const Estimate same = calibration.at(0, std::vector{cruise, less});
  EXPECT_NEAR(same.high, 420.0, 1e-9);
  const Estimate apart = calibration.at(0, std::vector{cruise, cruise});
  EXPECT_GT(apart.high, 421.0);
}

TEST(Calibration, RefusesATemperatureAtOrBelowTheAirsNamingReadingSiteAndBounds) {
  EXPECT_THAT([] { Calibration(Site::UnderPlug, correlation, {observed(0, 292.0)}); },
              testing::ThrowsMessage<base::InputError>(AllOf(HasSubstr("[reading_1] under_plug"),
                                                             HasSubstr("18.85 degC"),
                                                             HasSubstr("cooling air (16.85 degC)"),
                                                             HasSubstr("Check the reading"))));
  EXPECT_THROW(Calibration(Site::UnderPlug, correlation, {observed(0, NAN)}), base::InputError);
}

TEST(RequiredPoint, GivesABandAndNoValue) {
  const Calibration calibration(Site::HeadBottom, correlation, cruise, 500.0);
  EXPECT_FALSE(calibration.rests_on_readings());
  const Estimate estimate = at(calibration, cruise);
  EXPECT_FALSE(estimate.value.has_value());
  // At the point itself: from the reserve below the limit up to the limit.
  EXPECT_NEAR(estimate.high, 500.0, 1e-6);
  EXPECT_NEAR(estimate.low, 500.0 - required_point_reserve, 1e-6);
  EXPECT_THAT(calibration.origin(), AllOf(HasSubstr("no readings"), HasSubstr("chosen, no source")));
}

TEST(RequiredPoint, RefusesALimitBesideTheAirOrTheGas) {
  EXPECT_THAT([] { Calibration(Site::Barrel, default_correlation(Site::Barrel), cruise, 345.0); },
              testing::ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("[limits] barrel"), HasSubstr("71.85 degC"), HasSubstr("60 K above"))));
  EXPECT_THROW(Calibration(Site::Barrel, default_correlation(Site::Barrel), cruise, 580.0), base::InputError);
}

}  // namespace
