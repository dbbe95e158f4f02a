// SPDX-License-Identifier: GPL-3.0-or-later
//
// summary_tidy.csv: one row for each value, for statistics and plotting programs.
#include "post/tables/csv_parts.h"
#include "post/tables/wording.h"
#include "post/tables/writers.h"

#include <fmt/format.h>

namespace cowlwright::post {

namespace {

/// "exit.lip_angle [deg]" over its numbers, or the key over its texts.
std::string head_of(const VariedKey& key) {
  return key.numbers && !key.unit.empty() ? fmt::format("{} [{}]", key.key, key.unit) : key.key;
}

std::string field_of(const VariedKey& key, std::size_t variant) {
  return key.numbers ? number(key.numbers->at(variant)) : key.texts[variant];
}

Fields heads(const std::vector<VariedKey>& keys) {
  Fields fields{"study", "variant"};
  for (const VariedKey& key : keys) {
    fields.push_back(head_of(key));
  }
  const Fields rest{"is baseline",
                    "status",
                    "flagged",
                    "group",
                    "quantity",
                    "name",
                    "unit",
                    "value",
                    "half band",
                    "standard error",
                    "band",
                    "band contains",
                    "basis",
                    "difference",
                    "difference in",
                    "difference [%]",
                    "difference band",
                    "difference within band",
                    "grid statement",
                    "cautions"};
  fields.insert(fields.end(), rest.begin(), rest.end());
  return fields;
}

/// What every row of a variant starts with.
Fields leading_fields(const Comparison& comparison, std::size_t index) {
  const VariantResult& variant = comparison.variants[index];
  Fields fields{variant.manifest.study, comparison.labels[index]};
  for (const VariedKey& key : comparison.varied) {
    fields.push_back(field_of(key, index));
  }
  fields.emplace_back(comparison.is_baseline(index) ? "yes" : "no");
  fields.emplace_back(status_name(variant.judgement.status));
  fields.emplace_back(variant.flags.empty() && !variant.has_failed() ? "no" : "yes");
  return fields;
}

void add_difference(Fields& fields, const std::optional<Difference>& difference, const Quantity& quantity) {
  if (!difference) {
    fields.insert(fields.end(), 5, std::string());
    return;
  }
  fields.push_back(number(difference->absolute));
  fields.push_back(difference_unit(quantity));
  fields.push_back(number(difference->relative, 100.0));
  fields.push_back(number(difference->band));
  fields.emplace_back(difference->within_bands ? "yes" : "no");
}

}  // namespace

std::string summary_tidy_csv(const Comparison& comparison) {
  std::string text = csv_line(heads(comparison.varied));
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const Fields leading = leading_fields(comparison, i);
    for (const ComparisonRow& row : comparison.rows) {
      const Quantity* quantity = row.values[i];
      if (quantity == nullptr) {
        continue;
      }
      Fields fields = leading;
      for (const std::string& field : {quantity->group,
                                       quantity->id,
                                       quantity->name,
                                       quantity->unit,
                                       number(quantity->value),
                                       number(quantity->half_band),
                                       number(quantity->standard_error),
                                       number(published_band(*quantity)),
                                       std::string(contents_name(band_contents(*quantity))),
                                       std::string(basis_name(quantity->basis))}) {
        fields.push_back(field);
      }
      add_difference(fields, comparison.difference_in(row, i), *quantity);
      fields.push_back(comparison.variants[i].discretisation);
      fields.push_back(cautions_text());
      text += csv_line(fields);
    }
  }
  return text;
}

}  // namespace cowlwright::post
