// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/tables: comma-separated values by RFC 4180, which both spreadsheets share.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

using Fields = std::vector<std::string>;

/// The fields, quoted where they must be, with a line end.
std::string csv_line(const Fields& fields);

/// Eight digits; empty for nothing.
std::string number(double value);
std::string number(const std::optional<double>& value, double factor = 1.0);

/// All cautions in one field.
std::string cautions_text();

}  // namespace cowlwright::post
