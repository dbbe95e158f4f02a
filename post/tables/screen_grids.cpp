// SPDX-License-Identifier: GPL-3.0-or-later
//
// The terminal's short table of grids; summary.md has all quantities.
#include "post/tables/screen_parts.h"
#include "post/tables/wording.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace cowlwright::post {

namespace {

constexpr std::array chief_quantities{
    "deck_pressure_difference", "inlet_mass_flow", "inlet_imbalance", "exit_mass_flow", "temperature_rise"};
constexpr std::size_t n_shown = 3;  // grids; with 37 + 3 * 11 + 7 + 8 + 11 + 14 the line has 110
constexpr std::size_t heading_width = 37;
constexpr std::size_t value_width = 11;
constexpr std::size_t order_width = 7;
constexpr std::size_t index_width = 8;
constexpr std::size_t behaviour_width = 14;

std::string grid_value_text(const GridValue& value, int decimals) {
  const std::string text = value.value ? number_text(*value.value, decimals) : std::string("n/a");
  return value.trouble.empty() ? text : fmt::format("[{}]", text);
}

std::string line_of_grids(const Quantity& quantity) {
  const GridVerdict& verdict = *quantity.grids;
  std::string line = padded_right(fmt::format(" {}", heading_with_unit(quantity)), heading_width);
  for (std::size_t i = 0; i < n_shown; ++i) {
    line += padded_left(
        i < verdict.values.size() ? grid_value_text(verdict.values[i], quantity.decimals) : "", value_width);
  }
  const GridConvergence none;
  const GridConvergence& found = verdict.convergence ? *verdict.convergence : none;
  line += padded_left(found.order ? number_text(*found.order, 2) : "-", order_width);
  line += padded_left(found.gci_21 ? number_text(100.0 * *found.gci_21, 2) : "-", index_width);
  line += padded_left(found.extrapolated ? number_text(*found.extrapolated, quantity.decimals) : "-",
                      value_width);
  line += padded_left(std::string(verdict.behaviour()), behaviour_width);
  return trimmed(line);
}

std::string head_of_grids(const std::string& label, const VariantResult& variant) {
  std::string head = padded_right("Grids of " + label, heading_width);
  for (std::size_t i = 0; i < n_shown; ++i) {
    head += padded_left(i < variant.grids.size() ? variant.grids[i].level : "", value_width);
  }
  head += padded_left("order", order_width) + padded_left("GCI [%]", index_width) +
          padded_left("at h=0", value_width) + padded_left("behaviour", behaviour_width);
  return trimmed(head);
}

}  // namespace

std::string padded_left(const std::string& text, std::size_t width) {
  const std::size_t shown = display_width(text);
  return std::string(shown < width ? width - shown : 1, ' ') + text;
}

std::string padded_right(const std::string& text, std::size_t width) {
  const std::size_t shown = display_width(text);
  return shown < width ? text + std::string(width - shown, ' ') : text;
}

std::string trimmed(const std::string& line) {
  return line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
}

std::string screen_grids(const Comparison& comparison) {
  std::string text;
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    const VariantResult& variant = comparison.variants[i];
    std::string lines;
    for (const char* id : chief_quantities) {
      const Quantity* quantity = variant.find(id);
      if (quantity != nullptr && quantity->grids) {
        lines += line_of_grids(*quantity);
      }
    }
    text += lines.empty() ? "" : head_of_grids(comparison.labels[i], variant) + lines + "\n";
  }
  return text;
}

}  // namespace cowlwright::post
