// SPDX-License-Identifier: GPL-3.0-or-later
//
// Shared pieces of text.
#include "post/tables/wording.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::post {

std::string heading_with_unit(const Quantity& quantity) {
  return fmt::format("{} [{}]", quantity.name, quantity.unit);
}

std::string number_text(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  const bool is_zero = text.find_first_not_of("-0.") == std::string::npos;
  return is_zero && text.front() == '-' ? text.substr(1) : text;
}

std::string band_text(double band, int decimals) {
  const double scale = std::pow(10.0, decimals);
  constexpr double rounding = 1e-6;  // of a printed unit: 10.0 must not become 10.1
  return number_text(std::ceil(band * scale - rounding) / scale, decimals);
}

std::string contents_mark(BandContents contents) {
  return contents == BandContents::Iterations ? "i" : contents == BandContents::Grids ? "g" : "";
}

std::string value_text(const Quantity* quantity, const VariantResult& variant) {
  if (quantity == nullptr) {
    return "n/a";
  }
  std::string text = number_text(quantity->value, quantity->decimals);
  if (const std::optional<double> band = published_band(*quantity)) {
    text += fmt::format(" ±{}", band_text(*band, quantity->decimals));
    text += variant.grids.size() > 1 ? contents_mark(band_contents(*quantity)) : "";
  }
  text += quantity->basis == Basis::LastIteration ? "*" : "";
  text += quantity->grids && quantity->grids->is_flagged() ? "~" : "";
  return text + (variant.flags.empty() ? "" : "!");
}

std::string signed_text(double value, int decimals) {
  const std::string text = number_text(value, decimals);
  return text.front() == '-' ? text : fmt::format("+{}", text);
}

std::string difference_number(const Difference& difference,
                              double value,
                              std::optional<double> band,
                              int decimals) {
  std::string text = signed_text(value, decimals);
  if ((difference.grids || difference.contents == BandContents::Coefficients) && band) {
    text += fmt::format(" ±{}{}", band_text(*band, decimals), contents_mark(difference.contents));
  }
  return text + (difference.grids && difference.grids->is_flagged() ? "~" : "");
}

std::string difference_text(const std::optional<Difference>& difference, const Quantity& heading) {
  if (!difference) {
    return {};
  }
  std::string text;
  if (difference->relative) {
    const std::optional<double> band =
        difference->relative_band ? std::optional(100.0 * *difference->relative_band) : std::nullopt;
    text = fmt::format("{} %", difference_number(*difference, 100.0 * *difference->relative, band, 1));
  } else {
    const std::string unit = heading.difference_in == DifferenceIn::Points ? "pt" : heading.unit;
    text = difference_number(*difference, difference->absolute, difference->band, heading.decimals);
    text += unit == "-" ? "" : fmt::format(" {}", unit);
  }
  return difference->within_bands ? fmt::format("({})", text) : text;
}

std::string window_text(const VariantResult& variant) {
  if (variant.has_failed()) {
    return "none";
  }
  if (variant.is_estimate()) {
    return "no iterations: lumped network";
  }
  return variant.n_samples > 0 ? fmt::format("iterations {}-{}, {} samples",
                                             variant.window_start,
                                             variant.last_iteration,
                                             variant.n_samples)
                               : fmt::format("last iteration {} only", variant.iteration);
}

std::string source_text(const VariantResult& variant) {
  return variant.is_estimate()  ? "lumped network of the cooling air, no flow was solved"
         : variant.has_failed() ? fmt::format("{} grid", variant.manifest.grid_level)
                                : fmt::format("fields of iteration {}, {} cells, {} grid",
                                              variant.iteration,
                                              variant.n_cells,
                                              variant.manifest.grid_level);
}

std::string balance_text(const BalanceCheck& check) {
  const std::string limit = check.lowest == -check.highest
                                ? fmt::format("limit {:.3g} %", check.highest)
                                : fmt::format("{:.3g} to {:.3g} %", check.lowest, check.highest);
  const std::string value = check.value ? fmt::format("{:+.3f} %", *check.value) : std::string("n/a");
  return fmt::format("{} ({}){}", value, limit, check.is_exceeded() ? " EXCEEDED" : "");
}

const BalanceCheck* find_balance(const VariantResult& variant, const std::string& id) {
  const auto found = std::find_if(variant.balances.begin(),
                                  variant.balances.end(),
                                  [&id](const BalanceCheck& check) { return check.id == id; });
  return found == variant.balances.end() ? nullptr : &*found;
}

std::vector<BalanceCheck> all_balances(const Comparison& comparison) {
  std::vector<BalanceCheck> balances;
  for (const VariantResult& variant : comparison.variants) {
    for (const BalanceCheck& check : variant.balances) {
      const bool is_known = std::any_of(
          balances.begin(), balances.end(), [&](const BalanceCheck& other) { return other.id == check.id; });
      if (!is_known) {
        balances.push_back(check);
      }
    }
  }
  return balances;
}

std::string settings_text(const VariantResult& variant) {
  std::vector<std::string> texts;
  for (const base::Setting& setting : variant.manifest.settings) {
    texts.push_back(fmt::format("{} = {}", setting.key, setting.text));
  }
  return joined(texts, "; ");
}

std::string_view basis_name(Basis basis) {
  switch (basis) {
    case Basis::WindowMean:
      return "window mean";
    case Basis::LastIteration:
      return "last iteration only";
    case Basis::Fixed:
      return "fixed";
    case Basis::Estimate:
      return "estimate";
  }
  return "last iteration only";
}

std::string difference_unit(const Quantity& quantity) {
  return quantity.difference_in == DifferenceIn::Points ? "pt" : quantity.unit;
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
