// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the verbs share about a study and its folders.
#pragma once

#include "cases/study.h"
#include "cases/verbs/command_line.h"

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::verbs {

/// Indices into study.variants of the variants the user asked for, in the study's order.
/// @throws InputError  for a name the study does not have; lists those it has.
std::vector<std::size_t> selected_variants(const Study& study, const std::vector<std::string>& names);

/// Folder to write to: --output, or "<study file without extension>-<suffix>" beside the study file.
std::filesystem::path output_folder(const Request& request, const std::string& suffix);

/// Makes a folder and those above it. @throws ExternalError  naming it and the system's reason.
void make_folder(const std::filesystem::path& folder);

/// Leaves the study file beside the cases made from it, so that their numbers can be traced back to its text.
/// @throws ExternalError  when it cannot be written.
void keep_study(const Study& study, const std::filesystem::path& output);

/// Protects what is not ours to replace: a folder that is no case of ours, and a case with results that no
/// `cowlwright run` made.
/// @throws InputError  when `case_dir` must not be replaced.
void require_replaceable(const std::filesystem::path& case_dir, bool fresh);

}  // namespace cowlwright::verbs
