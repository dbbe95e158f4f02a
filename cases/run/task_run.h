// SPDX-License-Identifier: GPL-3.0-or-later
//
// Does one task of a sweep, from what is in the study's output folder alone: the same for the driver on this
// machine and for a cluster's jobs. Goes on where an earlier attempt ended.
#pragma once

#include "geometry/base/sweep.h"

#include <filesystem>

namespace cowlwright::run {

/// Holds the case's lock while it works, writes its progress, state and seals, and ends a solve with the
/// case's extraction. Prints lines for the task's log to stdout.
/// @param output  the study's output folder.
/// @param index   into sweep.tasks.
/// @return exit code: 0 done (also when there was nothing to do), 2 to 4 failed as the programs' exit codes
/// say; the case's state has the message.
/// @throws Interrupted    when asked to stop; the same call goes on from there.
/// @throws ExternalError  when the case's lock is held by another, or the state cannot be written.
int run_task(const std::filesystem::path& output, const base::Sweep& sweep, std::size_t index);

}  // namespace cowlwright::run
