// SPDX-License-Identifier: GPL-3.0-or-later
//
// Text inside XML and CSV.
#pragma once

#include <string>
#include <string_view>

namespace cowlwright::base {

/// Text as it may stand in an element or a quoted attribute: & < > and " as entities (XML 1.0).
std::string xml_escaped(std::string_view text);

/// Text in quotes as a field of CSV (RFC 4180): quotes in it doubled.
std::string csv_quoted(std::string_view text);

}  // namespace cowlwright::base
