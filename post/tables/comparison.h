// SPDX-License-Identifier: GPL-3.0-or-later
//
// Variants side by side, against a baseline. All tables are printed from this.
#pragma once

#include "post/tables/varied.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::post {

/// How one value differs from the baseline's.
struct Difference {
  double absolute = 0.0;           ///< in the quantity's unit; percentage points for shares
  std::optional<double> relative;  ///< of the baseline's magnitude; absent for shares and a baseline of zero
  std::optional<double> band;      ///< half width, same unit: both half bands of the iterations plus the
                                   ///< discretisation band of the difference itself; absent: neither is known
  std::optional<double> relative_band;            ///< likewise as relative
  BandContents contents = BandContents::Nothing;  ///< of the band
  std::optional<GridVerdict> grids;  ///< of the difference's own values on the grids both variants have
  bool on_unlike_grids = false;      ///< the two values stand on different grid levels
  bool within_bands = false;  ///< not larger than the band, or on unlike grids: no difference was shown
};

/// Nothing when either value is absent. Errors of the grids that both variants share cancel in the difference
/// on each grid, so that its discretisation band is judged from these differences, not from the two bands.
std::optional<Difference> difference(const Quantity* baseline, const Quantity* other);

/// One row of a table.
struct ComparisonRow {
  Quantity heading;                     ///< names and unit; its value means nothing
  std::vector<const Quantity*> values;  ///< (n_variants) null: not available
};

struct Comparison {
  std::vector<VariantResult> variants;  ///< in the study's order when all are of one study, else as given
  std::vector<std::string> labels;      ///< variant names, with the folder where two are alike
  std::vector<VariedKey> varied;        ///< study keys that differ between the variants
  std::vector<std::string>
      phrases;               ///< what sentences call the variants: "exit lip angle 30 deg", or the label
  std::size_t baseline = 0;  ///< the first that its manifest calls baseline, else the first
  std::vector<ComparisonRow> rows;  ///< in the vocabulary's order
  std::vector<std::string> notes;   ///< on the comparison as a whole
  bool has_grids = false;           ///< a variant was solved on several grids
  bool is_estimate = false;         ///< every variant is one of the lumped network

  Comparison(const Comparison&) = delete;
  Comparison(Comparison&&) = default;

  /// @param results  at least one.
  explicit Comparison(std::vector<VariantResult> results);

  bool is_baseline(std::size_t variant) const { return variant == baseline; }
  /// Null when no variant has this quantity.
  const ComparisonRow* find(std::string_view id) const;
  std::optional<Difference> difference_in(const ComparisonRow& row, std::size_t variant) const;
};

}  // namespace cowlwright::post
