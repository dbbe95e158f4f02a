// SPDX-License-Identifier: GPL-3.0-or-later
//
// Names in a case folder.
#include "cases/keep/case_folder.h"

#include "geometry/base/manifest.h"

#include <algorithm>

namespace cowlwright::keep {

namespace fs = std::filesystem;

bool is_processor_folder(const std::string& name) {
  constexpr std::string_view head = "processor";
  return name.size() > head.size() && name.starts_with(head) &&
         std::all_of(name.begin() + head.size(), name.end(), [](char c) { return c >= '0' && c <= '9'; });
}

std::vector<base::TimeFolder> own_time_folders(const fs::path& case_dir) {
  std::vector<base::TimeFolder> times = base::time_folders(case_dir);
  std::erase_if(times, [&](const base::TimeFolder& time) { return fs::is_symlink(case_dir / time.name); });
  return times;
}

bool is_case(const fs::path& folder) {
  return fs::is_regular_file(folder / base::manifest_file_name);
}

}  // namespace cowlwright::keep
