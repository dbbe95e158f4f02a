// SPDX-License-Identifier: GPL-3.0-or-later
//
// Discretisation error from the same quantity on three grids: observed order, extrapolated value and grid
// convergence index after Celik et al. 2008, and a conservative band for each way the values can behave.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace cowlwright::post {

/// How a value moves from the coarse over the middle to the fine grid, and the band that is taken then.
/// "Range" is largest minus smallest of the three values, "GCI" Celik's GCI21 in the quantity's unit.
enum class GridBehaviour {
  Monotone,              ///< order 1 to 2: GCI
  OrderBelowOne,         ///< GCI as it comes, at least the range
  OrderAboveFormal,      ///< order above 2, which the scheme cannot have: the larger of the two differences'
                         ///< GCI, both taken with order 2
  Oscillatory,           ///< signs alternate: GCI, at least the range; 3 ranges when the swing grows
  Diverging,             ///< changes do not shrink with refinement: 3 ranges [Eca 2014, from memory]
  WithinIterativeBands,  ///< a change is within the half bands of its two grids: the range
  Identical              ///< all three equal but for rounding: no band; an error of zero is not claimed
};

/// "monotone", "order below 1", "order above 2", "oscillatory", "diverging", "within bands", "identical".
std::string_view behaviour_name(GridBehaviour behaviour);

/// Order below one, oscillatory, diverging: the grids are too coarse for the estimate to be taken as it is.
bool is_flagged(GridBehaviour behaviour);

/// The order of the scheme, second-order convection of momentum.
inline constexpr double formal_order = 2.0;
/// Celik's factor of safety for three grids.
inline constexpr double safety_factor = 1.25;
/// Ranges taken as band when nothing converges.
inline constexpr double diverging_factor = 3.0;

/// One grid's value.
struct GridPoint {
  double cell_size = 0.0;  ///< [m], > 0
  double value = 0.0;      ///< any unit
  double half_band = 0.0;  ///< of the iterations, same unit; 0 when unknown
  double rounding = 0.0;   ///< a change up to this is rounding, same unit
};

/// Numbers of the procedure; 1 is the fine grid, 3 the coarse one. What follows from the order (the
/// extrapolated value, its error, the indices) is taken with an order of at most 2.
struct GridConvergence {
  GridBehaviour behaviour = GridBehaviour::Identical;
  double ratio_21 = 0.0;                     ///< cell size of the middle over the fine grid
  double ratio_32 = 0.0;                     ///< coarse over middle
  double range = 0.0;                        ///< unit of the values
  std::optional<double> order;               ///< p; of the magnitudes only when oscillatory
  std::optional<double> extrapolated;        ///< value at cell size zero; absent unless the order is positive
                                             ///< and the values monotone
  std::optional<double> approximate_error;   ///< e_a21, fraction of the fine value
  std::optional<double> extrapolated_error;  ///< e_ext21, fraction of the extrapolated value
  std::optional<double> gci_21;              ///< fraction of the fine value
  std::optional<double> gci_32;              ///< fraction of the middle value
  std::optional<double> band;                ///< half width of the discretisation band, unit of the values
};

/// @param grids  fine to coarse.
/// @throws InputError  when a number is not finite or the cell sizes do not rise by more than 0.1 %.
///
/// Source: [Celik 2008], with the order's equation solved by fixed-point iteration when the ratios differ,
/// and without the magnitude bars for values of one sign, so that divergence is seen. Limits: three grids in
/// the asymptotic range; ratios should be equal and above 1.3, which is not checked.
GridConvergence grid_convergence(const std::array<GridPoint, 3>& grids);

}  // namespace cowlwright::post
