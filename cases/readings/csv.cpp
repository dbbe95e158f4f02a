// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/readings/csv.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <system_error>
#include <utility>

namespace cowlwright::readings {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t");
  return first == std::string_view::npos ? std::string_view{}
                                         : text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// Of one line alone; none when it is no row, as lines above a header may be.
std::vector<std::string> cells_of(std::string_view line, char separator) {
  try {
    CsvReader reader(line, "", separator);
    const auto cells = reader.next();
    return cells ? std::vector<std::string>(cells->begin(), cells->end()) : std::vector<std::string>{};
  } catch (const base::InputError&) {
    return {};
  }
}

}  // namespace

CsvReader::CsvReader(std::string_view text, std::string name, char separator, std::uint32_t first_line)
    : rest_(text), name_(std::move(name)), separator_(separator), line_(first_line) {
  if (rest_.starts_with(byte_order_mark)) rest_.remove_prefix(byte_order_mark.size());
}

void CsvReader::refuse(std::uint32_t line, std::string_view what) const {
  throw base::InputError(fmt::format("{}:{}: {} Correct the line.", name_, line, what));
}

std::string_view CsvReader::bare_cell() {
  const std::array<char, 3> ends{separator_, '\r', '\n'};
  const std::size_t end =
      std::min(rest_.find_first_of(std::string_view(ends.data(), ends.size())), rest_.size());
  const std::string_view cell = rest_.substr(0, end);
  if (cell.find('"') != std::string_view::npos) {
    refuse(line_, "a quotation mark stands inside a cell that does not begin with one.");
  }
  rest_.remove_prefix(end);
  return trimmed(cell);
}

std::string_view CsvReader::quoted_cell() {
  const std::uint32_t first_line = line_;
  rest_.remove_prefix(1);
  std::string* copy = nullptr;
  while (true) {
    const std::size_t end = rest_.find('"');
    if (end == std::string_view::npos) refuse(first_line, "a quotation mark is never closed.");
    const std::string_view part = rest_.substr(0, end);
    line_ += static_cast<std::uint32_t>(std::count(part.begin(), part.end(), '\n'));
    rest_.remove_prefix(end + 1);
    const bool is_doubled = rest_.starts_with('"');
    if (is_doubled && copy == nullptr) {
      if (n_unescaped_ == unescaped_.size()) unescaped_.emplace_back();
      copy = &unescaped_[n_unescaped_++];
      copy->clear();
    }
    if (copy != nullptr) copy->append(part);
    if (!is_doubled) {
      const std::size_t blanks = std::min(rest_.find_first_not_of(' '), rest_.size());
      rest_.remove_prefix(blanks);
      if (!rest_.empty() && rest_[0] != separator_ && rest_[0] != '\r' && rest_[0] != '\n') {
        refuse(line_, "text stands behind a closing quotation mark.");
      }
      return copy != nullptr ? std::string_view(*copy) : part;
    }
    copy->push_back('"');
    rest_.remove_prefix(1);
  }
}

std::optional<std::span<const std::string_view>> CsvReader::next() {
  if (rest_.empty()) return std::nullopt;
  cells_.clear();
  n_unescaped_ = 0;
  std::vector<std::pair<std::size_t, std::size_t>>
      copies;  // cells whose text is a copy, which still may move
  row_line_ = line_;
  while (true) {
    const std::size_t n_before = n_unescaped_;
    const bool is_quoted = rest_.starts_with('"');
    const std::string_view cell = is_quoted ? quoted_cell() : bare_cell();
    if (n_unescaped_ > n_before) copies.emplace_back(cells_.size(), n_before);
    cells_.push_back(cell);
    if (rest_.empty()) break;
    const char end = rest_[0];
    rest_.remove_prefix(1);
    if (end == separator_) continue;
    if (end == '\r' && rest_.starts_with('\n')) rest_.remove_prefix(1);
    ++line_;
    break;
  }
  for (const auto& [cell, copy] : copies) cells_[cell] = unescaped_[copy];
  return std::span<const std::string_view>(cells_);
}

CsvHeader find_header(std::string_view text,
                      std::span<const std::string> names,
                      std::optional<char> separator) {
  constexpr std::uint32_t most_lines = 200;
  const std::string candidates = separator ? std::string(1, *separator) : ",;\t";
  CsvHeader best;
  std::size_t most = 0;
  std::size_t begin = 0;
  for (std::uint32_t line = 1; line <= most_lines && begin < text.size(); ++line) {
    const std::size_t end = std::min(text.find('\n', begin), text.size() - 1) + 1;
    for (const char candidate : candidates) {
      const std::vector<std::string> cells = cells_of(text.substr(begin, end - begin), candidate);
      const auto is_there = [&](const std::string& name) {
        return std::find(cells.begin(), cells.end(), name) != cells.end();
      };
      const auto n = static_cast<std::size_t>(std::count_if(names.begin(), names.end(), is_there));
      if (n > most) {
        most = n;
        best = {candidate, line, end, cells};
      }
    }
    begin = end;
  }
  return best;
}

std::optional<double> csv_number(std::string_view cell, char decimal_mark) {
  std::array<char, 64> buffer{};
  if (cell.empty() || cell.size() >= buffer.size()) return std::nullopt;
  if (decimal_mark == ',') {
    if (cell.find('.') != std::string_view::npos) return std::nullopt;
    std::replace_copy(cell.begin(), cell.end(), buffer.begin(), ',', '.');
    cell = {buffer.data(), cell.size()};
  }
  if (cell[0] == '+' && cell.size() > 1 && cell[1] != '-') cell.remove_prefix(1);
  double value = 0.0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (error != std::errc{} || end != cell.data() + cell.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace cowlwright::readings
