// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the verbs of cowlpost share: the cases a user names, and their results side by side.
#pragma once

#include "post/tables/comparison.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

/// The case folders of a command line. A folder without a manifest stands for the cases in it, in the study's
/// order.
/// @throws InputError  when none is given, one is given twice, or a folder holds no case.
std::vector<std::filesystem::path> given_cases(const std::vector<std::string>& names,
                                               const std::string& verb);

/// Folder for the tables: the one asked for, else the one that holds the first case.
std::filesystem::path output_folder(const std::vector<std::filesystem::path>& cases,
                                    const std::string& asked);

/// All cases read, evaluated, grouped and compared. Cases that their study's sweep still lacks stand in the
/// comparison's notes.
struct Extraction {
  Comparison comparison;
  std::string failures;  ///< a line for each case without usable results
  bool has_results = false;
};
/// @throws InputError  when the study's sweep.json is damaged.
Extraction extract_cases(const std::vector<std::filesystem::path>& cases);

}  // namespace cowlwright::post
