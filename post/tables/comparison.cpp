// SPDX-License-Identifier: GPL-3.0-or-later
//
// Orders variants and quantities for printing.
#include "post/tables/comparison.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::post {

namespace {

template <typename Member>
bool all_alike(const std::vector<VariantResult>& variants, Member member) {
  return std::all_of(variants.begin(), variants.end(), [&](const VariantResult& variant) {
    return member(variant.manifest) == member(variants.front().manifest);
  });
}

std::vector<std::string> variant_labels(const std::vector<VariantResult>& variants) {
  std::vector<std::string> labels;
  for (const VariantResult& variant : variants) {
    const auto n_alike = std::count_if(variants.begin(), variants.end(), [&](const VariantResult& other) {
      return other.manifest.variant == variant.manifest.variant;
    });
    labels.push_back(
        n_alike > 1 ? fmt::format("{} ({})",
                                  variant.manifest.variant,
                                  std::filesystem::weakly_canonical(variant.case_dir).filename().string())
                    : variant.manifest.variant);
  }
  return labels;
}

std::vector<ComparisonRow> comparison_rows(const std::vector<VariantResult>& variants) {
  std::vector<ComparisonRow> rows;
  for (const VariantResult& variant : variants) {
    for (const Quantity& quantity : variant.quantities) {
      const bool is_known = std::any_of(
          rows.begin(), rows.end(), [&](const ComparisonRow& row) { return row.heading.id == quantity.id; });
      if (!is_known) {
        rows.push_back({quantity, {}});
      }
    }
  }
  std::stable_sort(rows.begin(), rows.end(), [](const ComparisonRow& a, const ComparisonRow& b) {
    return a.heading.order < b.heading.order;
  });
  for (ComparisonRow& row : rows) {
    for (const VariantResult& variant : variants) {
      row.values.push_back(variant.find(row.heading.id));
    }
  }
  return rows;
}

}  // namespace

std::optional<Difference> difference(const Quantity* baseline, const Quantity* other) {
  if (baseline == nullptr || other == nullptr) {
    return std::nullopt;
  }
  Difference result{.absolute = other->value - baseline->value, .relative = std::nullopt};
  if (other->difference_in == DifferenceIn::Percent && std::abs(baseline->value) > 0.0) {
    result.relative = result.absolute / std::abs(baseline->value);
  }
  if (baseline->half_band && other->half_band) {
    result.within_bands = std::abs(result.absolute) <= *baseline->half_band + *other->half_band;
  }
  return result;
}

Comparison::Comparison(std::vector<VariantResult> results) : variants(std::move(results)) {
  const bool is_one_study = all_alike(variants, [](const base::Manifest& m) { return m.study_hash; });
  if (is_one_study) {
    std::stable_sort(variants.begin(), variants.end(), [](const VariantResult& a, const VariantResult& b) {
      return a.manifest.variant_index < b.manifest.variant_index;
    });
  } else {
    notes.emplace_back("the cases are not of one and the same study file: look at what else differs");
  }
  if (!all_alike(variants, [](const base::Manifest& m) { return m.grid_level; })) {
    notes.emplace_back("grid levels differ: differences between variants contain differences between grids");
  }
  if (!all_alike(variants, [](const base::Manifest& m) { return m.program_version; })) {
    notes.emplace_back("the cases were written by different versions of the program");
  }
  const auto first = std::find_if(
      variants.begin(), variants.end(), [](const VariantResult& v) { return v.manifest.is_baseline; });
  baseline = first == variants.end() ? 0 : static_cast<std::size_t>(first - variants.begin());
  labels = variant_labels(variants);
  if (variants.size() > 1 && variants[baseline].has_failed()) {
    notes.push_back(
        fmt::format("the baseline {} has failed: there are no differences to show", labels[baseline]));
  }
  rows = comparison_rows(variants);
}

std::optional<Difference> Comparison::difference_in(const ComparisonRow& row, std::size_t variant) const {
  return is_baseline(variant) ? std::nullopt : difference(row.values[baseline], row.values[variant]);
}

}  // namespace cowlwright::post
