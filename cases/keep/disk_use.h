// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to cases/keep: disk space below a folder.
#pragma once

#include <filesystem>

namespace cowlwright::keep {

/// Of all files, each once however many names it has; 0 for a folder that is not there [bytes].
double disk_use(const std::filesystem::path& folder);

/// Without files that have another name too: a mesh that is shared [bytes].
double own_disk_use(const std::filesystem::path& folder);

}  // namespace cowlwright::keep
