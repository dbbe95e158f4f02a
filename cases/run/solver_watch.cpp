// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads what a solver has written so far.
#include "cases/run/solver_watch.h"

#include "cases/run/monitored.h"

#include <algorithm>
#include <charconv>
#include <functional>
#include <sstream>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

constexpr std::streamoff tail_length = 4096;  // bytes, several rows of a monitor's table

std::optional<double> number_of(const std::string& text) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

/// Folder below a function object's with the largest start iteration.
fs::path youngest_table_dir(const fs::path& monitor_dir) {
  fs::path youngest;
  double largest = -1.0;
  std::error_code error;
  for (fs::directory_iterator i(monitor_dir, error), end; !error && i != end; i.increment(error)) {
    const std::optional<double> start = number_of(i->path().filename().string());
    if (!start || !(*start > largest)) continue;
    largest = *start;
    youngest = i->path();
  }
  return youngest;
}

std::vector<double> row_of(std::string line) {
  std::replace_if(
      line.begin(), line.end(), [](char c) { return c == '(' || c == ')'; }, ' ');
  std::istringstream words(line);
  std::vector<double> row;
  for (std::string word; words >> word;) {
    const std::optional<double> value = number_of(word);
    if (!value) return {};
    row.push_back(*value);
  }
  return row;
}

/// From the last rows; nothing without terms, or when one of them has no row yet.
std::optional<double> last_value(const fs::path& case_dir,
                                 const base::Manifest& manifest,
                                 const MonitoredQuantity& quantity) {
  double sum = 0.0;
  for (const MonitorTerm& term : quantity.terms) {
    const base::MonitorRecord* monitor = find_monitor(manifest, term);
    const std::vector<double> row = monitor != nullptr ? last_row(case_dir, *monitor) : std::vector<double>{};
    if (row.size() < 2) return std::nullopt;
    sum += term.weight * row[1];
  }
  return quantity.terms.empty() ? std::nullopt : std::optional(sum);
}

}  // namespace

std::vector<std::string> LogTail::new_lines() {
  std::vector<std::string> lines;
  std::ifstream file(file_, std::ios::binary);
  if (!file || !file.seekg(offset_)) return lines;
  std::string text(std::istreambuf_iterator<char>(file), {});
  offset_ += static_cast<std::streamoff>(text.size());
  text.insert(0, unfinished_);
  std::size_t begin = 0;
  for (std::size_t end = text.find('\n'); end != std::string::npos; end = text.find('\n', begin)) {
    lines.push_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  unfinished_ = text.substr(begin);
  return lines;
}

std::optional<int> iteration_of(const std::string& line) {
  constexpr std::string_view head = "Time = ";
  if (!line.starts_with(head)) return std::nullopt;
  int iteration = 0;
  const auto [end, error] = std::from_chars(line.data() + head.size(), line.data() + line.size(), iteration);
  if (error != std::errc()) return std::nullopt;
  return iteration;
}

std::vector<double> last_row(const fs::path& case_dir, const base::MonitorRecord& monitor) {
  const fs::path dir = youngest_table_dir(case_dir / "postProcessing" / monitor.function_object);
  if (dir.empty()) return {};
  std::ifstream file(dir / monitor.file, std::ios::binary | std::ios::ate);
  if (!file) return {};
  const std::streamoff size = file.tellg();
  const std::streamoff start = std::max<std::streamoff>(0, size - tail_length);
  file.seekg(start);
  std::string line;
  if (start > 0) std::getline(file, line);  // the rest of a cut line
  std::vector<double> row;
  while (std::getline(file, line) && !file.eof()) {  // eof: the last line has no end yet
    if (line.empty() || line.front() == '#') continue;
    row = row_of(line);
  }
  return row;
}

MonitorReading read_monitors(const fs::path& case_dir, const base::Manifest& manifest) {
  const auto now = [&](const MonitoredQuantity& quantity) {
    return last_value(case_dir, manifest, quantity);
  };
  return {.deck_pressure_difference = now(deck_pressure_difference(manifest)),
          .inlet_flow = now(total_flow(manifest, base::PlaneRole::Inlet, "inlet flow")),
          .exit_flow = now(total_flow(manifest, base::PlaneRole::Exit, "exit flow"))};
}

}  // namespace cowlwright::run
