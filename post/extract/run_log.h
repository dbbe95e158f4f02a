// SPDX-License-Identifier: GPL-3.0-or-later
//
// Did the run end in an error? Looks at the newest log.* file of a case.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace cowlwright::post {

/// "log.solve:123: <line>" for the first line of the newest log.* file in the case folder that tells of a
/// fatal error (OpenFOAM's FATAL, a floating point exception, a crash); nothing when there is none. Only the
/// last 256 KiB of a log are looked at, and then the line number is left out.
std::optional<std::string> fatal_log_line(const std::filesystem::path& case_dir);

}  // namespace cowlwright::post
