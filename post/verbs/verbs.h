// SPDX-License-Identifier: GPL-3.0-or-later
//
// The verbs of the program cowlpost. Each takes the words behind its name and returns the exit code.
#pragma once

#include <string>
#include <vector>

namespace cowlwright::post {

using Words = std::vector<std::string>;

/// Tables of solved cases.
/// @throws InputError, ExternalError, ResultError  as the exit codes 2, 3 and 4.
int extract(const Words& words);

/// Tables, pictures and the page of a study. Throws likewise.
int report(const Words& words);

/// The JSON Schema of results.json.
int schema(const Words& words);

}  // namespace cowlwright::post
