// SPDX-License-Identifier: GPL-3.0-or-later
//
// Files that are part of the program.
#pragma once

#include <string_view>

namespace cowlwright::post {

/// The page with its script and style, to be filled (post/report/page).
std::string_view page_template();

/// The JSON Schema of results.json (post/tables/results.schema.json).
std::string_view results_schema();

/// The JSON Schema of solved_flow.json (post/tables/solved_flow.schema.json).
std::string_view solved_flow_schema();

}  // namespace cowlwright::post
