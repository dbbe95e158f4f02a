// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/tables: pieces of the terminal's table.
#pragma once

#include "post/tables/comparison.h"

#include <string>

namespace cowlwright::post {

inline constexpr std::size_t line_width = 110;

/// Breaks text at spaces; the first line starts with `lead`, later ones are indented by four.
std::string wrapped(const std::string& lead, const std::string& text);

/// At least one space in front.
std::string padded_left(const std::string& text, std::size_t width);
std::string padded_right(const std::string& text, std::size_t width);

/// Without blanks at the end, with a line end.
std::string trimmed(const std::string& line);

/// The chief quantities on each grid with order, index and behaviour; empty when no variant has several
/// grids.
std::string screen_grids(const Comparison& comparison);

/// Pressure budget of the baseline and the coefficients of estimates; empty for solved cases.
std::string screen_estimate(const Comparison& comparison);

}  // namespace cowlwright::post
