// SPDX-License-Identifier: GPL-3.0-or-later
//
// The vocabulary of every table: what a reported quantity is called, in which unit it is given and how it is
// defined. Values carry that unit: tables only print them.
#pragma once

#include "post/trust/grid_verdict.h"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::post {

/// Where a published value comes from. Fixed: it does not depend on the iteration (inputs, meshed areas).
/// Estimate: of the lumped network.
enum class Basis { WindowMean, LastIteration, Fixed, Estimate };

/// How far an estimated value moves when one coefficient moves by its half band. Variants in which a
/// coefficient has one value and source share its error; with another value from the same source they share
/// half of its variance (chosen, no source).
struct CoefficientShift {
  std::string coefficient;  ///< name and source: one of each in a quantity
  double value = 0.0;       ///< of the coefficient
  double shift = 0.0;       ///< in the quantity's unit, with its sign
};

/// How two variants are compared: amounts in percent besides their unit, shares in percentage points, and
/// values whose zero is arbitrary or crossed (gauge pressures, coefficients) in their unit only.
enum class DifferenceIn { Percent, Points, Unit };

/// One entry of the vocabulary.
struct QuantitySpec {
  std::string_view id;  ///< key in results.json; those of one part end with its name
  std::string_view group;
  std::string_view name;
  std::string_view unit;  ///< "-" for ratios
  int decimals = 3;       ///< printed in tables
  DifferenceIn difference_in = DifferenceIn::Percent;
  std::string_view definition;
};

/// All entries, in the order of the tables.
std::span<const QuantitySpec> vocabulary();

/// The entry of an id. @throws std::out_of_range  for an unknown id: a fault of the program.
const QuantitySpec& quantity_spec(std::string_view id);

/// One published value.
struct Quantity {
  std::size_t order = 0;  ///< position of its entry in the vocabulary
  std::string id;
  std::string group;
  std::string name;
  std::string unit;
  std::string definition;
  int decimals = 3;
  DifferenceIn difference_in = DifferenceIn::Percent;
  double value = 0.0;
  std::optional<double> half_band;  ///< (max - min)/2 over the window, same unit; absent for the last
                                    ///< iteration. Of an estimate: what its coefficients' bands make of it
  std::optional<double> standard_error;     ///< of the window mean, same unit; absent with half_band
  std::optional<double> effective_samples;  ///< independent samples the window is worth; likewise
  Basis basis = Basis::LastIteration;
  std::optional<GridVerdict> grids;  ///< absent when the variant has one grid
  std::vector<CoefficientShift>
      shifts{};  ///< of an estimate; half_band is the root of the sum of their squares
};

/// The half width published with a value: the half band of the iterations plus the discretisation band of the
/// grids, or the one of them that is known; absent when neither is. The plain sum takes the two errors as
/// dependent, which they are: a flow that has not settled is worse on every grid.
std::optional<double> published_band(const Quantity& quantity);

/// What published_band contains.
enum class BandContents { Nothing, Iterations, Grids, IterationsAndGrids, Coefficients };
BandContents band_contents(bool has_iterations, bool has_grids);
BandContents band_contents(const Quantity& quantity);

/// "nothing", "iterations", "grids", "iterations + grids", "coefficients".
std::string_view contents_name(BandContents contents);

/// A quantity of the vocabulary without its value; `part` completes the id and the name of an entry of one
/// part: a core, a cylinder, a leak.
Quantity empty_quantity(std::string_view id, std::string_view part = {});

}  // namespace cowlwright::post
