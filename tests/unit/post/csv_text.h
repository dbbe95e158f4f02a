// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading tables back in the tests: lines of a text, fields of a CSV.
#pragma once

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

namespace cowlwright::post::synthetic {

inline std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    lines.push_back(line);
  }
  return lines;
}

/// Fields of one RFC 4180 line without line breaks inside fields.
inline std::vector<std::string> csv_fields(const std::string& line) {
  std::vector<std::string> fields{""};
  bool in_quotes = false;
  for (const char c : line) {
    if (c == '"') {
      in_quotes = !in_quotes;
    } else if (c == ',' && !in_quotes) {
      fields.emplace_back();
    } else {
      fields.back() += c;
    }
  }
  return fields;
}

inline std::string csv_field(const std::string& csv, std::size_t row, const std::string& header) {
  const std::vector<std::string> lines = lines_of(csv);
  const std::vector<std::string> names = csv_fields(lines.at(0));
  const auto found = std::find(names.begin(), names.end(), header);
  return found == names.end() ? "no column " + header
                              : csv_fields(lines.at(row)).at(static_cast<std::size_t>(found - names.begin()));
}

/// The words of a text alone: line breaks and runs of blanks become one blank each.
inline std::string unwrapped(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  const auto are_blanks = [](char a, char b) { return a == ' ' && b == ' '; };
  text.erase(std::unique(text.begin(), text.end(), are_blanks), text.end());
  return text;
}

}  // namespace cowlwright::post::synthetic
