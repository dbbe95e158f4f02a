// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/tables: pieces of text that several tables share.
#pragma once

#include "post/tables/comparison.h"

#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::post {

/// "deck pressure difference [Pa]".
std::string heading_with_unit(const Quantity& quantity);

/// The value with its decimals; "-0.0" becomes "0.0".
std::string number_text(double value, int decimals);

/// A band with these decimals, rounded up: never 0 unless it is.
std::string band_text(double band, int decimals);

/// "i" for a band of the iterations only, "g" of the grids only, else nothing.
std::string contents_mark(BandContents contents);

/// "1489.3 ±71.0" with the published band; behind it i or g where the grids were compared and the band lacks
/// a part, * for the last iteration, ~ for a flagged behaviour over the grids, ! for a flagged variant; "n/a"
/// for null.
std::string value_text(const Quantity* quantity, const VariantResult& variant);

/// The same with a sign in front, "+0.0" for zero.
std::string signed_text(double value, int decimals);

/// "+6.3", with its band where the grids were compared: "+6.3 ±1.2".
std::string difference_number(const Difference& difference,
                              double value,
                              std::optional<double> band,
                              int decimals);

/// "+6.3 %", "+0.8 ±0.2 pt", in parentheses when within the bands; empty for nothing.
std::string difference_text(const std::optional<Difference>& difference, const Quantity& heading);

/// "iterations 301-400, 100 samples", or "last iteration 400 only".
std::string window_text(const VariantResult& variant);

/// "iteration 400, 88123 cells, coarse grid".
std::string source_text(const VariantResult& variant);

/// "-1.230 % (limit 1 %)", with "EXCEEDED" when it is; "n/a" when it cannot be formed.
std::string balance_text(const BalanceCheck& check);

/// A variant's balance, or null.
const BalanceCheck* find_balance(const VariantResult& variant, const std::string& id);

/// Every balance that some variant has, once.
std::vector<BalanceCheck> all_balances(const Comparison& comparison);

/// What the user set: "exit.lip_angle = 30 deg; ...", empty for none.
std::string settings_text(const VariantResult& variant);

/// "window mean", "last iteration only", "fixed".
std::string_view basis_name(Basis basis);

/// What an absolute difference is given in: "pt" for percentage points.
std::string difference_unit(const Quantity& quantity);

/// Texts joined with a separator.
std::string joined(const std::vector<std::string>& texts, const std::string& separator);

/// Characters a terminal shows of UTF-8 text.
std::size_t display_width(const std::string& text);

}  // namespace cowlwright::post
