// SPDX-License-Identifier: GPL-3.0-or-later
//
// What may be said about the discretisation error of a quantity: a band where three sound grids allow one,
// otherwise a statement why there is none.
#pragma once

#include "post/trust/grid_convergence.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::post {

/// Said of a row that stands on one grid.
inline constexpr std::string_view single_grid = "single grid: discretisation error unknown";

/// The ratios of cell sizes may differ by this share of the smaller one; beyond it the grids are no family.
/// Whole layers of cells in the cores cost up to 9 % on our own grids (half a layer in four); Celik's
/// formulas take unequal ratios.
inline constexpr double ratio_tolerance = 0.10;
/// Smallest ratio of cell sizes; below it the changes between grids drown in other errors.
inline constexpr double smallest_refinement = 1.1;

/// A quantity on one grid.
struct GridValue {
  std::string grid;                 ///< "medium"
  double cell_size = 0.0;           ///< [m]
  std::optional<double> value;      ///< absent: not available on this grid
  std::optional<double> half_band;  ///< of the iterations, unit of the value; absent: unknown
  double rounding = 0.0;            ///< a change up to this is rounding, unit of the value
  std::string trouble;              ///< why this grid does not count, "failed", "not settled"; empty: it does
};

/// Share of a value that its last digits may be off by: monitors print 8 to 13 digits.
inline constexpr double rounding_share = 1e-9;

struct GridVerdict {
  std::vector<GridValue> values;               ///< fine to coarse, all that were given
  std::optional<GridConvergence> convergence;  ///< absent when refused
  std::string text;                            ///< the finding or the refusal with its numbers

  std::optional<double> band() const;
  /// Null when this grid was not given.
  const GridValue* on(std::string_view grid) const;
  bool is_flagged() const;
  /// behaviour_name, or "no estimate".
  std::string_view behaviour() const;
};

/// Judges the three finest grids that count.
/// @param grids      fine to coarse.
/// @param n_planned  grids the study asks for.
/// @param unit       of the values, for the text.
GridVerdict judge_grids(std::vector<GridValue> grids, int n_planned, std::string_view unit);

/// What holds for every quantity of these grids whatever its values: too few of them, or cell sizes that are
/// no family. Empty when nothing is in the way.
std::string family_objection(std::span<const GridValue> grids, int n_planned);

}  // namespace cowlwright::post
