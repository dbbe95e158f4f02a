// SPDX-License-Identifier: GPL-3.0-or-later
//
// summary.md: for reading and for passing on.
#include "post/tables/answer.h"
#include "post/tables/markdown_parts.h"
#include "post/tables/statements.h"
#include "post/tables/wording.h"
#include "post/tables/writers.h"

#include <fmt/format.h>

namespace cowlwright::post {

namespace {

/// One cell of each variant, and empty cells for the differences of the others.
template <typename CellText>
std::string variant_line(const Comparison& comparison, const std::string& name, CellText text) {
  std::vector<std::string> cells{name};
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    cells.push_back(escaped(text(i)));
    if (!comparison.is_baseline(i)) {
      cells.insert(cells.end(), {"", ""});
    }
  }
  return line_of(cells);
}

std::string table_head(const Comparison& comparison) {
  std::vector<std::string> names{"quantity"};
  std::vector<std::string> rules{"---"};
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const bool is_baseline = comparison.is_baseline(i);
    names.push_back(escaped(comparison.labels[i]) + (is_baseline ? " (baseline)" : ""));
    rules.emplace_back("---:");
    if (!is_baseline) {
      names.insert(names.end(), {"difference", "difference [%]"});
      rules.insert(rules.end(), {"---:", "---:"});
    }
  }
  return line_of(names) + line_of(rules);
}

std::string absolute_text(const std::optional<Difference>& difference, const Quantity& heading) {
  if (!difference) {
    return "n/a";
  }
  const std::string unit = heading.difference_in == DifferenceIn::Points ? " pt" : "";
  const std::string text =
      difference_number(*difference, difference->absolute, difference->band, heading.decimals) + unit;
  return difference->within_bands ? fmt::format("({})", text) : text;
}

std::string relative_text(const std::optional<Difference>& difference) {
  if (!difference || !difference->relative) {
    return "";
  }
  const std::optional<double> band =
      difference->relative_band ? std::optional(100.0 * *difference->relative_band) : std::nullopt;
  const std::string text = difference_number(*difference, 100.0 * *difference->relative, band, 1);
  return difference->within_bands ? fmt::format("({})", text) : text;
}

std::string quantity_line(const Comparison& comparison, const ComparisonRow& row) {
  std::vector<std::string> cells{heading_with_unit(row.heading)};
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    cells.push_back(escaped(value_text(row.values[i], comparison.variants[i])));
    if (!comparison.is_baseline(i)) {
      const std::optional<Difference> difference = comparison.difference_in(row, i);
      cells.push_back(escaped(absolute_text(difference, row.heading)));
      cells.push_back(escaped(relative_text(difference)));
    }
  }
  return line_of(cells);
}

std::string table(const Comparison& comparison) {
  const auto& variants = comparison.variants;
  std::string text = table_head(comparison);
  text += variant_line(comparison, "status", [&](std::size_t i) {
    return std::string(status_name(variants[i].judgement.status));
  });
  text += variant_line(comparison, "flagged", [&](std::size_t i) -> std::string {
    return variants[i].has_failed() ? "failed" : variants[i].flags.empty() ? "no" : "FLAGGED, see below";
  });
  for (const BalanceCheck& balance : all_balances(comparison)) {
    text += variant_line(comparison, balance.name, [&](std::size_t i) {
      const BalanceCheck* check = find_balance(variants[i], balance.id);
      return check != nullptr ? balance_text(*check) : std::string("n/a");
    });
  }
  text += variant_line(comparison, "values over", [&](std::size_t i) { return window_text(variants[i]); });
  text +=
      variant_line(comparison, "discretisation", [&](std::size_t i) { return variants[i].discretisation; });
  std::string group;
  for (const ComparisonRow& row : comparison.rows) {
    if (row.heading.group != group) {
      group = row.heading.group;
      text +=
          variant_line(comparison, fmt::format("**{}**", group), [](std::size_t) { return std::string(); });
    }
    text += quantity_line(comparison, row);
  }
  return text;
}

