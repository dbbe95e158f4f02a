// SPDX-License-Identifier: GPL-3.0-or-later
//
// Statistics of histories whose answers are known.
#include "geometry/base/series.h"

#include "tests/support/synthetic_series.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace cowlwright::base {
namespace {

using namespace cowlwright::testing_support;

constexpr std::size_t keep = 100;  // samples that the cuts of these tests must leave

TEST(Transient, OfAConstantIsOverAtOnce) {
  const Transient transient = find_transient(std::vector<double>(400, 3.7), keep, 0.0);
  EXPECT_TRUE(transient.is_over);
  EXPECT_EQ(transient.end, 0U);
}

// White noise has none: the rule may cut a few batches off by chance, not a quarter.
TEST(Transient, OfWhiteNoiseIsShort) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const Transient transient = find_transient(autoregressive(0.0, 1000, seed), keep, 0.0);
    EXPECT_TRUE(transient.is_over) << seed;
    EXPECT_LE(transient.end, 250U) << seed;
  }
}

// A step at sample 120 of 400, a multiple of the batch: everything before it is cut, nothing after.
TEST(Transient, OfAStepEndsAtTheStep) {
  std::vector<double> values(400, 5.0);
  std::fill_n(values.begin(), 120, 9.0);
  const Transient transient = find_transient(values, keep, 0.0);
  EXPECT_TRUE(transient.is_over);
  EXPECT_EQ(transient.end, 120U);
}

// The same with three samples more at the start, which fill no batch: cut at the step all the same.
TEST(Transient, LeavesIncompleteBatchesOutAtTheStart) {
  std::vector<double> values(403, 5.0);
  std::fill_n(values.begin(), 123, 9.0);
  EXPECT_EQ(find_transient(values, keep, 0.0).end, 123U);
}

// Late is no fault as long as what must remain remains.
TEST(Transient, OfALateStepEndsThere) {
  std::vector<double> values(400, 5.0);
  std::fill_n(values.begin(), 260, 9.0);
  const Transient transient = find_transient(values, keep, 0.0);
  EXPECT_TRUE(transient.is_over);
  EXPECT_EQ(transient.end, 260U);
}

TEST(Transient, OfARampIsNeverOver) {
  EXPECT_FALSE(find_transient(ramp(100.0, 0.1, 400), keep, 0.0).is_over);
}

// Squares of the rest fall as exp(-2i/40), those of the noise stay: the cut comes where the decay has come
// down to the noise, 40 ln(50) = 156 samples for 50 to 1, and never before it is 5 times the noise, 92
// samples.
TEST(Transient, OfADecayIntoNoiseEndsWhereTheNoiseTakesOver) {
  for (unsigned seed = 1; seed <= 10; ++seed) {
    const Transient transient =
        find_transient(with_decay(autoregressive(0.0, 600, seed), 50.0, 40.0), keep, 0.0);
    EXPECT_TRUE(transient.is_over) << seed;
    EXPECT_GE(transient.end, 92U) << seed;
    EXPECT_LE(transient.end, 220U) << seed;
  }
}

// Without noise a decay is never over; what nobody minds ends it.
TEST(Transient, OfAPureDecayEndsAtTheResolution) {
  const std::vector<double> decay = with_decay(std::vector<double>(600, 1000.0), 500.0, 40.0);
  EXPECT_FALSE(find_transient(decay, keep, 0.0).is_over);
  const Transient transient = find_transient(decay, keep, 1.0);
  EXPECT_TRUE(transient.is_over);
  EXPECT_LE(500.0 * std::exp(-static_cast<double>(transient.end) / 40.0), 25.0);  // down to 5 %
}

// Cut only where a whole window remains: the crest of a slow swing is no rest.
TEST(Transient, OfASwingIsNotSeenInItsCrests) {
  for (int phase = 0; phase < 100; phase += 7) {
    const Transient transient = find_transient(swing(800.0, 20.0, 500, 100.0, phase), keep, 0.0);
    EXPECT_TRUE(transient.is_over) << phase;
    EXPECT_LE(transient.end, 100U) << phase;
  }
}

TEST(Transient, OfTooFewSamplesIsUnknown) {
  EXPECT_FALSE(find_transient(std::vector<double>(24, 1.0), 10, 0.0).is_over);    // fewer than 5 batches
  EXPECT_FALSE(find_transient(std::vector<double>(80, 1.0), keep, 0.0).is_over);  // fewer than to keep
  EXPECT_FALSE(find_transient({}, 0, 0.0).is_over);
}

// The parabola through the crest's neighbours is good to a few hundredths of a sample.
TEST(DominantPeriod, OfASwingIsFoundBetweenSamples) {
  for (const double period : {12.0, 37.5, 50.0, 73.3}) {
    const auto found = dominant_period(swing(800.0, 5.0, 300, period, 3.0));
    ASSERT_TRUE(found.has_value()) << period;
    EXPECT_NEAR(*found, period, 0.02 * period);
  }
}

TEST(DominantPeriod, IsTheShortestOneNotAMultiple) {
  EXPECT_NEAR(dominant_period(swing(0.0, 1.0, 1000, 25.0)).value_or(0.0), 25.0, 0.1);
}

TEST(DominantPeriod, IsSeenThroughATrendNoiseAndDecay) {
  std::vector<double> values = with_decay(swing(800.0, 5.0, 300, 50.0), 3.0, 100.0);
  const std::vector<double> noise = autoregressive(0.0, 300, 1);
  for (std::size_t i = 0; i < values.size(); ++i) {
    values[i] += 0.05 * static_cast<double>(i) + noise[i];
  }
  EXPECT_NEAR(dominant_period(values).value_or(0.0), 50.0, 2.0);  // noise moves the crest by a sample or two
}

