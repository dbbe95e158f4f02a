// SPDX-License-Identifier: GPL-3.0-or-later
//
// Sections of summary.md on grids and bands.
#include "post/tables/markdown_parts.h"

#include "post/quantities/pressure_budget.h"
#include "post/tables/wording.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::post {

namespace {

using Cells = std::vector<std::string>;

std::string ruled_head(const Cells& names) {
  Cells rules(names.size(), "---:");
  rules.front() = "---";
  return line_of(names) + line_of(rules);
}

std::string optional_text(const std::optional<double>& value, int decimals, double factor = 1.0) {
  return value ? number_text(factor * *value, decimals) : std::string();
}

std::string optional_band(const std::optional<double>& band, int decimals) {
  return band ? fmt::format("±{}", band_text(*band, decimals)) : std::string();
}

Cells grid_levels(const VariantResult& variant) {
  Cells levels;
  for (const GridMember& member : variant.grids) {
    levels.push_back(member.level);
  }
  return levels;
}

/// The value on each of these grids; in brackets where the grid is left out.
Cells values_on(const GridVerdict& verdict, const Cells& levels, int decimals) {
  Cells cells;
  for (const std::string& level : levels) {
    const GridValue* found = verdict.on(level);
    const bool is_known = found != nullptr && found->value;
    const std::string text = is_known ? number_text(*found->value, decimals) : std::string("n/a");
    cells.push_back(is_known && !found->trouble.empty() ? fmt::format("[{}]", text) : text);
  }
  return cells;
}

std::string members_table(const VariantResult& variant) {
  std::string text = ruled_head({"grid", "case", "cell size [mm]", "cells", "status", "used"});
  for (const GridMember& member : variant.grids) {
    text += line_of({member.level,
                     escaped(member.folder),
                     number_text(1000.0 * member.cell_size, 2),
                     member.status == Status::Failed ? "n/a" : std::to_string(member.n_cells),
                     escaped(fmt::format("{}: {}", status_name(member.status), member.reason)),
                     member.trouble.empty() ? "yes" : escaped(fmt::format("no: {}", member.trouble))});
  }
  return text;
}

/// Order, indices, extrapolated value and band of a verdict, and its words.
Cells finding_cells(const GridVerdict& verdict, int decimals) {
  const GridConvergence none;
  const GridConvergence& found = verdict.convergence ? *verdict.convergence : none;
  return {optional_text(found.order, 2),
          optional_text(found.gci_21, 2, 100.0),
          optional_text(found.gci_32, 2, 100.0),
          optional_text(found.extrapolated, decimals),
          optional_band(verdict.band(), decimals),
          escaped(fmt::format("{}{}", verdict.is_flagged() ? "~ " : "", verdict.text))};
}

Cells verdict_head(const std::string& first, const Cells& levels) {
  Cells names{first};
  names.insert(names.end(), levels.begin(), levels.end());
  names.insert(names.end(),
               {"order", "GCI fine [%]", "GCI middle [%]", "extrapolated", "discretisation band", "finding"});
  return names;
}

std::string verdict_line(const Quantity& heading, const GridVerdict& verdict, const Cells& levels) {
  Cells cells{heading_with_unit(heading)};
  for (const Cells& more :
       {values_on(verdict, levels, heading.decimals), finding_cells(verdict, heading.decimals)}) {
    cells.insert(cells.end(), more.begin(), more.end());
  }
  return line_of(cells);
}

std::string values_table(const Comparison& comparison, std::size_t variant) {
  const Cells levels = grid_levels(comparison.variants[variant]);
  std::string lines;
  for (const ComparisonRow& row : comparison.rows) {
    const Quantity* quantity = row.values[variant];
    if (quantity != nullptr && quantity->grids) {
      lines += verdict_line(row.heading, *quantity->grids, levels);
    }
  }
  return lines.empty() ? lines : fmt::format("\n{}{}", ruled_head(verdict_head("quantity", levels)), lines);
}

std::string differences_table(const Comparison& comparison, std::size_t variant) {
  const Cells levels = grid_levels(comparison.variants[variant]);
  std::string lines;
  for (const ComparisonRow& row : comparison.rows) {
    const std::optional<Difference> difference = comparison.difference_in(row, variant);
    if (difference && difference->grids) {
      lines += verdict_line(row.heading, *difference->grids, levels);
    }
  }
  return lines.empty() ? lines
                       : fmt::format("\n{}{}", ruled_head(verdict_head("less the baseline", levels)), lines);
}

/// "10.0 (standard error 1.2, worth 14 samples) + 20.1".
std::string parts_text(const Quantity* quantity) {
  if (quantity == nullptr) {
    return "n/a";
  }
  std::string text = quantity->half_band ? band_text(*quantity->half_band, quantity->decimals) : "";
  if (quantity->standard_error && quantity->effective_samples) {
    text += fmt::format(" (standard error {}, worth {:.0f} samples)",
                        band_text(*quantity->standard_error, quantity->decimals),
                        *quantity->effective_samples);
  }
  const std::optional<double> band = quantity->grids ? quantity->grids->band() : std::nullopt;
  return fmt::format(
      "{} + {}", text.empty() ? "unknown" : text, band ? band_text(*band, quantity->decimals) : "unknown");
}

bool has_band(const ComparisonRow& row) {
  return std::any_of(row.values.begin(), row.values.end(), [](const Quantity* quantity) {
    return quantity != nullptr && published_band(*quantity).has_value();
  });
}

}  // namespace

