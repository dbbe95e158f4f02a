// SPDX-License-Identifier: GPL-3.0-or-later
//
// Orders variants and quantities for printing.
#include "post/tables/comparison.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

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

/// The difference on one grid.
GridValue difference_on_grid(const GridValue& baseline, const GridValue& other) {
  GridValue value{.grid = baseline.grid,
                  .cell_size = 0.5 * (baseline.cell_size + other.cell_size),
                  .value = std::nullopt,
                  .half_band = std::nullopt,
                  .rounding = 0.0,
                  .trouble = baseline.trouble.empty() ? other.trouble : baseline.trouble};
  if (baseline.value && other.value) {
    value.value = *other.value - *baseline.value;
    value.rounding = rounding_share * (std::abs(*other.value) + std::abs(*baseline.value));
  }
  if (baseline.half_band && other.half_band) {
    value.half_band = *baseline.half_band + *other.half_band;
  }
  return value;
}

std::optional<GridVerdict> difference_over_grids(const Quantity& baseline, const Quantity& other) {
  if (!baseline.grids || !other.grids) {
    return std::nullopt;
  }
  std::vector<GridValue> values;
  for (const GridValue& value : baseline.grids->values) {
    if (const GridValue* same_grid = other.grids->on(value.grid)) {
      values.push_back(difference_on_grid(value, *same_grid));
    }
  }
  const std::size_t n_planned = std::max(baseline.grids->values.size(), other.grids->values.size());
  return judge_grids(std::move(values), static_cast<int>(n_planned), other.unit);
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

std::vector<std::string> variant_phrases(const std::vector<VariedKey>& varied,
                                         const std::vector<std::string>& labels) {
  std::vector<std::string> phrases;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    std::vector<std::string> parts;
    for (const VariedKey& key : varied) {
      if (!key.texts[i].empty()) {
        parts.push_back(fmt::format("{} {}", key.label, key.texts[i]));
      }
    }
    phrases.push_back(parts.empty() ? labels[i] : fmt::format("{}", fmt::join(parts, ", ")));
  }
  return phrases;
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

/// Half band of the difference of two estimates: what they share of a coefficient's error moves both at once.
double coefficient_band(const Quantity& baseline, const Quantity& other) {
  constexpr double of_one_source = 0.5;  // correlation of two values of it
  double square = 0.0;
  for (const Quantity* quantity : {&baseline, &other}) {
    for (const CoefficientShift& one : quantity->shifts) square += one.shift * one.shift;
  }
  for (const CoefficientShift& here : other.shifts) {
    for (const CoefficientShift& there : baseline.shifts) {
      if (there.coefficient != here.coefficient) continue;
      square -= 2.0 * (there.value == here.value ? 1.0 : of_one_source) * here.shift * there.shift;
    }
  }
  return std::sqrt(std::max(square, 0.0));
}

}  // namespace

std::optional<Difference> difference(const Quantity* baseline, const Quantity* other) {
  if (baseline == nullptr || other == nullptr) {
    return std::nullopt;
  }
  Difference result;
  result.absolute = other->value - baseline->value;
  result.grids = difference_over_grids(*baseline, *other);
  const std::optional<double> grid_band = result.grids ? result.grids->band() : std::nullopt;
  const bool has_iterations = baseline->half_band && other->half_band;
  const bool is_estimate = baseline->basis == Basis::Estimate && other->basis == Basis::Estimate;
  result.contents = band_contents(has_iterations, grid_band.has_value());
  if (is_estimate && has_iterations) {
    result.contents = BandContents::Coefficients;
    result.band = coefficient_band(*baseline, *other);
    result.within_bands = !(std::abs(result.absolute) > *result.band);
  } else if (result.contents != BandContents::Nothing) {
    result.band = (has_iterations ? *baseline->half_band + *other->half_band : 0.0) + grid_band.value_or(0.0);
    result.within_bands = !(std::abs(result.absolute) > *result.band);
  }
  if (other->difference_in == DifferenceIn::Percent && std::abs(baseline->value) > 0.0) {
    result.relative = result.absolute / std::abs(baseline->value);
    result.relative_band =
        result.band ? std::optional(*result.band / std::abs(baseline->value)) : std::nullopt;
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
    notes.emplace_back(
        "grid levels differ: differences between variants on unlike grids contain those between the grids "
        "and "
        "stand in parentheses");
  }
  if (!all_alike(variants, [](const base::Manifest& m) { return m.program_version; })) {
    notes.emplace_back("the cases were written by different versions of the program");
  }
  const auto first = std::find_if(
      variants.begin(), variants.end(), [](const VariantResult& v) { return v.manifest.is_baseline; });
  baseline = first == variants.end() ? 0 : static_cast<std::size_t>(first - variants.begin());
  labels = variant_labels(variants);
  varied = varied_keys(variants);
  phrases = variant_phrases(varied, labels);
  if (variants.size() > 1 && variants[baseline].has_failed()) {
    notes.push_back(
        fmt::format("the baseline {} has failed: there are no differences to show", labels[baseline]));
  }
  rows = comparison_rows(variants);
  is_estimate = std::all_of(variants.begin(), variants.end(), [](const VariantResult& variant) {
    return variant.judgement.status == Status::Estimate;
  });
  has_grids = std::any_of(variants.begin(), variants.end(), [](const VariantResult& variant) {
    return variant.grids.size() > 1;
  });
}

const ComparisonRow* Comparison::find(std::string_view id) const {
  const auto found =
      std::find_if(rows.begin(), rows.end(), [id](const ComparisonRow& row) { return row.heading.id == id; });
  return found == rows.end() ? nullptr : &*found;
}

std::optional<Difference> Comparison::difference_in(const ComparisonRow& row, std::size_t variant) const {
  if (is_baseline(variant)) {
    return std::nullopt;
  }
  std::optional<Difference> result = difference(row.values[baseline], row.values[variant]);
  if (result && variants[variant].manifest.grid_level != variants[baseline].manifest.grid_level) {
    result->on_unlike_grids = true;
    result->within_bands = true;
  }
  return result;
}

}  // namespace cowlwright::post
