// SPDX-License-Identifier: GPL-3.0-or-later
//
// Looks for folders whose name is a number.
#include "geometry/base/time_folders.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace cowlwright::base {

namespace fs = std::filesystem;

std::optional<double> time_of(const std::string& name) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), value);
  const bool is_number = error == std::errc() && end == name.data() + name.size();
  return is_number && std::isfinite(value) && value >= 0.0 ? std::optional(value) : std::nullopt;
}

std::vector<TimeFolder> time_folders(const fs::path& folder) {
  std::vector<TimeFolder> times;
  std::error_code error;
  for (fs::directory_iterator i(folder, error), end; !error && i != end; i.increment(error)) {
    const std::string name = i->path().filename().string();
    std::error_code gone;
    if (const auto value = time_of(name); value && i->is_directory(gone)) times.push_back({*value, name});
  }
  std::sort(
      times.begin(), times.end(), [](const TimeFolder& a, const TimeFolder& b) { return a.value < b.value; });
  return times;
}

}  // namespace cowlwright::base
