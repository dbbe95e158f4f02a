// SPDX-License-Identifier: GPL-3.0-or-later
//
// The averaging window and the status rule.
#include "geometry/base/settling.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::base {

namespace {

/// Accepted relative drift: half of the tolerance, or of the half band when the quantity swings more than
/// that.
double drift_limit(const SeriesStatistics& statistics, double tolerance) {
  return 0.5 * std::max(statistics.relative_half_band(), tolerance);
}

/// Iterations from one sample to the next.
double spacing_of(std::span<const double> iterations) {
  return iterations.size() < 2
             ? 1.0
             : (iterations.back() - iterations.front()) / static_cast<double>(iterations.size() - 1);
}

AveragingWindow last_iterations(std::span<const double> iterations, int length) {
  AveragingWindow window;
  if (iterations.empty()) {
    return window;
  }
  const double start = iterations.back() - static_cast<double>(length);
  const auto first = std::upper_bound(iterations.begin(), iterations.end(), start);
  window.first = static_cast<std::size_t>(first - iterations.begin());
  // Full: the history began at or before the window's first iteration.
  window.is_full = iterations.front() <= start + 1.0 && iterations.size() - window.first >= fewest_samples;
  if (!window.is_full) {
    window.first = std::max(window.first, iterations.size() / 2);
  }
  return window;
}

/// Index behind the last transient; fills the window's words about it.
std::size_t find_transients(std::span<const double> iterations,
                            std::span<const Series> series,
                            double tolerance,
                            AveragingWindow& window) {
  const std::size_t in_window = iterations.size() - window.first;
  const std::size_t keep = std::min(in_window, iterations.size() / 2);
  std::size_t end = 0;
  window.transient_is_over = true;
  for (const Series& one : series) {
    const std::span<const double> values(one.values);
    const SeriesStatistics level = series_statistics(values.subspan(window.first));
    const Transient transient =
        find_transient(values, keep, transient_resolution * tolerance * std::abs(level.mean));
    const bool is_worse =
        transient.is_over != window.transient_is_over ? !transient.is_over : transient.end > end;
    if (window.slowest.empty() || is_worse) {
      end = transient.end;
      window.slowest = one.name;
      window.transient_is_over = transient.is_over;
    }
  }
  window.transient_end = iterations[end];
  window.transient_is_over = window.transient_is_over && end <= window.first;
  return end;
}

struct Swing {
  double period = 0.0;  ///< samples
  double band = 0.0;    ///< relative half band
  std::string name;
};

/// The clear swing of the largest relative band, among samples from `first` on.
Swing largest_swing(std::span<const Series> series, std::size_t first) {
  Swing largest;
  for (const Series& one : series) {
    const std::span<const double> values = std::span(one.values).subspan(first);
    const std::optional<double> period = dominant_period(values);
    const double band = series_statistics(values).relative_half_band();
    if (period && band > largest.band) {
      largest = {*period, band, one.name};
    }
  }
  return largest;
}

/// Makes the window whole periods of the swing, among samples from `first` on.
void take_whole_periods(std::span<const double> iterations,
                        const Swing& swing,
                        std::size_t first,
                        AveragingWindow& window) {
  const double wanted = static_cast<double>(iterations.size() - window.first);
  const double available = static_cast<double>(iterations.size() - first);
  const double periods =
      std::min(std::max(2.0, std::round(wanted / swing.period)), std::floor(available / swing.period + 1e-9));
  if (!(periods >= 1.0)) {
    return;
  }
  const auto length = static_cast<std::size_t>(std::lround(periods * swing.period));
  window.first = iterations.size() - std::min(length, iterations.size() - first);
  window.period = swing.period * spacing_of(iterations);
  window.n_periods = static_cast<int>(periods);
  window.swinging = swing.name;
}

Judgement not_settled(std::string reason) {
  return {Status::NotSettled, std::move(reason)};
}

std::string transient_reason(const AveragingWindow& window) {
  return fmt::format(
      "the transient of {} is not over: it is cut at iteration {:.0f} (MSER-5), too late to judge what "
      "follows; more iterations are needed",
      window.slowest,
      window.transient_end);
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
    case Status::Estimate:
      return "estimate";
  }
  return "failed";
}

