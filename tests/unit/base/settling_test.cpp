// SPDX-License-Identifier: GPL-3.0-or-later
//
// The averaging window and the status rule, on histories whose mean, band, period and drift are known.
#include "geometry/base/settling.h"

#include "tests/support/synthetic_series.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

namespace cowlwright::base {
namespace {

using namespace cowlwright::testing_support;
using testing::AllOf;
using testing::HasSubstr;
using testing::IsEmpty;

Settling assess_all(const std::vector<Series>& series, int window, double tolerance) {
  const int n = static_cast<int>(series.front().values.size());
  return assess(iterations(1, n), series, {window, tolerance});
}

AveragingWindow window_of(const std::vector<double>& iteration, int length) {
  return averaging_window(iteration, {}, {length, 0.01});
}

TEST(AveragingWindow, HoldsExactlyTheLastIterations) {
  const AveragingWindow window = window_of(iterations(1, 400), 100);
  EXPECT_TRUE(window.is_full);
  EXPECT_EQ(window.first, 300U);  // iteration 301
}

TEST(AveragingWindow, IsFullWhenTheHistoryIsExactlyAsLong) {
  const AveragingWindow window = window_of(iterations(1, 100), 100);
  EXPECT_TRUE(window.is_full);
  EXPECT_EQ(window.first, 0U);
}

TEST(AveragingWindow, OfAShortHistoryIsItsSecondHalfAndNotFull) {
  const AveragingWindow window = window_of(iterations(1, 60), 100);
  EXPECT_FALSE(window.is_full);
  EXPECT_EQ(window.first, 30U);
}

TEST(AveragingWindow, OfTooFewSamplesIsNotFull) {
  EXPECT_FALSE(window_of({20, 40, 60, 80, 100, 120, 140, 160, 180, 200}, 100).is_full);
}

TEST(AveragingWindow, OfAnEmptyHistoryIsNotFull) {
  EXPECT_FALSE(window_of({}, 100).is_full);
}

// Period 50 in a window of 110: two periods are nearest.
TEST(AveragingWindow, IsTheNearestWholeNumberOfPeriods) {
  const Settling settling = assess_all({{"flow", swing(0.4, 0.01, 600, 50.0)}}, 110, 0.01);
  EXPECT_EQ(settling.window.n_periods, 2);
  EXPECT_NEAR(settling.window.period, 50.0, 0.5);
  EXPECT_NEAR(static_cast<double>(settling.window.first), 500.0, 1.0);
  EXPECT_EQ(settling.window.swinging, "flow");
}

// A swing as long as the window: two periods are taken, because the history behind the transient holds them.
TEST(AveragingWindow, GrowsToTwoPeriodsOfASlowSwing) {
  const Settling settling = assess_all({{"flow", swing(0.4, 0.001, 600, 140.0)}}, 150, 0.01);
  EXPECT_EQ(settling.window.n_periods, 2);
  EXPECT_NEAR(static_cast<double>(settling.window.first), 320.0, 4.0);  // period to 1 %, twice
  EXPECT_EQ(settling.judgement.status, Status::Settled);
}

TEST(AveragingWindow, TakesThePeriodOfWhatSwingsMost) {
  const Settling settling = assess_all(
      {{"flow", swing(0.4, 0.002, 600, 30.0)}, {"pressure", swing(800.0, 24.0, 600, 50.0)}}, 150, 0.01);
  EXPECT_EQ(settling.window.swinging, "pressure");
  EXPECT_EQ(settling.window.n_periods, 3);
}

TEST(AveragingWindow, CountsIterationsNotSamples) {
  std::vector<double> every_second;
  for (int i = 2; i <= 800; i += 2) every_second.push_back(i);
  const std::vector<Series> series{{"flow", swing(0.4, 0.01, 400, 25.0)}};
  const AveragingWindow window = averaging_window(every_second, series, {150, 0.01});
  EXPECT_NEAR(window.period, 50.0, 0.5);
  EXPECT_EQ(window.n_periods, 3);
  EXPECT_NEAR(static_cast<double>(window.first), 325.0, 1.0);
}

// 1000 + 400 exp(-i/40) + 20 sin(2 pi i/50): at iteration 350 the decay is down to 0.06. Mean 1000, half band
// 20, 2 %.
TEST(Settling, OfADecayWithASwingGivesMeanBandAndPeriod) {
  const Settling settling =
      assess_all({{"pressure", with_decay(swing(1000.0, 20.0, 500, 50.0), 400.0, 40.0)}}, 150, 0.01);
  EXPECT_TRUE(settling.window.transient_is_over);
  EXPECT_GE(settling.window.transient_end, 80.0);   // the decay is 54 there, more than twice the swing
  EXPECT_LE(settling.window.transient_end, 250.0);  // and 0.8 here
  EXPECT_NEAR(settling.window.period, 50.0, 0.5);
  EXPECT_EQ(settling.window.n_periods, 3);
  ASSERT_EQ(settling.quantities.size(), 1U);
  EXPECT_NEAR(settling.quantities[0].statistics.mean, 1000.0, 0.3);  // a sample too many: 20 / 150
  EXPECT_NEAR(settling.quantities[0].statistics.half_band, 20.0, 0.1);
  EXPECT_EQ(settling.judgement.status, Status::Oscillating);
}

// The error of a mean over 3.75 periods of amplitude 24 is up to 24 sqrt(2) / (2 pi 3.75) = 1.4; over whole
// periods only the rounding to whole samples is left.
TEST(Settling, MeanOverWholePeriodsBeatsTheFixedWindow) {
  double worst_fixed = 0.0;
  double worst_whole = 0.0;
  for (int phase = 0; phase < 40; ++phase) {
    const std::vector<double> values = swing(800.0, 24.0, 600, 40.0, phase);
    const double fixed = series_statistics(std::span(values).last(150)).mean;
    const double whole = assess_all({{"pressure", values}}, 150, 0.01).quantities.at(0).statistics.mean;
    worst_fixed = std::max(worst_fixed, std::abs(fixed - 800.0));
    worst_whole = std::max(worst_whole, std::abs(whole - 800.0));
  }
  EXPECT_GT(worst_fixed, 1.0);
  EXPECT_LT(worst_whole, 0.1 * worst_fixed);
}

TEST(Status, IsSettledWithinTheTolerance) {
  const Settling settling =
      assess_all({{"flow", swing(0.4, 0.002, 400)}, {"pressure", swing(800, 7.9, 400)}}, 100, 0.01);
  EXPECT_EQ(settling.judgement.status, Status::Settled);
  EXPECT_THAT(settling.judgement.reason, HasSubstr("0.99 % (pressure), limit 1.00 %"));
}

TEST(Status, IsOscillatingWhenOneBandIsWiderWithoutDrift) {
  const Settling settling =
      assess_all({{"flow", swing(0.4, 0.002, 400)}, {"pressure", swing(800, 24, 400)}}, 100, 0.01);
  EXPECT_EQ(settling.judgement.status, Status::Oscillating);
  EXPECT_THAT(settling.judgement.reason, HasSubstr("3.00 % (pressure)"));
}

// A history that rises through its last 150 iterations only, by 0.04 each: last 100 from 402 to 405.96. Their
// halves differ by 2, 0.495 % of the mean 403.98; the limit at a tolerance of 0.9 % is 0.45 %.
TEST(Status, IsNotSettledWhenAQuantityDriftsWithinItsBand) {
  std::vector<double> pressure(450, 400.0);
  const std::vector<double> rise = ramp(400.0, 0.04, 150);
  pressure.insert(pressure.end(), rise.begin(), rise.end());
  const Settling settling =
      assess_all({{"flow", std::vector<double>(600, 0.4)}, {"pressure", pressure}}, 100, 0.009);
  EXPECT_EQ(settling.judgement.status, Status::NotSettled);
  EXPECT_THAT(settling.judgement.reason,
              HasSubstr("pressure drifts by 0.50 % within the window: limit 0.45 %"));
}

// A ramp is never a swing, whatever its band.
TEST(Status, IsNotSettledOnARamp) {
  for (const double step : {0.04, 0.4, 4.0}) {
    EXPECT_EQ(assess_all({{"pressure", ramp(400.0, step, 400)}}, 100, 0.004).judgement.status,
              Status::NotSettled)
        << step;
  }
}

TEST(Status, IsNotSettledBeforeTheTransientIsOverAndNamesItsQuantity) {
  const Settling settling = assess_all(
      {{"flow", std::vector<double>(400, 0.4)}, {"pressure", with_decay(swing(800, 1, 400), 400.0, 100.0)}},
      100,
      0.01);
  EXPECT_EQ(settling.judgement.status, Status::NotSettled);
  EXPECT_THAT(settling.judgement.reason, AllOf(HasSubstr("transient of pressure"), HasSubstr("MSER-5")));
}

// A late step is over as soon as a whole window lies behind it, and not before.
TEST(Status, IsSettledOnceAWindowLiesBehindTheTransient) {
  std::vector<double> values(400, 5.0);
  std::fill_n(values.begin(), 280, 9.0);
  EXPECT_EQ(assess_all({{"flow", values}}, 100, 0.01).judgement.status, Status::Settled);
  std::fill_n(values.begin(), 340, 9.0);
  EXPECT_EQ(assess_all({{"flow", values}}, 100, 0.01).judgement.status, Status::NotSettled);
}

TEST(Status, IsNotSettledWhenTheTransientEndsInsideTheWindow) {
  std::vector<double> values(150, 5.0);
  std::fill_n(values.begin(), 60, 9.0);
  const Settling settling = assess_all({{"flow", values}}, 100, 0.01);
  EXPECT_FALSE(settling.window.transient_is_over);
  EXPECT_EQ(settling.judgement.status, Status::NotSettled);
}

// One crest of a swing of 600 iterations and 2 %: the last 150 stay within 0.3 % and do not drift.
TEST(Status, IsNotSettledOnTheCrestOfASlowSwing) {
  EXPECT_EQ(assess_all({{"flow", swing(0.4, 0.008, 525, 600.0, 225.0)}}, 150, 0.005).judgement.status,
            Status::NotSettled);
}

// Up to two windows long, a swing of twice the tolerance is never taken for rest, wherever the history ends.
// Longer ones can be, at their crests: the limit that the header states.
TEST(Status, IsNeverSettledOnASwingOfTwoWindows) {
  for (const double period : {100.0, 200.0, 300.0}) {
    for (int n = 200; n <= 800; n += 23) {
      const Settling settling = assess_all({{"flow", swing(0.4, 0.008, n, period)}}, 150, 0.01);
      EXPECT_NE(settling.judgement.status, Status::Settled) << period << " " << n;
    }
  }
}

TEST(Status, IsSettledByAPureDecayThatHasComeToItsEnd) {
  const Settling settling =
      assess_all({{"flow", with_decay(std::vector<double>(600, 0.4), 0.4, 40.0)}}, 150, 0.01);
  EXPECT_EQ(settling.judgement.status, Status::Settled) << settling.judgement.reason;
}

TEST(Status, IsNotSettledBeforeTheWindowIsFull) {
  const Settling settling = assess_all({{"flow", swing(0.4, 0.0, 40)}}, 100, 0.01);
  EXPECT_EQ(settling.judgement.status, Status::NotSettled);
  EXPECT_THAT(settling.judgement.reason, HasSubstr("fewer iterations than the window"));
}

TEST(Status, IsNotSettledOnAFewIterationsAndGivesNoMean) {
  const Settling settling = assess_all({{"flow", {0.4, 0.4, 0.4}}}, 100, 0.01);
  EXPECT_EQ(settling.judgement.status, Status::NotSettled);
  EXPECT_THAT(settling.judgement.reason, HasSubstr("3 iterations only"));
  EXPECT_THAT(settling.quantities, IsEmpty());
}

TEST(Status, IsNotSettledWithoutMonitors) {
  EXPECT_EQ(assess({}, {}, {100, 0.01}).judgement.status, Status::NotSettled);
}

TEST(Status, IsFailedWhenAnyValueIsNotANumber) {
  std::vector<double> values = swing(0.4, 0.0, 400);
  values[70] = std::numeric_limits<double>::quiet_NaN();
  const Settling settling = assess_all({{"flow", swing(0.4, 0.0, 400)}, {"exit", values}}, 100, 0.01);
  EXPECT_EQ(settling.judgement.status, Status::Failed);
  EXPECT_THAT(settling.judgement.reason, HasSubstr("exit is not a finite number at iteration 71"));
  EXPECT_THAT(settling.quantities, IsEmpty());
}

// A swing of a quarter of the mean has no drift, but a mean of it is no result.
TEST(Status, IsNotSettledWhenTheSwingIsWild) {
  const Settling settling = assess_all({{"flow", swing(0.4, 0.1, 400)}}, 100, 0.01);
  EXPECT_EQ(settling.judgement.status, Status::NotSettled);
  EXPECT_THAT(settling.judgement.reason, HasSubstr("swings by 25 %"));
}

// A mean of zero makes every relative band infinite: never settled.
TEST(Status, IsNotSettledAroundZero) {
  EXPECT_EQ(assess_all({{"flow", swing(0.0, 1.0, 400)}}, 100, 0.01).judgement.status, Status::NotSettled);
}

}  // namespace
}  // namespace cowlwright::base
