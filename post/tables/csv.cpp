// SPDX-License-Identifier: GPL-3.0-or-later
//
// summary.csv: for spreadsheets and scripts.
#include "post/tables/csv_parts.h"
#include "post/tables/statements.h"
#include "post/tables/wording.h"
#include "post/tables/writers.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

namespace cowlwright::post {

namespace {

/// A column: its head and its field of a variant.
struct Column {
  std::string head;
  std::function<std::string(std::size_t)> field;
};
using Columns = std::vector<Column>;

/// A column of one quantity: its field from the quantity where the variant has it.
template <typename Field>
Column quantity_column(const ComparisonRow& row,
                       const std::string& what,
                       const std::string& unit,
                       Field field) {
  const std::string head =
      fmt::format("{} {}{}", row.heading.name, what, unit.empty() ? "" : " [" + unit + "]");
  return {head, [&row, field](std::size_t i) {
            return row.values[i] != nullptr ? std::string(field(*row.values[i])) : std::string();
          }};
}

template <typename Property>
bool any_has(const ComparisonRow& row, Property property) {
  return std::any_of(row.values.begin(), row.values.end(), [&](const Quantity* quantity) {
    return quantity != nullptr && property(*quantity);
  });
}

void add_iterations(Columns& columns, const ComparisonRow& row) {
  const std::string& unit = row.heading.unit;
  if (any_has(row, [](const Quantity& q) { return q.half_band.has_value(); })) {
    columns.push_back(
        quantity_column(row, "half band", unit, [](const Quantity& q) { return number(q.half_band); }));
  }
  if (any_has(row, [](const Quantity& q) { return q.standard_error.has_value(); })) {
    columns.push_back(quantity_column(
        row, "standard error", unit, [](const Quantity& q) { return number(q.standard_error); }));
    columns.push_back(quantity_column(
        row, "effective samples", "-", [](const Quantity& q) { return number(q.effective_samples); }));
  }
}

/// Names of the grids on which some variant has this quantity, fine to coarse.
Fields grid_names(const ComparisonRow& row) {
  Fields names;
  for (const Quantity* quantity : row.values) {
    if (quantity == nullptr || !quantity->grids) {
      continue;
    }
    for (const GridValue& value : quantity->grids->values) {
      if (std::find(names.begin(), names.end(), value.grid) == names.end()) {
        names.push_back(value.grid);
      }
    }
  }
  return names;
}

std::string value_on(const Quantity& quantity, const std::string& grid) {
  const GridValue* value = quantity.grids ? quantity.grids->on(grid) : nullptr;
  return value != nullptr ? number(value->value) : std::string();
}

/// A number of the convergence study, when there is one.
template <typename Member>
auto estimate(Member member, double factor = 1.0) {
  return [member, factor](const Quantity& q) {
    return q.grids && q.grids->convergence ? number((*q.grids->convergence).*member, factor) : std::string();
  };
}

void add_grids(Columns& columns, const ComparisonRow& row) {
  if (!any_has(row, [](const Quantity& q) { return q.grids.has_value(); })) {
    return;
  }
  const std::string& unit = row.heading.unit;
  const auto add = [&](const std::string& what, const std::string& unit_of_it, auto field) {
    columns.push_back(quantity_column(row, what, unit_of_it, field));
  };
  add("band", unit, [](const Quantity& q) { return number(published_band(q)); });
  add("band contains", "", [](const Quantity& q) { return contents_name(band_contents(q)); });
  add("discretisation band", unit, estimate(&GridConvergence::band));
  add("grid behaviour", "", [](const Quantity& q) { return q.grids ? q.grids->behaviour() : ""; });
  add("grid behaviour flagged", "", [](const Quantity& q) {
    return !q.grids ? "" : q.grids->is_flagged() ? "yes" : "no";
  });
  add("observed order", "-", estimate(&GridConvergence::order));
  add("GCI", "%", estimate(&GridConvergence::gci_21, 100.0));
  add("extrapolated", unit, estimate(&GridConvergence::extrapolated));
  for (const std::string& grid : grid_names(row)) {
    add("on " + grid, unit, [grid](const Quantity& q) { return value_on(q, grid); });
  }
  add("grid statement", "", [](const Quantity& q) { return q.grids ? q.grids->text : std::string(); });
}

void add_differences(Columns& columns, const Comparison& comparison, const ComparisonRow& row) {
  if (!(comparison.has_grids || comparison.is_estimate) || comparison.variants.size() < 2) {
    return;
  }
  const auto add = [&](const std::string& what, const std::string& unit, auto field) {
    const std::string head =
        fmt::format("{} {}{}", row.heading.name, what, unit.empty() ? "" : " [" + unit + "]");
    columns.push_back({head, [&comparison, &row, field](std::size_t i) {
                         const std::optional<Difference> difference = comparison.difference_in(row, i);
                         return difference ? std::string(field(*difference)) : std::string();
                       }});
  };
  const std::string& unit = row.heading.unit;
  add("difference", unit, [](const Difference& d) { return number(d.absolute); });
  add("difference band", unit, [](const Difference& d) { return number(d.band); });
  add("difference band contains", "", [](const Difference& d) { return contents_name(d.contents); });
  add("difference within band", "", [](const Difference& d) { return d.within_bands ? "yes" : "no"; });
  add("difference grid behaviour", "", [](const Difference& d) {
    return d.grids ? d.grids->behaviour() : "";
  });
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

/// A column filled from the variant.
template <typename Field>
Column variant_column(const Comparison& comparison, const char* head, Field field) {
  return {head, [&comparison, field](std::size_t i) { return std::string(field(comparison.variants[i])); }};
}

Columns leading_columns(const Comparison& comparison) {
  const auto of_variant = [&comparison](const char* head, auto field) {
    return variant_column(comparison, head, field);
  };
  return {
      of_variant("study", [](const VariantResult& v) { return v.manifest.study; }),
      {"variant", [&comparison](std::size_t i) { return comparison.labels[i]; }},
      of_variant("settings", settings_text),
      {"is baseline",
       [&comparison](std::size_t i) { return std::string(comparison.is_baseline(i) ? "yes" : "no"); }},
      of_variant("status", [](const VariantResult& v) { return status_name(v.judgement.status); }),
      of_variant("status reason", [](const VariantResult& v) { return v.judgement.reason; }),
      of_variant("flagged",
                 [](const VariantResult& v) { return v.flags.empty() && !v.has_failed() ? "no" : "yes"; }),
      of_variant("flags", [](const VariantResult& v) { return joined(v.flags, "; "); })};
}

std::string limit_text(const BalanceCheck& check) {
  return check.lowest == -check.highest ? number(check.highest)
                                        : fmt::format("{:g} to {:g}", check.lowest, check.highest);
}

void add_balances(Columns& columns, const Comparison& comparison) {
  for (const BalanceCheck& balance : all_balances(comparison)) {
    const auto add = [&](const std::string& what, auto field) {
      columns.push_back(
          {fmt::format("{} {}", balance.name, what), [&, id = balance.id, field](std::size_t i) {
             const BalanceCheck* check = find_balance(comparison.variants[i], id);
             return check != nullptr ? std::string(field(*check)) : std::string();
           }});
    };
    add("limit [%]", limit_text);
    add("exceeded", [](const BalanceCheck& check) { return check.is_exceeded() ? "yes" : "no"; });
  }
}

void add_trailing_columns(Columns& columns, const Comparison& comparison) {
  const auto add = [&](const char* head, auto field) {
    columns.push_back(variant_column(comparison, head, field));
  };
  add("last iteration only", last_iteration_names);
  add("window first [iteration]",
      [](const VariantResult& v) { return v.n_samples > 0 ? number(v.window_start) : std::string(); });
  add("window last [iteration]",
      [](const VariantResult& v) { return v.n_samples > 0 ? number(v.last_iteration) : std::string(); });
  add("fields [iteration]", [](const VariantResult& v) {
    return v.has_failed() || v.is_estimate() ? std::string() : number(v.iteration);
  });
  add("cells [-]", [](const VariantResult& v) {
    return v.has_failed() || v.is_estimate() ? std::string() : std::to_string(v.n_cells);
  });
  add("grid level", [](const VariantResult& v) { return v.manifest.grid_level; });
  add_balances(columns, comparison);
  add("grid statement", [](const VariantResult& v) { return v.discretisation; });
  add("bands", [](const VariantResult& v) {
    return fmt::format("{}{} {}",
                       v.is_estimate() ? estimate_band_statement : band_statement,
                       v.grids.size() > 1 ? fmt::format(" {}", grid_rule) : std::string(),
                       v.is_estimate() ? not_in_estimate_bands : not_in_bands);
  });
  add("notes", [](const VariantResult& v) { return joined(v.notes, "; "); });
  add("cautions", [](const VariantResult&) { return cautions_text(); });
}

Columns all_columns(const Comparison& comparison) {
  Columns columns = leading_columns(comparison);
  for (const ComparisonRow& row : comparison.rows) {
    columns.push_back({heading_with_unit(row.heading), [&row](std::size_t i) {
                         return row.values[i] != nullptr ? number(row.values[i]->value) : std::string();
                       }});
    add_iterations(columns, row);
    add_grids(columns, row);
    add_differences(columns, comparison, row);
  }
  add_trailing_columns(columns, comparison);
  return columns;
}

}  // namespace

std::string summary_csv(const Comparison& comparison) {
  const Columns columns = all_columns(comparison);
  Fields fields;
  std::transform(columns.begin(), columns.end(), std::back_inserter(fields), [](const Column& column) {
    return column.head;
  });
  std::string text = csv_line(fields);
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    std::transform(columns.begin(), columns.end(), fields.begin(), [i](const Column& column) {
      return column.field(i);
    });
    text += csv_line(fields);
  }
  return text;
}

}  // namespace cowlwright::post
