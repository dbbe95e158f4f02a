// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads what a solver has written so far.
#include "cases/run/solver_watch.h"

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

std::optional<double> last_value(const fs::path& case_dir,
                                 const base::Manifest& manifest,
                                 const std::string& quantity,
                                 const std::string& subject) {
  for (const base::MonitorRecord& monitor : manifest.monitors) {
    if (monitor.quantity != quantity || monitor.subject != subject) continue;
    const std::vector<double> row = last_row(case_dir, monitor);
    return row.size() < 2 ? std::nullopt : std::optional(row[1]);
  }
  return std::nullopt;
}

std::optional<double> mean_pressure(const fs::path& case_dir,
                                    const base::Manifest& manifest,
                                    base::ZoneRole role) {
  double volume = 0.0;
  double integral = 0.0;
  for (const base::ZoneRecord& zone : manifest.zones) {
    if (zone.role != role) continue;
    const std::optional<double> pressure = last_value(case_dir, manifest, "mean_pressure", zone.name);
    if (!pressure) return std::nullopt;
    volume += zone.volume;
    integral += zone.volume * *pressure;
  }
  return volume > 0.0 ? std::optional(integral / volume) : std::nullopt;
}

std::optional<double> total_flow(const fs::path& case_dir,
                                 const base::Manifest& manifest,
                                 base::PlaneRole role) {
  double sum = 0.0;
  bool has_any = false;
  for (const base::PlaneRecord& plane : manifest.planes) {
    if (plane.role != role) continue;
    const std::optional<double> flow = last_value(case_dir, manifest, "mass_flow", plane.name);
    if (!flow) return std::nullopt;
    sum += *flow;
    has_any = true;
  }
  return has_any ? std::optional(sum) : std::nullopt;
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
  MonitorReading reading;
  const std::optional<double> upper = mean_pressure(case_dir, manifest, base::ZoneRole::UpperDeck);
  const std::optional<double> lower = mean_pressure(case_dir, manifest, base::ZoneRole::LowerDeck);
  if (upper && lower) reading.deck_pressure_difference = *upper - *lower;
  reading.inlet_flow = total_flow(case_dir, manifest, base::PlaneRole::Inlet);
  reading.exit_flow = total_flow(case_dir, manifest, base::PlaneRole::Exit);
  return reading;
}

}  // namespace cowlwright::run
