// SPDX-License-Identifier: GPL-3.0-or-later
//
// The table on the terminal.
#include "post/tables/answer.h"
#include "post/tables/screen_parts.h"
#include "post/tables/statements.h"
#include "post/tables/wording.h"
#include "post/tables/writers.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::post {

namespace {

constexpr std::size_t usual_heading_width = 37;

/// Widths of the columns.
struct Layout {
  std::size_t heading;
  std::size_t value;
  std::size_t difference;
  std::size_t others;  // variants in a block besides the baseline
};

std::string row_heading(const ComparisonRow& row) {
  return fmt::format(" {}", heading_with_unit(row.heading));
}

/// As many variants beside the baseline as the line holds: two, or one when differences have their own bands
/// or a heading is long.
Layout layout_of(const Comparison& comparison) {
  Layout layout{usual_heading_width, 16, 12, 2};
  if (comparison.has_grids || comparison.is_estimate) {
    layout.value = 21;
    layout.difference = 24;
  }
  for (const ComparisonRow& row : comparison.rows) {
    layout.heading = std::max(layout.heading, display_width(row_heading(row)));
  }
  const std::size_t both = layout.heading + layout.value + 2 * (layout.value + layout.difference);
  layout.others = both > line_width ? 1 : 2;
  return layout;
}

/// A variant's name in lines of at most `width` characters, broken behind an underscore where there is one.
std::vector<std::string> name_lines(const std::string& name, std::size_t width) {
  std::vector<std::string> lines;
  for (std::size_t begin = 0; begin < name.size();) {
    std::size_t length = std::min(width, name.size() - begin);
    if (begin + length < name.size()) {
      const std::size_t underscore = name.substr(begin, length).rfind('_');
      length = underscore == std::string::npos ? length : underscore + 1;
    }
    lines.push_back(name.substr(begin, length));
    begin += length;
  }
  return lines;
}

/// Positions of the variants in one block of columns, baseline first.
using Block = std::vector<std::size_t>;

std::vector<Block> blocks_of(const Comparison& comparison, const Layout& layout) {
  std::vector<Block> blocks{{comparison.baseline}};
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    if (comparison.is_baseline(i)) {
      continue;
    }
    if (blocks.back().size() > layout.others) {
      blocks.push_back({comparison.baseline});
    }
    blocks.back().push_back(i);
  }
  return blocks;
}

std::size_t column_width(const Comparison& comparison, const Layout& layout, std::size_t variant) {
  return comparison.is_baseline(variant) ? layout.value : layout.value + layout.difference;
}

std::string block_head(const Comparison& comparison, const Layout& layout, const Block& block) {
  std::vector<std::vector<std::string>> names;
  std::size_t n_lines = 0;
  for (const std::size_t variant : block) {
    names.push_back(name_lines(comparison.labels[variant], column_width(comparison, layout, variant) - 2));
    if (comparison.is_baseline(variant)) {
      names.back().emplace_back("(baseline)");
    }
    n_lines = std::max(n_lines, names.back().size());
  }
  std::string text;
  for (std::size_t line = 0; line < n_lines; ++line) {
    std::string row(layout.heading, ' ');
    for (std::size_t i = 0; i < block.size(); ++i) {
      row += padded_left(line < names[i].size() ? names[i][line] : "",
                         column_width(comparison, layout, block[i]));
    }
    text += trimmed(row);
  }
  return text;
}

template <typename CellText>
std::string status_line(const Comparison& comparison,
                        const Layout& layout,
                        const Block& block,
                        const std::string& name,
                        CellText text) {
  std::string row = padded_right(name, layout.heading);
  for (const std::size_t variant : block) {
    row += padded_left(text(comparison.variants[variant]), column_width(comparison, layout, variant));
  }
  return trimmed(row);
}

std::string quantity_line(const Comparison& comparison,
                          const Layout& layout,
                          const Block& block,
                          const ComparisonRow& row) {
  std::string line = padded_right(row_heading(row), layout.heading);
  for (const std::size_t variant : block) {
    line += padded_left(value_text(row.values[variant], comparison.variants[variant]), layout.value);
    if (!comparison.is_baseline(variant)) {
      line += padded_left(difference_text(comparison.difference_in(row, variant), row.heading),
                          layout.difference);
    }
  }
  return trimmed(line);
}