TEST(DominantPeriod, OfNoiseRampStepOrConstantIsNone) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    EXPECT_FALSE(dominant_period(autoregressive(0.0, 300, seed))) << seed;
  }
  EXPECT_FALSE(dominant_period(ramp(10.0, 0.3, 300)));
  std::vector<double> step(300, 1.0);
  std::fill_n(step.begin(), 150, 2.0);
  EXPECT_FALSE(dominant_period(step));
  EXPECT_FALSE(dominant_period(std::vector<double>(300, 0.1)));
  EXPECT_FALSE(dominant_period(std::vector<double>(5, 0.1)));
}

TEST(DominantPeriod, NeedsTwoPeriods) {
  EXPECT_FALSE(dominant_period(swing(800.0, 5.0, 150, 100.0)));
}

// Sine sampled at its peaks (20 samples a period): half of peak-to-peak is the amplitude.
TEST(SeriesStatistics, OfASwingAreItsMeanAndAmplitude) {
  const SeriesStatistics statistics = series_statistics(swing(800.0, 24.0, 100), 5);
  EXPECT_NEAR(statistics.mean, 800.0, 1e-9);      // rounding of 100 sums
  EXPECT_NEAR(statistics.half_band, 24.0, 1e-9);  // the samples hit both peaks
  EXPECT_NEAR(statistics.relative_half_band(), 0.03, 1e-9);
  EXPECT_NEAR(statistics.drift, 0.0, 1e-9);
}

// 0, 1, ..., 9: halves have means 2 and 7.
TEST(SeriesStatistics, DriftIsTheDifferenceOfTheHalves) {
  EXPECT_DOUBLE_EQ(series_statistics(iterations(0, 9)).drift, 5.0);
}

// The same measure over whole periods: a slope of 0.2 over 60 samples is 6 between the halves, however many
// periods there are, and a swing on top adds nothing.
TEST(SeriesStatistics, DriftOverWholePeriodsIsThatOfTheTrend) {
  for (const int n_periods : {2, 3, 4}) {
    std::vector<double> values = swing(0.0, 10.0, 60, 60.0 / n_periods);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] += 0.2 * static_cast<double>(i);
    EXPECT_NEAR(series_statistics(values, n_periods).drift, 6.0, 1e-9) << n_periods;
  }
}

TEST(SeriesStatistics, OfOneValueHaveNoBandAndNoDrift) {
  const SeriesStatistics statistics = series_statistics(std::vector<double>{3.0});
  EXPECT_EQ(statistics.mean, 3.0);
  EXPECT_EQ(statistics.half_band, 0.0);
  EXPECT_EQ(statistics.drift, 0.0);
}

TEST(SeriesStatistics, OfAConstantAreExact) {
  const SeriesStatistics statistics = series_statistics(std::vector<double>(150, 0.37));
  EXPECT_NEAR(statistics.mean, 0.37, 1e-14);  // rounding of 150 sums
  EXPECT_EQ(statistics.half_band, 0.0);
  EXPECT_EQ(statistics.standard_error, 0.0);
  EXPECT_EQ(statistics.effective_samples, 150.0);
}

// First-order autoregression: 1 + 2 sum a^k = (1 + a)/(1 - a). Sampling error of the estimate over 50,000
// samples: about tau sqrt(8 tau / n) [Madras and Sokal 1988 for a sum cut at 4 tau], 2 % of 3 and 6 % of 19;
// three times that is allowed.
TEST(SeriesStatistics, AutocorrelationTimeOfAutoregressiveNoiseIsKnown) {
  for (const double a : {0.0, 0.5, 0.9}) {
    const double expected = (1.0 + a) / (1.0 - a);
    const SeriesStatistics statistics = series_statistics(autoregressive(a, 50000, 7));
    const double allowed = 3.0 * expected * std::sqrt(8.0 * expected / 50000.0);
    EXPECT_NEAR(statistics.autocorrelation_time, expected, allowed) << a;
    EXPECT_DOUBLE_EQ(statistics.effective_samples, 50000.0 / statistics.autocorrelation_time);
  }
}

// The standard error is what the mean scatters by: the rms of 400 means of known expectation 0 against the
// rms of their standard errors. 400 means give their rms to 1/sqrt(800) = 3.5 %; short windows of 20
// autocorrelation times see too little of the slow part and say some 5 to 10 % too little [bias of order
// tau/n].
TEST(SeriesStatistics, StandardErrorIsTheScatterOfTheMean) {
  double means = 0.0;
  double errors = 0.0;
  for (unsigned seed = 1; seed <= 400; ++seed) {
    const SeriesStatistics statistics = series_statistics(autoregressive(0.8, 180, seed));
    means += statistics.mean * statistics.mean;
    errors += statistics.standard_error * statistics.standard_error;
  }
  EXPECT_NEAR(std::sqrt(errors / means), 0.95, 0.12);
}

// A thousand samples of one slow swing are few samples: k periods count as pi k.
TEST(SeriesStatistics, ASwingIsWorthAFewSamplesPerPeriod) {
  EXPECT_NEAR(series_statistics(swing(800.0, 24.0, 1000, 100.0), 10).effective_samples,
              10.0 * std::numbers::pi,
              3.0);  // the sum over lags is the integral to a lag or two of 100
}

TEST(SeriesStatistics, EffectiveSamplesNeverExceedTheSamples) {
  EXPECT_EQ(series_statistics(std::vector<double>{-1, 1, -1, 1, -1, 1, -1, 1}).effective_samples, 8.0);
}

}  // namespace
}  // namespace cowlwright::base
