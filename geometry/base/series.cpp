// SPDX-License-Identifier: GPL-3.0-or-later
//
// Transient, period, mean and effective samples of a history.
#include "geometry/base/series.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <vector>

namespace cowlwright::base {

namespace {

constexpr double deepest_trough = -0.25;  // autocorrelation below which a history swings
constexpr double lowest_crest = 0.5;      // and what it comes back to
constexpr double near_highest = 0.9;  // crests this near to the highest count as equal: the first is taken
constexpr std::size_t fewest_for_period = 16;
constexpr double rounding = 1e-12;  // relative; below it a swing is made of last digits

double mean_of(std::span<const double> values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

/// Means of the batches, oldest first; the newest batch ends with the newest sample.
std::vector<double> batch_means(std::span<const double> values) {
  std::vector<double> means;
  for (std::size_t i = values.size() % batch_size; i < values.size(); i += batch_size) {
    means.push_back(mean_of(values.subspan(i, batch_size)));
  }
  return means;
}

/// Values less the straight line of least squares.
std::vector<double> without_trend(std::span<const double> values) {
  const double n = static_cast<double>(values.size());
  const double middle = 0.5 * (n - 1.0);
  const double mean = mean_of(values);
  double covariance = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    covariance += (static_cast<double>(i) - middle) * (values[i] - mean);
  }
  const double slope = covariance / (n * (n * n - 1.0) / 12.0);
  std::vector<double> rest;
  for (std::size_t i = 0; i < values.size(); ++i) {
    rest.push_back(values[i] - mean - slope * (static_cast<double>(i) - middle));
  }
  return rest;
}

/// Correlation of a history with itself `lag` later, each end by its own size so that a swing that dies away
/// still correlates.
double correlation_at(const std::vector<double>& x, std::size_t lag) {
  double product = 0.0;
  double early = 0.0;
  double late = 0.0;
  for (std::size_t i = 0; i + lag < x.size(); ++i) {
    product += x[i] * x[i + lag];
    early += x[i] * x[i];
    late += x[i + lag] * x[i + lag];
  }
  const double scale = std::sqrt(early * late);
  return scale > 0.0 ? product / scale : 0.0;
}

/// Lag of the top of the parabola through three neighbours.
double refined_crest(const std::vector<double>& correlation, std::size_t lag) {
  const double before = correlation[lag - 1];
  const double after = correlation[lag + 1];
  const double curvature = before - 2.0 * correlation[lag] + after;
  const double shift = curvature < 0.0 ? 0.5 * (before - after) / curvature : 0.0;
  return static_cast<double>(lag) + shift;
}

/// Integrated autocorrelation time over the initial positive sequence: sums of neighbouring autocovariances,
/// starting at lags 0 and 1, as long as they are positive.
double autocorrelation_time(std::span<const double> values, double mean) {
  const auto covariance = [&](std::size_t lag) {
    double sum = 0.0;
    for (std::size_t i = 0; i + lag < values.size(); ++i) {
      sum += (values[i] - mean) * (values[i + lag] - mean);
    }
    return sum;
  };
  const double variance = covariance(0);
  if (!(variance > 0.0)) {
    return 1.0;
  }
  double time = -1.0;
  for (std::size_t lag = 0; lag + 1 < values.size(); lag += 2) {
    const double pair = (lag == 0 ? variance : covariance(lag)) + covariance(lag + 1);
    if (!(pair > 0.0)) {
      break;
    }
    time += 2.0 * pair / variance;
  }
  return time;
}

/// Mean of the second half less that of the first; of whole periods when there are two or more.
double drift_of(std::span<const double> values, int n_periods) {
  const std::size_t n = values.size();
  if (n_periods < 2) {
    return n < 2 ? 0.0 : mean_of(values.last(n / 2)) - mean_of(values.first(n / 2));
  }
  const double periods = n_periods;
  const double part = std::floor(0.5 * periods);
  const auto length = std::clamp(
      static_cast<std::size_t>(std::lround(part / periods * static_cast<double>(n))), std::size_t{1}, n);
  const double difference = mean_of(values.last(length)) - mean_of(values.first(length));
  return difference * 0.5 * periods / (periods - part);
}

}  // namespace

Transient find_transient(std::span<const double> values, std::size_t keep, double resolution) {
  const std::vector<double> batches = batch_means(values);
  const std::size_t kept = std::max(fewest_batches, (keep + batch_size - 1) / batch_size);
  if (batches.size() < kept) {
    return {.end = 0, .is_over = false};
  }
  const std::size_t last_cut = batches.size() - kept;
  double mean = 0.0;
  double squares = 0.0;  // of the deviations of the batches from `cut` on
  double least = std::numeric_limits<double>::infinity();
  std::size_t best = last_cut;
  for (std::size_t cut = batches.size(); cut-- > 0;) {
    const double count = static_cast<double>(batches.size() - cut);
    const double step = batches[cut] - mean;
    mean += step / count;
    squares += step * (batches[cut] - mean);
    const double error = (squares + count * resolution * resolution) / (count * count);
    if (cut <= last_cut && error <= least) {
      least = error;
      best = cut;
    }
  }
  const std::size_t end = best == 0 ? 0 : values.size() % batch_size + best * batch_size;
  const bool is_at_edge = best == last_cut && best > 0;
  return {.end = end, .is_over = !is_at_edge};
}

std::optional<double> dominant_period(std::span<const double> values) {
  if (values.size() < fewest_for_period) {
    return std::nullopt;
  }
  const std::vector<double> rest = without_trend(values);
  const auto [low, high] = std::minmax_element(rest.begin(), rest.end());
  if (!(*high - *low > rounding * std::abs(mean_of(values)))) {
    return std::nullopt;
  }
  std::vector<double> correlation;
  for (std::size_t lag = 0; lag <= rest.size() / 2; ++lag) {
    correlation.push_back(correlation_at(rest, lag));
  }
  const auto trough =
      std::find_if(correlation.begin(), correlation.end(), [](double r) { return r <= deepest_trough; });
  if (trough == correlation.end()) {
    return std::nullopt;
  }
  const double highest = *std::max_element(trough, correlation.end());
  if (!(highest >= lowest_crest)) {
    return std::nullopt;
  }
  const auto first = static_cast<std::size_t>(trough - correlation.begin());
  for (std::size_t lag = std::max<std::size_t>(first, 1); lag + 1 < correlation.size(); ++lag) {
    const bool is_crest =
        correlation[lag] >= correlation[lag - 1] && correlation[lag] >= correlation[lag + 1];
    if (is_crest && correlation[lag] >= std::max(lowest_crest, near_highest * highest)) {
      return refined_crest(correlation, lag);
    }
  }
  return std::nullopt;
}

double SeriesStatistics::relative_half_band() const {
  return half_band / std::abs(mean);
}

double SeriesStatistics::relative_drift() const {
  return std::abs(drift) / std::abs(mean);
}

SeriesStatistics series_statistics(std::span<const double> values, int n_periods) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  SeriesStatistics statistics{.mean = mean_of(values), .half_band = 0.5 * (*high - *low)};
  statistics.drift = drift_of(values, n_periods);
  const double n = static_cast<double>(values.size());
  if (*high - *low <= rounding * std::abs(statistics.mean)) {  // at rest: its last digits are no scatter
    statistics.effective_samples = n;
    return statistics;
  }
  double squares = 0.0;
  for (const double value : values) {
    squares += (value - statistics.mean) * (value - statistics.mean);
  }
  statistics.autocorrelation_time = std::clamp(autocorrelation_time(values, statistics.mean), 1.0, n);
  statistics.effective_samples = n / statistics.autocorrelation_time;
  statistics.standard_error = std::sqrt(squares / (n - 1.0) / statistics.effective_samples);
  return statistics;
}

}  // namespace cowlwright::base
