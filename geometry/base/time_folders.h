// SPDX-License-Identifier: GPL-3.0-or-later
//
// Time folders of an OpenFOAM case: those whose name is a number, the iteration of a steady solver.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::base {

/// Number of a time folder's name, not negative; nothing for another name.
std::optional<double> time_of(const std::string& name);

struct TimeFolder {
  double value = 0.0;
  std::string name;
};

/// A folder's time folders, earliest first, "0" among them. None when the folder is not there.
std::vector<TimeFolder> time_folders(const std::filesystem::path& folder);

}  // namespace cowlwright::base
