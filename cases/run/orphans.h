// SPDX-License-Identifier: GPL-3.0-or-later
//
// Programs that an earlier attempt at a case started and that have outlived it.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::run {

/// Waits for OpenFOAM's programs that still work in a case's folder on this machine: whoever started them was
/// killed, and they end by themselves within seconds.
/// @throws ExternalError  when one is still there after half a minute: its name and process.
/// @throws Interrupted    when asked to stop.
void require_no_orphans(const std::filesystem::path& case_dir);

}  // namespace cowlwright::run