std::string variant_remarks(const Comparison& comparison) {
  std::string text;
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const VariantResult& variant = comparison.variants[i];
    text += fmt::format("\n### {}\n\n", escaped(comparison.labels[i]));
    const std::string settings = settings_text(variant);
    text += settings.empty() ? "" : fmt::format("- set: {}\n", escaped(settings));
    text += fmt::format("- {}\n", escaped(source_text(variant)));
    text += fmt::format(
        "- status: {}: {}\n", status_name(variant.judgement.status), escaped(variant.judgement.reason));
    for (const std::string& flag : variant.flags) {
      text += fmt::format("- **FLAGGED**: {}\n", escaped(flag));
    }
    for (const std::string& note : variant.notes) {
      text += fmt::format("- note: {}\n", escaped(note));
    }
  }
  return text;
}

/// The few quantities that the answer rests on, a line for each variant: small enough for a forum.
std::string short_table(const Comparison& comparison, const std::vector<std::string>& ids) {
  std::vector<std::string> names{"variant", "status"};
  for (const std::string& id : ids) {
    names.push_back(heading_with_unit(comparison.find(id)->heading));
  }
  std::string text = line_of(names) + line_of(std::vector<std::string>(names.size(), "---"));
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const VariantResult& variant = comparison.variants[i];
    std::vector<std::string> cells{
        escaped(comparison.phrases[i]),
        std::string(status_name(variant.judgement.status)) + (variant.flags.empty() ? "" : ", FLAGGED")};
    for (const std::string& id : ids) {
      const ComparisonRow& row = *comparison.find(id);
      const std::string change = difference_text(comparison.difference_in(row, i), row.heading);
      cells.push_back(escaped(value_text(row.values[i], variant) + (change.empty() ? "" : "; " + change)));
    }
    text += line_of(cells);
  }
  return text;
}

std::string answer_text(const Comparison& comparison) {
  const Answer answer = answer_of(comparison);
  std::string text = fmt::format("\n**{}**\n\n", standing_text(answer.standing));
  for (const std::string& sentence : answer.sentences) {
    text += fmt::format("- {}\n", escaped(sentence));
  }
  for (const std::string& reason : answer.reasons) {
    text += fmt::format("- reservation: {}\n", escaped(reason));
  }
  return fmt::format("{}\n{}", text, short_table(comparison, answer.quantities));
}

std::string definitions(const Comparison& comparison) {
  std::string text;
  for (const ComparisonRow& row : comparison.rows) {
    text += fmt::format("- **{}**: {}\n", heading_with_unit(row.heading), escaped(row.heading.definition));
  }
  return text;
}

}  // namespace

std::string summary_markdown(const Comparison& comparison) {
  const base::Manifest& manifest = comparison.variants.front().manifest;
  std::string text = fmt::format("# {}\n\n", escaped(manifest.study));
  text += manifest.question.empty() ? "" : fmt::format("Question: {}\n\n", escaped(manifest.question));
  for (const std::string_view caution : cautions) {
    text += fmt::format("> {}\n", caution);
  }
  text += answer_text(comparison);
  text += fmt::format("\n## All quantities\n\n{}\n", table(comparison));
  text += fmt::format(
      "{}{} A difference in parentheses is within its band, or between unlike grids: no difference was "
      "shown. "
      "Values marked ! belong to a flagged variant. pt: percentage points. {}\n\n{}\n",
      escaped(std::string(comparison.is_estimate ? estimate_band_statement : band_statement)),
      comparison.has_grids ? fmt::format(" {}", escaped(std::string(grid_rule))) : std::string(),
      comparison.is_estimate ? not_in_estimate_bands : not_in_bands,
      comparison.is_estimate ? estimate_status_rule : status_rule);
  for (const std::string& note : comparison.notes) {
    text += fmt::format("\n- note: {}\n", escaped(note));
  }
  text += fmt::format("\n## Variants\n{}", variant_remarks(comparison));
  text += budget_markdown(comparison);
  text += coefficients_markdown(comparison);
  text += grids_markdown(comparison);
  text += averages_markdown(comparison);
  text += "\n## Definitions\n\nPressures are gauge, relative to the free stream.\n\n";
  text += definitions(comparison);
  return text;
}

}  // namespace cowlwright::post
