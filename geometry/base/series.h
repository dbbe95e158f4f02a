// SPDX-License-Identifier: GPL-3.0-or-later
//
// Statistics of one quantity's history over equally spaced iterations: where its transient ends, with which
// period it swings, and its mean with what that mean is worth. Everything counts in samples.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace cowlwright::base {

/// Samples in one batch of the marginal standard error rule: the 5 of MSER-5.
inline constexpr std::size_t batch_size = 5;
/// Fewest batches that a judgement of the transient has to leave after it.
inline constexpr std::size_t fewest_batches = 5;

struct Transient {
  std::size_t end = 0;   ///< first sample after it
  bool is_over = false;  ///< false: the end lies at the last place allowed, or is unknown
};

/// End of the transient by the marginal standard error rule on batches of 5 (MSER-5): the cut that makes the
/// squared standard error of what remains, S/k² with S the sum of squared deviations of k batch means,
/// smallest. A cut at the last place allowed says that the transient is not over.
///
/// @param values      finite, oldest first; samples that do not fill a batch are left out at the start.
/// @param keep        samples that must remain after the cut: a few batches look quiet by chance, or at the
///                    crest of a swing.
/// @param resolution  deviation that nobody minds [unit of `values`], >= 0; enters as noise of that standard
///                    deviation. Without it a history that decays without noise is never over, however near
///                    it has come to its end.
/// @return            not over when there are fewer samples than `keep` or than 5 batches.
///
/// Source: [White 1997], [White 2000] for the batches. The resolution is our addition.
Transient find_transient(std::span<const double> values, std::size_t keep, double resolution);

/// Period of a clear swing [samples], or nothing. The swing is clear when the autocorrelation of the values
/// less their straight-line trend falls to -0.25 or below and comes back to 0.5 or above; the period is the
/// lag of the first crest within 10 % of the highest, refined by a parabola. At least two periods must be
/// there.
///
/// @param values  finite.
std::optional<double> dominant_period(std::span<const double> values);

struct SeriesStatistics {
  double mean = 0.0;
  double half_band = 0.0;  ///< (max - min) / 2
  double drift = 0.0;      ///< mean of the second half - mean of the first half
  double autocorrelation_time =
      1.0;  ///< samples that are worth one independent one, 1 + 2 sum of autocorrelations
  double effective_samples = 0.0;  ///< n / autocorrelation_time, from 1 to n
  double standard_error = 0.0;     ///< of the mean: standard deviation / sqrt(effective_samples)

  double relative_half_band() const;  ///< half_band / |mean|
  double relative_drift() const;      ///< |drift| / |mean|
};

/// Statistics of at least one value. With two or more whole periods the drift is taken between whole periods
/// at either end, brought to the distance of the halves, so that a swing without drift shows none.
///
/// The autocorrelation time is summed over the initial positive sequence. For values that repeat themselves
/// it errs on the safe side: a mean over whole periods is better than its standard error says. A
/// standard error says how well the window's mean is known, nothing of what comes later or of other errors.
///
/// Source: [Geyer 1992], section 3.3.
SeriesStatistics series_statistics(std::span<const double> values, int n_periods = 0);

}  // namespace cowlwright::base
