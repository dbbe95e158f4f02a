// SPDX-License-Identifier: GPL-3.0-or-later
//
// Window statistics and the status rule, on signals whose mean, band and drift are known.
#include "post/trust/window.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

namespace cowlwright::post {
namespace {

using testing::HasSubstr;

/// mean + amplitude * sin over whole periods of 20 samples.
std::vector<double> swing(double mean, double amplitude, int n_samples) {
  std::vector<double> values;
  for (int i = 0; i < n_samples; ++i) {
    values.push_back(mean + amplitude * std::sin(2.0 * std::numbers::pi * i / 20.0));
  }
  return values;
}

std::vector<double> iterations(int first, int last) {
  std::vector<double> values;
  for (int i = first; i <= last; ++i) {
    values.push_back(i);
  }
  return values;
}

JudgedQuantity judged(const std::string& name, const std::vector<double>& values) {
  return {name, window_statistics(values)};
}

// Sine sampled at its peaks (20 samples a period): half of peak-to-peak is the amplitude.
TEST(WindowStatistics, OfASwingAreItsMeanAndAmplitude) {
  const WindowStatistics statistics = window_statistics(swing(800.0, 24.0, 100));
  EXPECT_NEAR(statistics.mean, 800.0, 1e-9);      // rounding of 100 sums
  EXPECT_NEAR(statistics.half_band, 24.0, 1e-9);  // the samples hit both peaks
  EXPECT_NEAR(statistics.relative_half_band(), 0.03, 1e-9);
}

// 0, 1, ..., 9: halves have means 2 and 7.
TEST(WindowStatistics, DriftIsTheDifferenceOfTheHalves) {
  EXPECT_DOUBLE_EQ(window_statistics(iterations(0, 9)).drift, 5.0);
}

TEST(WindowStatistics, OfOneValueHaveNoBandAndNoDrift) {
  const WindowStatistics statistics = window_statistics(std::vector<double>{3.0});
  EXPECT_EQ(statistics.mean, 3.0);
  EXPECT_EQ(statistics.half_band, 0.0);
  EXPECT_EQ(statistics.drift, 0.0);
}

TEST(Window, HoldsExactlyTheLastIterations) {
  const Window window = last_window(iterations(1, 400), 100);
  EXPECT_TRUE(window.is_full);
  EXPECT_EQ(window.first, 300U);  // iteration 301
}

TEST(Window, IsFullWhenTheHistoryIsExactlyAsLong) {
  const Window window = last_window(iterations(1, 100), 100);
  EXPECT_TRUE(window.is_full);
  EXPECT_EQ(window.first, 0U);
}

TEST(Window, OfAShortHistoryIsItsSecondHalfAndNotFull) {
  const Window window = last_window(iterations(1, 60), 100);
  EXPECT_FALSE(window.is_full);
  EXPECT_EQ(window.first, 30U);
}

TEST(Window, OfTooFewSamplesIsNotFull) {
  const std::vector<double> every_twentieth{20, 40, 60, 80, 100, 120, 140, 160, 180, 200};
  EXPECT_FALSE(last_window(every_twentieth, 100).is_full);
}

TEST(Window, OfAnEmptyHistoryIsNotFull) {
  EXPECT_FALSE(last_window({}, 100).is_full);
}

TEST(Status, IsSettledWithinTheTolerance) {
  const std::vector quantities{judged("flow", swing(0.4, 0.002, 100)),
                               judged("pressure", swing(800, 7.9, 100))};
  const Judgement judgement = judge(quantities, true, 0.01);
  EXPECT_EQ(judgement.status, Status::Settled);
  EXPECT_THAT(judgement.reason, HasSubstr("0.99 % (pressure), limit 1.00 %"));
}

TEST(Status, IsOscillatingWhenOneBandIsWiderWithoutDrift) {
  const std::vector quantities{judged("flow", swing(0.4, 0.002, 100)),
                               judged("pressure", swing(800, 24, 100))};
  const Judgement judgement = judge(quantities, true, 0.01);
  EXPECT_EQ(judgement.status, Status::Oscillating);
  EXPECT_THAT(judgement.reason, HasSubstr("3.00 % (pressure)"));
}

// A ramp from 400 to 403.96 in 100 steps of 0.04: the band is 0.5 %, but the halves differ by 2, 0.498 % of
// the mean 401.98; the limit at a tolerance of 0.9 % is 0.45 %.
TEST(Status, IsNotSettledWhenAQuantityDriftsWithinItsBand) {
  std::vector<double> ramp;
  for (int i = 0; i < 100; ++i) {
    ramp.push_back(400.0 + 0.04 * i);
  }
  const std::vector quantities{judged("flow", swing(0.4, 0.0, 100)), judged("pressure", ramp)};
  const Judgement judgement = judge(quantities, true, 0.009);
  EXPECT_EQ(judgement.status, Status::NotSettled);
  EXPECT_THAT(judgement.reason, HasSubstr("pressure drifts by 0.50 % within the window: limit 0.45 %"));
}

// The same ramp alone has a half band of 0.49 % and a tolerance of 0.4 % makes it wider than that: still a
// drift, because a ramp drifts by its whole half band.
TEST(Status, IsNotOscillatingWhenTheBandIsARamp) {
  std::vector<double> ramp;
  for (int i = 0; i < 100; ++i) {
    ramp.push_back(400.0 + 0.04 * i);
  }
  EXPECT_EQ(judge(std::vector{judged("pressure", ramp)}, true, 0.004).status, Status::NotSettled);
}

// One period in the window: the halves lie on either side of the mean.
TEST(Status, IsNotOscillatingWhenTheSwingIsAsLongAsTheWindow) {
  EXPECT_EQ(judge(std::vector{judged("pressure", swing(800.0, 24.0, 20))}, true, 0.01).status,
            Status::NotSettled);
}

TEST(Status, IsNotSettledBeforeTheWindowIsFull) {
  const std::vector quantities{judged("flow", swing(0.4, 0.0, 40))};
  EXPECT_EQ(judge(quantities, false, 0.01).status, Status::NotSettled);
}

TEST(Status, IsNotSettledWithoutMonitors) {
  EXPECT_EQ(judge({}, true, 0.01).status, Status::NotSettled);
}

TEST(Status, IsFailedWhenAValueIsNotANumber) {
  std::vector<double> values = swing(0.4, 0.0, 100);
  values[70] = std::numeric_limits<double>::quiet_NaN();
  const std::vector quantities{judged("flow", swing(0.4, 0.0, 100)), judged("exit", values)};
  const Judgement judgement = judge(quantities, true, 0.01);
  EXPECT_EQ(judgement.status, Status::Failed);
  EXPECT_THAT(judgement.reason, HasSubstr("exit is not a finite number"));
}

// A mean of zero makes every relative band infinite: never settled.
TEST(Status, IsNotSettledAroundZero) {
  const std::vector quantities{judged("flow", std::vector<double>{-1, 1, -1, 1, -1, 1, -1, 1})};
  EXPECT_EQ(judge(quantities, true, 0.01).status, Status::NotSettled);
}

}  // namespace
}  // namespace cowlwright::post
