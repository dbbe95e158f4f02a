// SPDX-License-Identifier: GPL-3.0-or-later
//
// Shared pieces of text.
#include "post/tables/wording.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace cowlwright::post {

std::string heading_with_unit(const Quantity& quantity) {
  return fmt::format("{} [{}]", quantity.name, quantity.unit);
}

std::string number_text(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  const bool is_zero = text.find_first_not_of("-0.") == std::string::npos;
  return is_zero && text.front() == '-' ? text.substr(1) : text;
}

std::string value_text(const Quantity* quantity, const VariantResult& variant) {
  if (quantity == nullptr) {
    return "n/a";
  }
  std::string text = number_text(quantity->value, quantity->decimals);
  if (quantity->half_band) {
    text += fmt::format(" ±{}", number_text(*quantity->half_band, quantity->decimals));
  }
  text += quantity->basis == Basis::LastIteration ? "*" : "";
  return text + (variant.flags.empty() ? "" : "!");
}

std::string signed_text(double value, int decimals) {
  const std::string text = number_text(value, decimals);
  return text.front() == '-' ? text : fmt::format("+{}", text);
}

std::string difference_text(const std::optional<Difference>& difference, const Quantity& heading) {
  if (!difference) {
    return {};
  }
  std::string text;
  if (difference->relative) {
    text = fmt::format("{} %", signed_text(100.0 * *difference->relative, 1));
  } else {
    const std::string unit = heading.difference_in == DifferenceIn::Points ? "pt" : heading.unit;
    text = signed_text(difference->absolute, heading.decimals);
    text += unit == "-" ? "" : fmt::format(" {}", unit);
  }
  return difference->within_bands ? fmt::format("({})", text) : text;
}

std::string window_text(const VariantResult& variant) {
  if (variant.has_failed()) {
    return "none";
  }
  return variant.n_samples > 0 ? fmt::format("iterations {}-{}, {} samples",
                                             variant.window_start,
                                             variant.last_iteration,
                                             variant.n_samples)
                               : fmt::format("last iteration {} only", variant.iteration);
}

std::string source_text(const VariantResult& variant) {
  return variant.has_failed() ? fmt::format("{} grid", variant.manifest.grid_level)
                              : fmt::format("fields of iteration {}, {} cells, {} grid",
                                            variant.iteration,
                                            variant.n_cells,
                                            variant.manifest.grid_level);
}

std::string closure_text(const VariantResult& variant) {
  if (!variant.closure) {
    return "n/a";
  }
  return fmt::format("{:+.3f} % (limit {:.3g} %){}",
                     100.0 * *variant.closure,
                     100.0 * variant.manifest.closure_tolerance,
                     variant.closure_exceeded ? " EXCEEDED" : "");
}

std::string settings_text(const VariantResult& variant) {
  std::vector<std::string> texts;
  for (const base::Setting& setting : variant.manifest.settings) {
    texts.push_back(fmt::format("{} = {}", setting.key, setting.text));
  }
  return joined(texts, "; ");
}

std::string joined(const std::vector<std::string>& texts, const std::string& separator) {
  return fmt::format("{}", fmt::join(texts, separator));
}

std::size_t display_width(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;  // all but UTF-8 continuation bytes
  }));
}

}  // namespace cowlwright::post
