// SPDX-License-Identifier: GPL-3.0-or-later
//
// Has a run settled? Means, bands and drift of histories over the last iterations, and the verdict they give.
//
// The rule: the window is the last `window` iterations. A quantity's half band is half of the difference
// between its largest and smallest value there; its drift is the difference between the means of the window's
// two halves. Both are taken relative to the mean.
//   settled      half band <= tolerance and drift <= tolerance / 2, for every judged quantity
//   oscillating  a half band is wider, but every drift is <= tolerance / 2 or <= half of its half band
//   not settled  otherwise, or when the window is not filled yet, or when there are no monitors
//   failed       a value that is not finite, or no results
// Why half of the half band: a steady ramp drifts by its whole half band, a swing of two or more periods a
// window by less than half of it, because the halves cut it at unlike places. What it cannot see: a drift
// slower than its limit, and a swing with a period of more than half a window.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::post {

enum class Status { Settled, Oscillating, NotSettled, Failed };

/// "settled", "oscillating", "not settled", "failed".
std::string_view status_name(Status status);

/// Statistics of one quantity over a window, in its own unit.
struct WindowStatistics {
  double mean = 0.0;
  double half_band = 0.0;  ///< (max - min) / 2
  double drift = 0.0;      ///< mean of the second half - mean of the first half

  double relative_half_band() const;  ///< half_band / |mean|
  double relative_drift() const;      ///< |drift| / |mean|
};

/// Fewest samples in a window that can show a swing; below that there is neither a mean nor a band.
inline constexpr std::size_t fewest_samples = 8;

/// Statistics of at least one value.
WindowStatistics window_statistics(std::span<const double> values);

/// Index of the first of `iterations` (rising) inside the window, and whether the history fills it.
struct Window {
  std::size_t first = 0;
  bool is_full = false;
};
/// The samples of the last `length` iterations. A history shorter than twice the window gives its second half
/// only when it does not fill the window: an early transient says nothing.
Window last_window(std::span<const double> iterations, int length);

/// One quantity whose settling is judged.
struct JudgedQuantity {
  std::string name;
  WindowStatistics statistics;
};

struct Judgement {
  Status status = Status::NotSettled;
  std::string reason;  ///< the widest band or the quantity that fails, in words with numbers
};

/// @param tolerance  accepted half band relative to the mean, > 0.
Judgement judge(std::span<const JudgedQuantity> quantities, bool window_is_full, double tolerance);

}  // namespace cowlwright::post
