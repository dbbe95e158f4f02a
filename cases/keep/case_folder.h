// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to cases/keep: what lies in a case folder.
#pragma once

#include "geometry/base/time_folders.h"

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::keep {

/// Folder of the meshes that a study's cases share, in its output folder.
inline constexpr const char* meshes_folder_name = "meshes";

/// "processor0", not "processor" nor "processors".
bool is_processor_folder(const std::string& name);

/// A case's own time folders, earliest first, "0" among them: links to others' are none.
std::vector<base::TimeFolder> own_time_folders(const std::filesystem::path& case_dir);

/// Whether a folder is a case of ours.
bool is_case(const std::filesystem::path& folder);

}  // namespace cowlwright::keep
