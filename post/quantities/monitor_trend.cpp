// SPDX-License-Identifier: GPL-3.0-or-later
//
// Averages the monitors.
#include "post/quantities/monitor_trend.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace cowlwright::post {

namespace {

constexpr std::array judged_ids{
    "deck_pressure_difference", "inlet_mass_flow_left", "inlet_mass_flow_right", "exit_mass_flow", "drag"};

bool is_judged(const Measure& measure) {
  return std::find(judged_ids.begin(), judged_ids.end(), measure.quantity.id) != judged_ids.end();
}

std::vector<double> values_of(const Measure& measure, const MonitorTable& table, std::size_t first) {
  std::vector<double> values;
  for (std::size_t i = first; i < table.snapshots.size(); ++i) {
    values.push_back(measure.value(table.snapshots[i]));
  }
  return values;
}

/// Monitors are complete at all iterations or at none: the first tells.
bool has_monitors(const Measure& measure, const MonitorTable& table) {
  return !table.snapshots.empty() && std::isfinite(measure.value(table.snapshots.front()));
}

/// Whether the monitors end more than one of their steps before the fields.
bool ends_before(const MonitorTable& table, double field_iteration) {
  return !table.iteration.empty() &&
         base::ends_early({.time = table.iteration, .value = {}, .digits = 0}, field_iteration);
}

base::Judgement not_settled(std::string reason) {
  return {base::Status::NotSettled, std::move(reason)};
}

std::string end_reason(const MonitorTable& table, double field_iteration) {
  return fmt::format(
      "the monitors end at iteration {}, the fields are of {}", table.iteration.back(), field_iteration);
}

}  // namespace

MonitorTrend monitor_trend(const MonitorTable& table,
                           std::span<const Measure> measures,
                           const base::SettlingRule& rule,
                           double field_iteration) {
  std::vector<base::Series> judged;
  std::vector<std::string> without;
  for (const Measure& measure : measures) {
    if (is_judged(measure) && has_monitors(measure, table)) {
      judged.push_back({measure.quantity.name, values_of(measure, table, 0)});
    } else if (is_judged(measure)) {
      without.push_back(measure.quantity.name);
    }
  }
  base::Settling settling = base::assess(table.iteration, judged, rule);
  MonitorTrend trend;
  trend.window = settling.window;
  trend.judgement = std::move(settling.judgement);
  if (table.iteration.size() >= trend.window.first + base::fewest_samples) {
    trend.n_samples = static_cast<int>(table.iteration.size() - trend.window.first);
    for (const Measure& measure : measures) {
      trend.statistics.push_back(
          base::series_statistics(values_of(measure, table, trend.window.first), trend.window.n_periods));
    }
  }
  if (!without.empty()) {
    trend.judgement = not_settled(
        table.iteration.empty() ? std::string("not judged: no monitors")
                                : fmt::format("not judged: no monitors for {}", fmt::join(without, ", ")));
  } else if (ends_before(table, field_iteration)) {
    trend.judgement = not_settled(end_reason(table, field_iteration));
  }
  return trend;
}

Histories judged_histories(const MonitorTable& table, std::span<const Measure> measures) {
  const std::size_t n = table.iteration.size();
  const std::size_t step =
      std::max<std::size_t>(1, (n + Histories::most_samples - 1) / Histories::most_samples);
  const std::size_t first = n == 0 ? 0 : (n - 1) % step;
  Histories histories;
  for (std::size_t i = first; i < n; i += step) {
    histories.iterations.push_back(table.iteration[i]);
  }
  for (const Measure& measure : measures) {
    if (!is_judged(measure) || !has_monitors(measure, table)) {
      continue;
    }
    QuantityHistory history{measure.quantity.id, measure.quantity.name, measure.quantity.unit, {}};
    for (std::size_t i = first; i < n; i += step) {
      history.values.push_back(measure.value(table.snapshots[i]));
    }
    histories.series.push_back(std::move(history));
  }
  return histories;
}

Quantity publish(const Measure& measure, const Snapshot& last, const base::SeriesStatistics* statistics) {
  Quantity quantity = measure.quantity;
  if (statistics != nullptr && std::isfinite(statistics->mean)) {
    quantity.value = statistics->mean;
    quantity.half_band = statistics->half_band;
    quantity.standard_error = statistics->standard_error;
    quantity.effective_samples = statistics->effective_samples;
    quantity.basis = Basis::WindowMean;
  } else {
    quantity.value = measure.value(last);
  }
  return quantity;
}

std::vector<std::string> window_notes(const MonitorTrend& trend, const MonitorTable& table) {
  std::vector<std::string> notes;
  const base::AveragingWindow& window = trend.window;
  if (trend.n_samples > 0 && window.transient_is_over) {
    notes.push_back(
        window.transient_end > table.iteration.front()
            ? fmt::format("the transient ended at iteration {:.0f} (MSER-5; the last to end was {})",
                          window.transient_end,
                          window.slowest)
            : std::string("no transient in the monitors (MSER-5)"));
  }
  if (trend.n_samples > 0 && window.n_periods > 0) {
    notes.push_back(fmt::format("means over iterations {} to {}: {} whole periods of {:.1f} iterations of {}",
                                table.iteration[window.first],
                                table.iteration.back(),
                                window.n_periods,
                                window.period,
                                window.swinging));
  }
  return notes;
}

std::vector<std::string> monitor_flags(const MonitorTable& table, double field_iteration) {
  std::vector<std::string> flags;
  for (const std::string& monitor : table.broken_off) {
    flags.push_back(monitor + ": values that need it are of the last iteration only");
  }
  if (ends_before(table, field_iteration)) {
    flags.push_back(end_reason(table, field_iteration) + ": the means are of an earlier part of the run");
  }
  return flags;
}

}  // namespace cowlwright::post
