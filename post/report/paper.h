// SPDX-License-Identifier: GPL-3.0-or-later
//
// The page on paper: a PDF, printed by the browser chromium when the machine has it.
#pragma once

#include <filesystem>
#include <string>

namespace cowlwright::post {

/// Prints `page` into `pdf`; an earlier file of that name is removed first.
/// @return  why there is no PDF, in a sentence; empty: there is one.
std::string print_pdf(const std::filesystem::path& page, const std::filesystem::path& pdf);

}  // namespace cowlwright::post
