// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads the table of the solver's y+ function object.
#include "post/extract/y_plus.h"

#include "geometry/base/monitor_history.h"
#include "geometry/base/text_file.h"

#include <algorithm>
#include <sstream>

namespace cowlwright::post {

std::vector<PatchYPlus> parse_y_plus(std::string_view text, double iteration) {
  std::vector<PatchYPlus> patches;
  const std::size_t end = text.rfind('\n');
  std::istringstream lines{std::string(text.substr(0, end == std::string_view::npos ? 0 : end))};
  for (std::string line; std::getline(lines, line);) {
    std::istringstream words(line);
    double time = 0.0;
    PatchYPlus row;
    if (!(words >> time >> row.patch >> row.smallest >> row.largest >> row.mean) || time != iteration) {
      continue;
    }
    const auto known = std::find_if(
        patches.begin(), patches.end(), [&](const PatchYPlus& other) { return other.patch == row.patch; });
    if (known == patches.end()) {
      patches.push_back(row);
    } else {
      *known = row;
    }
  }
  return patches;
}

std::vector<PatchYPlus> read_y_plus(const CaseLayout& layout, const base::Manifest& manifest) {
  std::vector<PatchYPlus> patches;
  for (const base::MonitorRecord& monitor : manifest.monitors) {
    if (monitor.quantity != "y_plus") {
      continue;
    }
    for (const std::filesystem::path& table : monitor_tables(layout.case_dir, monitor)) {
      std::vector<PatchYPlus> rows = parse_y_plus(base::read_text(table), layout.time);
      if (!rows.empty()) {
        patches = std::move(rows);  // the run that started last holds
      }
    }
  }
  return patches;
}

}  // namespace cowlwright::post
