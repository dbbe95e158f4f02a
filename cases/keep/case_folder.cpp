// SPDX-License-Identifier: GPL-3.0-or-later
//
// Names in a case folder.
#include "cases/keep/case_folder.h"

#include "geometry/base/manifest.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace cowlwright::keep {

namespace fs = std::filesystem;

std::optional<double> time_of(const std::string& name) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), value);
  const bool is_number =
      error == std::errc() && std::isfinite(value) && end == name.data() + name.size() && value >= 0.0;
  return is_number ? std::optional(value) : std::nullopt;
}

bool is_processor_folder(const std::string& name) {
  constexpr std::string_view head = "processor";
  return name.size() > head.size() && name.starts_with(head) &&
         std::all_of(name.begin() + head.size(), name.end(), [](char c) { return c >= '0' && c <= '9'; });
}

std::vector<std::string> time_folders(const fs::path& case_dir) {
  std::vector<std::string> names;
  for (const fs::directory_entry& entry : fs::directory_iterator(case_dir)) {
    const std::string name = entry.path().filename().string();
    if (time_of(name) && entry.is_directory() && !entry.is_symlink()) names.push_back(name);
  }
  std::sort(names.begin(), names.end(), [](const auto& a, const auto& b) { return time_of(a) < time_of(b); });
  return names;
}

bool is_case(const fs::path& folder) {
  return fs::is_regular_file(folder / base::manifest_file_name);
}

}  // namespace cowlwright::keep
