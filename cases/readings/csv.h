// SPDX-License-Identifier: GPL-3.0-or-later
//
// Comma-separated text as loggers write it: RFC 4180, also with semicolons or tabs, a byte order mark and
// either kind of line end. Rows only; what a column means is known by the log's map.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::readings {

/// Goes through the rows of a text that outlives it.
class CsvReader {
 public:
  /// @param name        stands for the file in messages.
  /// @param first_line  number of the text's first line in the file.
  CsvReader(std::string_view text, std::string name, char separator, std::uint32_t first_line = 1);

  /// The next row's cells, valid until the next call; blanks round a bare cell are left away. Nothing behind
  /// the last row. A blank line is a row with one empty cell.
  ///
  /// @throws InputError  "name:line: ..." for a quotation mark inside a bare cell, text behind a quoted one,
  /// or one that
  ///                     is never closed.
  std::optional<std::span<const std::string_view>> next();

  /// Line on which the last row began, from 1.
  std::uint32_t line() const { return row_line_; }

 private:
  std::string_view bare_cell();
  std::string_view quoted_cell();
  [[noreturn]] void refuse(std::uint32_t line, std::string_view what) const;

  std::string_view rest_;
  std::string name_;
  char separator_;
  std::uint32_t line_ = 1;
  std::uint32_t row_line_ = 0;
  std::vector<std::string_view> cells_;
  std::vector<std::string> unescaped_;  ///< cells with doubled quotation marks in them
  std::size_t n_unescaped_ = 0;
};

/// The line that names the columns.
struct CsvHeader {
  char separator = ',';
  std::uint32_t line = 0;  ///< from 1; 0 when no line has any of the names
  std::size_t end = 0;     ///< of it in the text: where the rows begin
  std::vector<std::string> cells;
};

/// The first line, among a text's first 200, that holds most of these names, parted by `separator` or,
/// without one, by comma, semicolon or tab. What stands above it may be anything.
CsvHeader find_header(std::string_view text,
                      std::span<const std::string> names,
                      std::optional<char> separator);

/// A number and nothing else, with this decimal mark ('.' or ','); nothing for anything else, also for nan
/// and inf.
std::optional<double> csv_number(std::string_view cell, char decimal_mark);

}  // namespace cowlwright::readings
