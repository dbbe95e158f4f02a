// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/tokens.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>

namespace cowlwright::imported {

namespace {

bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\r' || c == '\v' || c == '\f';
}

std::string_view without_plus(std::string_view word) {
  return word.size() > 1 && word[0] == '+' && word[1] != '-' ? word.substr(1) : word;
}

}  // namespace

void Tokens::pass_blanks() {
  std::size_t n = 0;
  while (n < rest_.size() && is_blank(rest_[n])) ++n;
  rest_.remove_prefix(n);
}

std::string_view Tokens::next() {
  std::size_t n = 0;
  while (n < rest_.size() && !is_blank(rest_[n])) ++n;
  const std::string_view word = rest_.substr(0, n);
  rest_.remove_prefix(n);
  pass_blanks();
  return word;
}

bool is_word(std::string_view word, std::string_view small) {
  if (word.size() != small.size()) return false;
  for (std::size_t i = 0; i < word.size(); ++i) {
    const char c = word[i] >= 'A' && word[i] <= 'Z' ? static_cast<char>(word[i] - 'A' + 'a') : word[i];
    if (c != small[i]) return false;
  }
  return true;
}

bool parse_real(std::string_view word, double& value) {
  word = without_plus(word);
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (end != word.data() + word.size()) return false;
  if (error == std::errc()) return true;
  // A number too small for a double is nothing; one too large is refused as any that is not finite.
  if (error != std::errc::result_out_of_range) return false;
  const std::size_t exponent = word.find_first_of("eE");
  const bool is_small =
      exponent != std::string_view::npos && exponent + 1 < word.size() && word[exponent + 1] == '-';
  value = is_small ? 0.0 : HUGE_VAL;
  return true;
}

bool parse_integer(std::string_view word, std::int64_t& value) {
  word = without_plus(word);
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  return error == std::errc() && end == word.data() + word.size();
}

base::Vec3 coordinates(Tokens& tokens, const ByteSource& source) {
  std::array<double, 3> value{};
  for (double& v : value) {
    const std::string_view word = tokens.next();
    if (word.empty())
      source.fail_at_line("a point must have three coordinates. The file is damaged; export it again.");
    if (!parse_real(word, v)) {
      source.fail_at_line(
          fmt::format("{} must be a number{}. Export the file again.",
                      in_quotes(word),
                      word.find(',') != std::string_view::npos ? " with a decimal point" : ""));
    }
    if (!std::isfinite(v)) {
      source.fail_at_line(fmt::format("{} must be a finite number. Export the file again.", in_quotes(word)));
    }
  }
  return {value[0], value[1], value[2]};
}

std::uint64_t count(Tokens& tokens, const ByteSource& source, std::string_view what) {
  const std::string_view word = tokens.next();
  std::int64_t value = 0;
  if (!parse_integer(word, value) || value < 0) {
    source.fail_at_line(
        fmt::format("{} = {}: must be a whole number >= 0. Export the file again.", what, in_quotes(word)));
  }
  return static_cast<std::uint64_t>(value);
}

bool next_filled_line(ByteSource& source, char comment, std::string_view& line) {
  while (!source.is_at_end()) {
    line = source.line();
    const Tokens tokens(line);
    if (tokens.is_empty()) continue;
    if (comment != 0 && tokens.rest().front() == comment) continue;
    return true;
  }
  return false;
}

}  // namespace cowlwright::imported
