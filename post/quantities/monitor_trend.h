// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/quantities: means, bands and the verdict that the monitors' histories give, by the rule of
// geometry/base/settling.h. The window is the same for all quantities of a variant.
#pragma once

#include "geometry/base/settling.h"
#include "post/quantities/measures.h"
#include "post/quantities/snapshot.h"
#include "post/quantities/variant_result.h"

#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

struct MonitorTrend {
  base::AveragingWindow window;
  int n_samples = 0;  ///< in the window; 0 when there are too few to average
  /// (n_measures), empty when there are too few samples; a mean that is no number: its monitors are missing.
  std::vector<base::SeriesStatistics> statistics;
  base::Judgement judgement;
};

/// Judged by the deck pressure difference, the flow of each inlet and the exit flow, as far as the case has
/// them. Not settled when monitors of one of these are missing or end before the fields that are published
/// beside them.
///
/// @param field_iteration  of the fields.
MonitorTrend monitor_trend(const MonitorTable& table,
                           std::span<const Measure> measures,
                           const base::SettlingRule& rule,
                           double field_iteration);

/// The judged quantities that have monitors, thinned.
Histories judged_histories(const MonitorTable& table, std::span<const Measure> measures);

/// A measure's value: its mean over the window when its monitors are complete, else from the last fields.
/// @param statistics  null without a window.
Quantity publish(const Measure& measure, const Snapshot& last, const base::SeriesStatistics* statistics);

/// The window in words: where the transient ended, and which periods the means are over.
std::vector<std::string> window_notes(const MonitorTrend& trend, const MonitorTable& table);

/// Monitors that forbid to use the row: those that end before the others, and all when they end before the
/// fields.
std::vector<std::string> monitor_flags(const MonitorTable& table, double field_iteration);

}  // namespace cowlwright::post
