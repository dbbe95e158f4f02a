// SPDX-License-Identifier: GPL-3.0-or-later
//
// Has a run settled, and over which iterations is it to be averaged? One rule for the driver that may stop
// the solver and for the tables that judge its result.
//
// The transient of each judged quantity ends where the marginal standard error rule puts it. What swings
// clearly after that gives the period, of the quantity that swings most. The window is the last `window`
// iterations; with a period it is the whole number of periods nearest to that, at least two, that fits behind
// the transient. A quantity's half band is half of peak-to-peak in the window, its drift the difference
// between the means of the window's two halves, both relative to the mean.
//   failed       a value that is not finite
//   not settled  nothing to judge by; a history shorter than the window; a transient that is not over, or
//   ends
//                inside the window; a drift above tolerance / 2, or above half of the half band of what
//                swings by more than the tolerance; a half band above `widest_band`
//   oscillating  otherwise, when a half band is wider than the tolerance
//   settled      otherwise
// Why half of the half band: a steady ramp drifts by its whole half band. What the rule cannot see: a drift
// slower than its limit; a swing with a period above some two windows, whose crest it can take for rest; and
// a solution that would leave its rest later.
#pragma once

#include "geometry/base/series.h"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::base {

/// Estimate: not from a solver at all.
enum class Status { Settled, Oscillating, NotSettled, Failed, Estimate };

/// "settled", "oscillating", "not settled", "failed", "estimate".
std::string_view status_name(Status status);

/// One quantity over the iterations.
struct Series {
  std::string name;
  std::vector<double> values;  ///< one per iteration
};

struct SettlingRule {
  int window = 0;          ///< iterations
  double tolerance = 0.0;  ///< accepted half band relative to the mean, > 0
};

/// Fewest samples in a window that can show a swing; below that there is neither a mean nor a band.
inline constexpr std::size_t fewest_samples = 8;
/// Relative half band beyond which a mean says nothing.
inline constexpr double widest_band = 0.2;
/// Deviation, as a share of the tolerance, that does not count as transient.
inline constexpr double transient_resolution = 0.25;

/// Over which samples means are taken: from `first` to the end.
struct AveragingWindow {
  std::size_t first = 0;
  bool is_full = false;  ///< the history reaches back to the start of the last `window` iterations

  bool transient_is_over = false;  ///< of every series, ahead of the window
  double transient_end = 0.0;      ///< iteration; of the series whose transient ends last or is not over
  std::string slowest;             ///< its name

  double period = 0.0;   ///< iterations; 0: no clear swing
  int n_periods = 0;     ///< whole periods in the window; 0: no clear swing
  std::string swinging;  ///< the quantity whose period it is
};

/// @param iterations  rising, equally spaced.
/// @param series      finite, as long as `iterations`. Without series, or with a history too short for them,
/// the
///                    window is the last `window` iterations, or the second half of a history shorter than
///                    that: an early transient says nothing.
AveragingWindow averaging_window(std::span<const double> iterations,
                                 std::span<const Series> series,
                                 const SettlingRule& rule);

/// One quantity whose settling is judged.
struct JudgedQuantity {
  std::string name;
  SeriesStatistics statistics;
};

struct Judgement {
  Status status = Status::NotSettled;
  std::string reason;  ///< the widest band or the quantity that fails, in words with numbers
};

Judgement judge(std::span<const JudgedQuantity> quantities, const AveragingWindow& window, double tolerance);

/// Window, statistics and verdict of a set of judged quantities.
struct Settling {
  AveragingWindow window;
  std::vector<JudgedQuantity> quantities;  ///< one per series; empty when there is nothing to average
  Judgement judgement;
};

Settling assess(std::span<const double> iterations, std::span<const Series> series, const SettlingRule& rule);

/// The quantity with the widest relative half band. @param quantities  at least one.
const JudgedQuantity& widest_swing(std::span<const JudgedQuantity> quantities);

}  // namespace cowlwright::base
