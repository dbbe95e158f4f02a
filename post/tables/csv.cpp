// SPDX-License-Identifier: GPL-3.0-or-later
//
// summary.csv: for spreadsheets and scripts.
#include "post/tables/statements.h"
#include "post/tables/wording.h"
#include "post/tables/writers.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::post {

namespace {

using Fields = std::vector<std::string>;

std::string quoted(const std::string& field) {
  if (field.find_first_of(",\"\r\n") == std::string::npos) {
    return field;
  }
  std::string text = "\"";
  for (const char c : field) {
    text += c == '"' ? std::string("\"\"") : std::string(1, c);
  }
  return text + "\"";
}

std::string line_of(const Fields& fields) {
  Fields quoted_fields;
  std::transform(fields.begin(), fields.end(), std::back_inserter(quoted_fields), quoted);
  return joined(quoted_fields, ",") + "\n";
}

bool has_band(const ComparisonRow& row) {
  return std::any_of(row.values.begin(), row.values.end(), [](const Quantity* quantity) {
    return quantity != nullptr && quantity->half_band.has_value();
  });
}

std::string all_cautions() {
  return joined({cautions.begin(), cautions.end()}, " ");
}

Fields header(const Comparison& comparison) {
  Fields fields{"study", "variant", "settings", "is baseline", "status", "status reason", "flagged", "flags"};
  for (const ComparisonRow& row : comparison.rows) {
    fields.push_back(heading_with_unit(row.heading));
    if (has_band(row)) {
      fields.push_back(fmt::format("{} half band [{}]", row.heading.name, row.heading.unit));
    }
  }
  for (const char* name : {"last iteration only",
                           "window first [iteration]",
                           "window last [iteration]",
                           "fields [iteration]",
                           "cells [-]",
                           "grid level",
                           "closure limit [%]",
                           "grid statement",
                           "notes",
                           "cautions"}) {
    fields.emplace_back(name);
  }
  return fields;
}

std::string last_iteration_names(const VariantResult& variant) {
  Fields names;
  for (const Quantity& quantity : variant.quantities) {
    if (quantity.basis == Basis::LastIteration) {
      names.push_back(quantity.name);
    }
  }
  return joined(names, "; ");
}

std::string number(double value) {
  return fmt::format("{:.8g}", value);
}

Fields row_of(const Comparison& comparison, std::size_t index) {
  const VariantResult& variant = comparison.variants[index];
  Fields fields{variant.manifest.study,
                comparison.labels[index],
                settings_text(variant),
                comparison.is_baseline(index) ? "yes" : "no",
                std::string(status_name(variant.judgement.status)),
                variant.judgement.reason,
                variant.flags.empty() && !variant.has_failed() ? "no" : "yes",
                joined(variant.flags, "; ")};
  for (const ComparisonRow& row : comparison.rows) {
    const Quantity* quantity = row.values[index];
    fields.push_back(quantity != nullptr ? number(quantity->value) : "");
    if (has_band(row)) {
      fields.push_back(quantity != nullptr && quantity->half_band ? number(*quantity->half_band) : "");
    }
  }
  const bool has_window = variant.n_samples > 0;
  fields.push_back(last_iteration_names(variant));
  fields.push_back(has_window ? number(variant.window_start) : "");
  fields.push_back(has_window ? number(variant.last_iteration) : "");
  fields.push_back(variant.has_failed() ? "" : number(variant.iteration));
  fields.push_back(variant.has_failed() ? "" : std::to_string(variant.n_cells));
  fields.push_back(variant.manifest.grid_level);
  fields.push_back(number(100.0 * variant.manifest.closure_tolerance));
  fields.emplace_back(grid_statement);
  fields.push_back(joined(variant.notes, "; "));
  fields.push_back(all_cautions());
  return fields;
}

}  // namespace

std::string summary_csv(const Comparison& comparison) {
  std::string text = line_of(header(comparison));
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    text += line_of(row_of(comparison, i));
  }
  return text;
}

}  // namespace cowlwright::post
