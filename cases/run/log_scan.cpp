// SPDX-License-Identifier: GPL-3.0-or-later
//
// Recognises the ways OpenFOAM and Open MPI report a failure.
#include "cases/run/log_scan.h"

#include "geometry/base/error.h"

#include <fmt/format.h>
#include <fmt/std.h>

#include <array>
#include <cctype>
#include <cstring>
#include <fstream>
#include <string_view>

namespace cowlwright::run {
namespace {

/// Longest explanation quoted from a log.
constexpr std::size_t longest_quote = 300;

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && std::isspace(static_cast<unsigned char>(text.front()))) text.remove_prefix(1);
  while (!text.empty() && std::isspace(static_cast<unsigned char>(text.back()))) text.remove_suffix(1);
  return text;
}

/// A parallel run puts "[rank] " before the lines of an error.
std::string_view without_rank(std::string_view line) {
  if (!line.starts_with('[')) return line;
  const std::size_t end = line.find(']');
  if (end == std::string_view::npos || end < 2) return line;
  for (const char c : line.substr(1, end - 1)) {
    if (!std::isdigit(static_cast<unsigned char>(c))) return line;
  }
  return line.substr(end + 1);
}

bool contains(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

/// True when `word` stands in the line by itself, in any case, with or without a sign.
bool has_word(std::string_view line, std::string_view word) {
  const auto is_letter = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; };
  for (std::size_t i = 0; i + word.size() <= line.size(); ++i) {
    if (strncasecmp(line.data() + i, word.data(), word.size()) != 0) continue;
    const bool starts = i == 0 || !is_letter(line[i - 1]);
    const std::size_t end = i + word.size();
    if (starts && (end == line.size() || !is_letter(line[end]))) return true;
  }
  return false;
}

/// The banner of every program mentions the trap for floating point exceptions.
bool is_banner(std::string_view line) {
  return contains(line, "trapFpe") || contains(line, "trapping enabled");
}

bool is_crash(std::string_view line) {
  constexpr std::array<std::string_view, 5> marks{
      "Floating point exception", "Segmentation fault", "Bus error", "std::bad_alloc", "Out of memory"};
  if (is_banner(line)) return false;
  for (const std::string_view mark : marks) {
    if (contains(line, mark)) return true;
  }
  return false;
}

bool ends_explanation(std::string_view line) {
  return line.starts_with("From function") || line.starts_with("From ") || line.starts_with("in file") ||
         line.starts_with("FOAM exiting") || line.starts_with("FOAM aborting") ||
         line.starts_with("FOAM parallel run");
}

/// "FOAM FATAL IO ERROR: unknown discretisation scheme ... file: ...", joined from the lines after the mark.
std::string fatal_explanation(std::istream& log, std::string_view first) {
  std::string text(trimmed(first.substr(first.find("FOAM FATAL"))));
  while (!text.empty() && (text.back() == ':' || text.back() == ' ')) text.pop_back();
  text += ":";
  std::string line;
  while (text.size() < longest_quote && std::getline(log, line)) {
    const std::string_view part = trimmed(without_rank(line));
    if (ends_explanation(part)) break;
    if (!part.empty()) text += fmt::format(" {}", part);
  }
  if (text.size() > longest_quote) text = text.substr(0, longest_quote) + " ...";
  return text;
}

/// Last line of a log that is not empty, for a program that failed without a reason we know.
std::optional<LogFault> last_line(std::istream& log) {
  std::optional<LogFault> last;
  std::string line;
  for (int number = 1; std::getline(log, line); ++number) {
    if (!trimmed(line).empty()) last = LogFault{number, std::string(trimmed(line))};
  }
  return last;
}

std::string ending_text(const Ending& ending) {
  if (ending.signal == 0) return fmt::format("exit code {}, {:.1f} s", ending.exit_code, ending.seconds);
  return fmt::format(
      "ended by signal {} ({}), {:.1f} s", ending.signal, strsignal(ending.signal), ending.seconds);
}

}  // namespace

bool reports_non_finite(const std::string& line) {
  const bool has_number = contains(line, "residual") || contains(line, "continuity errors") ||
                          line.starts_with("bounding ") || contains(line, " min/max");
  return has_number && (has_word(line, "nan") || has_word(line, "inf"));
}

std::optional<LogFault> find_fault(std::istream& log) {
  std::string line;
  for (int number = 1; std::getline(log, line); ++number) {
    if (contains(line, "FOAM FATAL")) return LogFault{number, fatal_explanation(log, line)};
    if (is_crash(line) || reports_non_finite(line)) return LogFault{number, std::string(trimmed(line))};
  }
  return std::nullopt;
}

void require_success(const Command& command, const Ending& ending) {
  std::optional<LogFault> fault;
  if (!command.log.empty()) {
    std::ifstream log(command.log);
    if (!log) {
      throw base::ExternalError(
          fmt::format("{}: its log {} cannot be read.", command.words.front(), command.log));
    }
    fault = find_fault(log);
    if (!fault && ending.exit_code != 0) {
      log.clear();
      log.seekg(0);
      fault = last_line(log);
    }
  }
  if (ending.exit_code == 0 && !fault) return;
  const std::string head = fmt::format("`{}` failed ({})", command_text(command.words), ending_text(ending));
  if (!fault) throw base::ExternalError(head + ". It left no word in its log.");
  throw base::ExternalError(
      fmt::format("{}: {}\n  see {}:{}", head, fault->text, command.log.string(), fault->line));
}

}  // namespace cowlwright::run