AveragingWindow averaging_window(std::span<const double> iterations,
                                 std::span<const Series> series,
                                 const SettlingRule& rule) {
  AveragingWindow window = last_iterations(iterations, rule.window);
  if (series.empty() || iterations.size() < window.first + fewest_samples) {
    return window;
  }
  const std::size_t behind = find_transients(iterations, series, rule.tolerance, window);
  const std::size_t first = window.transient_is_over ? behind : window.first;
  const Swing swing = largest_swing(series, first);
  if (swing.period > 0.0) {
    take_whole_periods(iterations, swing, first, window);
  }
  return window;
}

const JudgedQuantity& widest_swing(std::span<const JudgedQuantity> quantities) {
  return *std::max_element(
      quantities.begin(), quantities.end(), [](const JudgedQuantity& a, const JudgedQuantity& b) {
        return a.statistics.relative_half_band() < b.statistics.relative_half_band();
      });
}

Judgement judge(std::span<const JudgedQuantity> quantities, const AveragingWindow& window, double tolerance) {
  if (quantities.empty()) {
    return not_settled("no monitors to judge by");
  }
  for (const JudgedQuantity& quantity : quantities) {
    if (!std::isfinite(quantity.statistics.mean + quantity.statistics.half_band)) {
      return {Status::Failed, fmt::format("{} is not a finite number: the solver diverged", quantity.name)};
    }
  }
  if (!window.is_full) {
    return not_settled("fewer iterations than the window");
  }
  if (!window.transient_is_over) {
    return not_settled(transient_reason(window));
  }
  for (const JudgedQuantity& quantity : quantities) {
    const double limit = drift_limit(quantity.statistics, tolerance);
    if (!(quantity.statistics.relative_drift() <= limit)) {
      return not_settled(fmt::format("{} drifts by {:.2f} % within the window: limit {:.2f} %",
                                     quantity.name,
                                     100.0 * quantity.statistics.relative_drift(),
                                     100.0 * limit));
    }
  }
  const JudgedQuantity& widest = widest_swing(quantities);
  const double band = widest.statistics.relative_half_band();
  if (!(band <= widest_band)) {
    return not_settled(
        fmt::format("{} swings by {:.0f} % about its mean: beyond {:.0f} % a mean says nothing",
                    widest.name,
                    100.0 * band,
                    100.0 * widest_band));
  }
  return {
      band <= tolerance ? Status::Settled : Status::Oscillating,
      fmt::format(
          "widest half band {:.2f} % ({}), limit {:.2f} %", 100.0 * band, widest.name, 100.0 * tolerance)};
}

Settling assess(std::span<const double> iterations,
                std::span<const Series> series,
                const SettlingRule& rule) {
  Settling settling;
  for (const Series& one : series) {
    for (std::size_t i = 0; i < one.values.size(); ++i) {
      if (!std::isfinite(one.values[i])) {
        settling.judgement = {
            Status::Failed,
            fmt::format("{} is not a finite number at iteration {:.0f}: the solver diverged",
                        one.name,
                        iterations[i])};
        return settling;
      }
    }
  }
  settling.window = averaging_window(iterations, series, rule);
  if (iterations.size() >= settling.window.first + fewest_samples) {
    for (const Series& one : series) {
      const std::span<const double> values = std::span(one.values).subspan(settling.window.first);
      settling.quantities.push_back({one.name, series_statistics(values, settling.window.n_periods)});
    }
  } else if (!series.empty()) {
    settling.judgement =
        not_settled(fmt::format("monitors of {} iterations only: fewer than the window", iterations.size()));
    return settling;
  }
  settling.judgement = judge(settling.quantities, settling.window, rule.tolerance);
  return settling;
}

}  // namespace cowlwright::base