std::string escaped(const std::string& text) {
  std::string result;
  for (const char c : text) {
    if (c == '|' || c == '*' || c == '_' || c == '~') {
      result += '\\';
    }
    result += c == '\n' ? ' ' : c;
  }
  return result;
}

std::string line_of(const std::vector<std::string>& cells) {
  return fmt::format("| {} |\n", joined(cells, " | "));
}

std::string budget_markdown(const Comparison& comparison) {
  std::string lines;
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const VariantResult& variant = comparison.variants[i];
    const auto steps = pressure_budget(variant);
    if (!variant.is_estimate() || !steps) continue;
    for (const BudgetStep& step : *steps) {
      lines += line_of({escaped(comparison.labels[i]),
                        step.name,
                        signed_text(step.change, 1),
                        signed_text(step.of_reference, 3)});
    }
  }
  const std::string& reference = comparison.variants.front().manifest.flight.reference_name;
  return lines.empty() ? lines
                       : fmt::format("\n## Where the pressure goes\n\n{}{}",
                                     ruled_head({"variant", "step", "change [Pa]", "over " + reference}),
                                     lines);
}

std::string coefficients_markdown(const Comparison& comparison) {
  std::string text;
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const VariantResult& variant = comparison.variants[i];
    if (variant.coefficients.empty()) continue;
    text += fmt::format("\n### {}\n\n", escaped(comparison.labels[i]));
    text +=
        ruled_head({"coefficient", "value", "half band", "unit", "deck difference moves by [Pa]", "source"});
    for (const EstimateCoefficient& one : variant.coefficients) {
      text += line_of({escaped(one.name),
                       fmt::format("{:.4g}", one.value),
                       fmt::format("{:.2g}", one.half_band),
                       one.unit,
                       signed_text(one.shift, 1),
                       escaped(one.source)});
    }
  }
  return text.empty() ? text
                      : fmt::format(
                            "\n## Coefficients\n\nWhat the estimate stands on. \"moves by\": when the "
                            "coefficient rises by its half band.\n{}",
                            text);
}

std::string grids_markdown(const Comparison& comparison) {
  if (!comparison.has_grids) {
    return {};
  }
  std::string text =
      "\n## Grids\n\nFine to coarse; values in brackets are of grids that are left out. GCI: grid "
      "convergence "
      "index. An empty cell: not defined for this behaviour.\n";
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const VariantResult& variant = comparison.variants[i];
    text +=
        fmt::format("\n### Grids of {}\n\n{}.\n\n", escaped(comparison.labels[i]), variant.discretisation);
    if (variant.grids.size() > 1) {
      text += members_table(variant) + values_table(comparison, i) + differences_table(comparison, i);
    }
  }
  return text;
}

std::string averages_markdown(const Comparison& comparison) {
  if (comparison.is_estimate) return {};  // the coefficients' table says it
  Cells names{"band of"};
  for (const std::string& label : comparison.labels) {
    names.push_back(escaped(label));
  }
  std::string lines;
  for (const ComparisonRow& row : comparison.rows) {
    if (!has_band(row)) {
      continue;
    }
    Cells cells{heading_with_unit(row.heading)};
    std::transform(row.values.begin(), row.values.end(), std::back_inserter(cells), parts_text);
    lines += line_of(cells);
  }
  return lines.empty() ? lines
                       : fmt::format(
                             "\n## What the bands contain\n\nHalf band of the iterations + discretisation "
                             "band of the grids.\n\n{}{}",
                             ruled_head(names),
                             lines);
}

}  // namespace cowlwright::post
