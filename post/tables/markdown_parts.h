// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/tables: pieces of summary.md.
#pragma once

#include "post/tables/comparison.h"

#include <string>
#include <vector>

namespace cowlwright::post {

/// Text inside a table's cell or a list: bars, stars, underscores and tildes do not mark anything up.
std::string escaped(const std::string& text);

/// "| a | b |".
std::string line_of(const std::vector<std::string>& cells);

/// Where the pressure goes that flight and propeller put before the inlets, of estimates; empty without any.
std::string budget_markdown(const Comparison& comparison);

/// The coefficients of estimates with band, source and what they do; empty without estimates.
std::string coefficients_markdown(const Comparison& comparison);

/// The section on grids: per variant its grids, every quantity on each with the finding, and the differences
/// likewise. Empty when no variant has several grids.
std::string grids_markdown(const Comparison& comparison);

/// The section on what each band is made of. Empty when no value has one.
std::string averages_markdown(const Comparison& comparison);

}  // namespace cowlwright::post
