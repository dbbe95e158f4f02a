// SPDX-License-Identifier: GPL-3.0-or-later
//
// Window statistics and the status rule.
#include "post/trust/window.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace cowlwright::post {

namespace {

double mean_of(std::span<const double> values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

/// Accepted relative drift: half of the tolerance, or of the half band when the quantity swings more than
/// that.
double drift_limit(const WindowStatistics& statistics, double tolerance) {
  const bool swings = statistics.relative_half_band() > tolerance;
  return 0.5 * (swings ? statistics.relative_half_band() : tolerance);
}

}  // namespace

std::string_view status_name(Status status) {
  switch (status) {
    case Status::Settled:
      return "settled";
    case Status::Oscillating:
      return "oscillating";
    case Status::NotSettled:
      return "not settled";
    case Status::Failed:
      return "failed";
  }
  return "failed";
}

double WindowStatistics::relative_half_band() const {
  return half_band / std::abs(mean);
}

double WindowStatistics::relative_drift() const {
  return std::abs(drift) / std::abs(mean);
}

WindowStatistics window_statistics(std::span<const double> values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  WindowStatistics statistics{.mean = mean_of(values), .half_band = 0.5 * (*high - *low)};
  const std::size_t half = values.size() / 2;
  if (half > 0) {
    statistics.drift = mean_of(values.last(half)) - mean_of(values.first(half));
  }
  return statistics;
}

Window last_window(std::span<const double> iterations, int length) {
  if (iterations.empty()) {
    return {};
  }
  const double start = iterations.back() - static_cast<double>(length);
  const auto first = std::upper_bound(iterations.begin(), iterations.end(), start);
  Window window{.first = static_cast<std::size_t>(first - iterations.begin())};
  // Full: the history began at or before the window's first iteration.
  window.is_full = iterations.front() <= start + 1.0 && iterations.size() - window.first >= fewest_samples;
  if (!window.is_full) {
    window.first = std::max(window.first, iterations.size() / 2);
  }
  return window;
}

Judgement judge(std::span<const JudgedQuantity> quantities, bool window_is_full, double tolerance) {
  if (quantities.empty()) {
    return {Status::NotSettled, "no monitors to judge by"};
  }
  for (const JudgedQuantity& quantity : quantities) {
    if (!std::isfinite(quantity.statistics.mean + quantity.statistics.half_band)) {
      return {Status::Failed, fmt::format("{} is not a finite number: the solver diverged", quantity.name)};
    }
  }
  if (!window_is_full) {
    return {Status::NotSettled, "fewer iterations than the window"};
  }
  for (const JudgedQuantity& quantity : quantities) {
    const double limit = drift_limit(quantity.statistics, tolerance);
    if (!(quantity.statistics.relative_drift() <= limit)) {
      return {Status::NotSettled,
              fmt::format("{} drifts by {:.2f} % within the window: limit {:.2f} %",
                          quantity.name,
                          100.0 * quantity.statistics.relative_drift(),
                          100.0 * limit)};
    }
  }
  const auto widest = std::max_element(
      quantities.begin(), quantities.end(), [](const JudgedQuantity& a, const JudgedQuantity& b) {
        return a.statistics.relative_half_band() < b.statistics.relative_half_band();
      });
  const double band = widest->statistics.relative_half_band();
  return {
      band <= tolerance ? Status::Settled : Status::Oscillating,
      fmt::format(
          "widest half band {:.2f} % ({}), limit {:.2f} %", 100.0 * band, widest->name, 100.0 * tolerance)};
}

}  // namespace cowlwright::post
