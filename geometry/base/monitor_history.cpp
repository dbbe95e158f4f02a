// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads function-object tables.
#include "geometry/base/monitor_history.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <iterator>
#include <optional>
#include <string>

namespace cowlwright::base {

namespace {

namespace fs = std::filesystem;

std::optional<double> number(std::string_view word) {
  double value = 0.0;
  const auto result = std::from_chars(word.data(), word.data() + word.size(), value);
  const bool is_whole = result.ec == std::errc() && result.ptr == word.data() + word.size();
  return is_whole && !word.empty() ? std::optional(value) : std::nullopt;
}

/// Digits of the mantissa, leading zeros left out: 8 for "0.0012345678", 3 for "1.20e+05".
int significant_digits(std::string_view word) {
  int digits = 0;
  for (const char c : word.substr(0, word.find_first_of("eE"))) {
    if (std::isdigit(static_cast<unsigned char>(c)) != 0 && (digits > 0 || c != '0')) {
      ++digits;
    }
  }
  return digits;
}

std::vector<std::string_view> words_of(std::string_view line, std::string_view between) {
  std::vector<std::string_view> words;
  for (std::size_t begin = line.find_first_not_of(between); begin != std::string_view::npos;) {
    const std::size_t end = std::min(line.find_first_of(between, begin), line.size());
    words.push_back(line.substr(begin, end - begin));
    begin = line.find_first_not_of(between, end);
  }
  return words;
}

struct Table {
  double start = 0.0;
  fs::path path;
};

/// "name.dat" first, then "name_<time>.dat", which the solver opens when it starts again at the same time.
void append_tables(const fs::path& folder, double start, const fs::path& file, std::vector<Table>& tables) {
  std::vector<fs::path> again;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    if (entry.path().filename() == file) {
      tables.push_back({start, entry.path()});
    } else if (name.rfind(file.stem().string() + "_", 0) == 0 &&
               entry.path().extension() == file.extension()) {
      again.push_back(entry.path());
    }
  }
  std::sort(again.begin(), again.end());
  for (fs::path& path : again) {
    tables.push_back({start, std::move(path)});
  }
}

}  // namespace

History parse_history(std::string_view text, const std::string& name, int column) {
  History history;
  int line_number = 0;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = text.find('\n', begin);
    if (end == std::string_view::npos) {
      break;
    }
    const std::string_view line = text.substr(begin, end - begin);
    begin = end + 1;
    ++line_number;
    const std::vector<std::string_view> words = words_of(line, column == 0 ? " \t\r" : " \t\r()");
    if (words.empty() || words.front().front() == '#') {
      continue;
    }
    const std::size_t place = column == 0 ? words.size() - 1 : static_cast<std::size_t>(column);
    const std::string_view word = place > 0 && place < words.size() ? words[place] : std::string_view{};
    const std::optional<double> time = number(words.front());
    const std::optional<double> value = number(word);
    if (!time || !value) {
      throw ResultError(
          fmt::format("{}:{}: '{}': must be an iteration and a value. The table is damaged; "
                      "run the case again.",
                      name,
                      line_number,
                      line.substr(0, 60)));
    }
    while (!history.time.empty() &&
           history.time.back() >= *time) {  // a restart that wrote into the same table
      history.time.pop_back();
      history.value.pop_back();
    }
    history.time.push_back(*time);
    history.value.push_back(*value);
    history.digits = std::max(history.digits, significant_digits(word));
  }
  return history;
}

History join_histories(History earlier, const History& later) {
  if (later.is_empty()) {
    return earlier;
  }
  const auto cut = std::lower_bound(earlier.time.begin(), earlier.time.end(), later.time.front());
  const auto kept = cut - earlier.time.begin();
  earlier.time.erase(cut, earlier.time.end());
  earlier.value.erase(earlier.value.begin() + kept, earlier.value.end());
  earlier.time.insert(earlier.time.end(), later.time.begin(), later.time.end());
  earlier.value.insert(earlier.value.end(), later.value.begin(), later.value.end());
  earlier.digits = std::max(earlier.digits, later.digits);
  return earlier;
}

std::vector<fs::path> monitor_tables(const fs::path& case_dir, const MonitorRecord& monitor) {
  const fs::path folder = case_dir / "postProcessing" / monitor.function_object;
  std::vector<Table> tables;
  if (fs::is_directory(folder)) {
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
      const std::optional<double> start = number(entry.path().filename().string());
      if (start && entry.is_directory()) {
        append_tables(entry.path(), *start, monitor.file, tables);
      }
    }
  }
  std::stable_sort(
      tables.begin(), tables.end(), [](const Table& a, const Table& b) { return a.start < b.start; });
  std::vector<fs::path> paths;
  for (Table& table : tables) {
    paths.push_back(std::move(table.path));
  }
  return paths;
}

History read_history(const fs::path& case_dir, const MonitorRecord& monitor) {
  History history;
  for (const fs::path& table : monitor_tables(case_dir, monitor)) {
    history =
        join_histories(std::move(history), parse_history(read_text(table), table.string(), monitor.column));
  }
  return history;
}

AlignedHistories align(std::span<const History* const> histories) {
  AlignedHistories aligned;
  for (const History* history : histories) {
    if (history == histories.front()) {
      aligned.iteration = history->time;
      continue;
    }
    std::vector<double> both;
    std::set_intersection(aligned.iteration.begin(),
                          aligned.iteration.end(),
                          history->time.begin(),
                          history->time.end(),
                          std::back_inserter(both));
    aligned.iteration = std::move(both);
  }
  for (const History* history : histories) {
    std::vector<double>& values = aligned.values.emplace_back();
    std::size_t line = 0;
    for (const double iteration : aligned.iteration) {
      while (history->time[line] != iteration) {  // exact: both come from the same text
        ++line;
      }
      values.push_back(history->value[line]);
    }
  }
  return aligned;
}

bool ends_early(const History& history, double newest) {
  const std::size_t n = history.time.size();
  if (n < 2) {
    return n == 0 || history.time.back() < newest;
  }
  const double step = (history.time.back() - history.time.front()) / static_cast<double>(n - 1);
  return history.time.back() < newest - 1.5 * step;
}

}  // namespace cowlwright::base
