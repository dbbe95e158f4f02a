// SPDX-License-Identifier: GPL-3.0-or-later
//
// solved_flow.json: what the solved cases hand to the quick estimate. Described by
// post/tables/solved_flow.schema.json.
#pragma once

#include "post/tables/comparison.h"

#include <filesystem>
#include <string>

namespace cowlwright::post {

/// Writes it for the open cases that have everything; takes an older one away when nothing can be written.
/// @return  what was written or why not, and which cases were left out and why; lines for the screen.
/// @throws ExternalError  when it cannot be written.
std::string write_solved_flow(const Comparison& comparison, const std::filesystem::path& folder);

}  // namespace cowlwright::post