bool has_values(const ComparisonRow& row, const Block& block) {
  return std::any_of(block.begin(), block.end(), [&row](std::size_t i) { return row.values[i] != nullptr; });
}

std::string block_text(const Comparison& comparison, const Layout& layout, const Block& block) {
  std::string text = block_head(comparison, layout, block);
  text += status_line(comparison, layout, block, "status", [](const VariantResult& variant) {
    return std::string(status_name(variant.judgement.status));
  });
  text += status_line(comparison, layout, block, "flagged", [](const VariantResult& variant) -> std::string {
    return variant.has_failed() ? "failed" : variant.flags.empty() ? "no" : "FLAGGED";
  });
  std::string group;
  for (const ComparisonRow& row : comparison.rows) {
    if (!has_values(row, block)) {
      continue;
    }
    if (row.heading.group != group) {
      group = row.heading.group;
      text += group + "\n";
    }
    text += quantity_line(comparison, layout, block, row);
  }
  return text + "\n";
}

std::string answer_text(const Comparison& comparison) {
  const Answer answer = answer_of(comparison);
  std::string text = wrapped("", std::string(standing_text(answer.standing)));
  for (const std::string& sentence : answer.sentences) {
    text += wrapped("  ", sentence);
  }
  for (const std::string& reason : answer.reasons) {
    text += wrapped("  reservation: ", reason);
  }
  return text + "\n";
}

std::string remarks(const Comparison& comparison) {
  std::string text;
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const VariantResult& variant = comparison.variants[i];
    const std::string settings = settings_text(variant);
    text += wrapped(fmt::format("{}: ", comparison.labels[i]),
                    fmt::format("{}: {}; {}; values over {}; {}{}",
                                status_name(variant.judgement.status),
                                variant.judgement.reason,
                                source_text(variant),
                                window_text(variant),
                                variant.discretisation,
                                settings.empty() ? std::string() : fmt::format("; set: {}", settings)));
    for (const std::string& flag : variant.flags) {
      text += wrapped("  ! FLAGGED: ", flag);
    }
    for (const std::string& note : variant.notes) {
      text += wrapped("  - ", note);
    }
  }
  for (const std::string& note : comparison.notes) {
    text += wrapped("- ", note);
  }
  return text;
}

}  // namespace

std::string wrapped(const std::string& lead, const std::string& text) {
  std::string result;
  std::string line = lead;
  bool line_has_words = false;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find(' ', begin), text.size());
    const std::string word = text.substr(begin, end - begin);
    if (line_has_words && display_width(line) + 1 + display_width(word) > line_width) {
      result += line + "\n";
      line = "    ";
      line_has_words = false;
    }
    line += (line_has_words ? " " : "") + word;
    line_has_words = true;
    begin = end + 1;
  }
  return result + line + "\n";
}

std::string screen_table(const Comparison& comparison) {
  const base::Manifest& manifest = comparison.variants.front().manifest;
  std::string text = wrapped("", manifest.study);
  text += manifest.question.empty() ? "" : wrapped("Question: ", manifest.question);
  text += "\n";
  const Layout layout = layout_of(comparison);
  for (const Block& block : blocks_of(comparison, layout)) {
    text += block_text(comparison, layout, block);
  }
  text += screen_estimate(comparison);
  text += screen_grids(comparison);
  text += wrapped(
      "",
      fmt::format(
          "{}{} Differences are against the baseline; in parentheses when within their band or between "
          "unlike grids. ! marks values of a flagged variant. pt: percentage points. {}",
          comparison.is_estimate ? estimate_band_statement : band_statement,
          comparison.has_grids ? fmt::format(" {}", grid_rule) : std::string(),
          comparison.is_estimate ? not_in_estimate_bands : not_in_bands));
  text += fmt::format("\n{}\n", remarks(comparison));
  text += answer_text(comparison);
  for (const std::string_view caution : cautions) {
    text += wrapped("", std::string(caution));
  }
  return text;
}

}  // namespace cowlwright::post
