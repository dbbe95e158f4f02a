// SPDX-License-Identifier: GPL-3.0-or-later
//
// Variants side by side, against a baseline. All tables are printed from this.
#pragma once

#include "post/quantities/variant_result.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

/// How one value differs from the baseline's.
struct Difference {
  double absolute = 0.0;           ///< in the quantity's unit; percentage points for shares
  std::optional<double> relative;  ///< of the baseline's magnitude; absent for shares and a baseline of zero
  bool within_bands = false;       ///< smaller than the two half bands together: no difference was shown
};

/// Nothing when either value is absent.
std::optional<Difference> difference(const Quantity* baseline, const Quantity* other);

/// One row of a table.
struct ComparisonRow {
  Quantity heading;                     ///< names and unit; its value means nothing
  std::vector<const Quantity*> values;  ///< (n_variants) null: not available
};

struct Comparison {
  std::vector<VariantResult> variants;  ///< in the study's order when all are of one study, else as given
  std::vector<std::string> labels;      ///< variant names, with the folder where two are alike
  std::size_t baseline = 0;             ///< the first that its manifest calls baseline, else the first
  std::vector<ComparisonRow> rows;      ///< in the vocabulary's order
  std::vector<std::string> notes;       ///< on the comparison as a whole

  Comparison(const Comparison&) = delete;
  Comparison(Comparison&&) = default;

  /// @param results  at least one.
  explicit Comparison(std::vector<VariantResult> results);

  bool is_baseline(std::size_t variant) const { return variant == baseline; }
  std::optional<Difference> difference_in(const ComparisonRow& row, std::size_t variant) const;
};

}  // namespace cowlwright::post
