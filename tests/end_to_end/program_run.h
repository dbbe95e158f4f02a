// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our two programs as a user runs them, and small studies for them.
#pragma once

#include "cases/run/process.h"
#include "tests/support/scratch_folder.h"

#include <nlohmann/json.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::testing_support {

/// A program that has ended.
struct ProgramRun {
  int exit_code = 0;
  std::string output;  ///< stdout and stderr
};

/// Path of one of our programs.
std::string program(const std::string& name);

/// Runs a command in a folder with the user's environment, `extra` added in front ("PATH=..." wins over the
/// old one).
ProgramRun run_program(const std::vector<std::string>& words,
                       const std::filesystem::path& directory,
                       const std::vector<std::string>& extra = {});

/// Puts a shell script before a program of the PATH: it is run in the program's folder, then the program
/// itself.
/// @returns the entry "PATH=..." for run_program().
std::string script_before(const std::string& program, const std::string& script, const ScratchFolder& folder);

/// results.json of a study's folder; null when there is none.
nlohmann::json read_results(const std::filesystem::path& study_dir);

/// Value of one quantity of a variant of results.json; NaN and a test failure when it has none.
double quantity_value(const nlohmann::json& variant, const std::string& id);

/// The starter study on the draft grid with exactly this many iterations and its own [vary] lines.
std::string draft_study(int iterations, int window, const std::string& vary, int ranks = 2);

/// The same with wider passages and thicker walls: cells follow the smallest of gap, inlets and cores and the
/// lip's thickness, so that a grid has less than half the cells, and about as many across each of them as the
/// starter's.
std::string with_wide_passages(std::string study);

/// A study text with the starter's own skin from a file in place of its outer form; inlets are cut at FS 250
/// mm.
std::string own_cowl_study(const std::string& parametric,
                           const std::string& file,
                           const std::string& unit,
                           const std::string& axes);

}  // namespace cowlwright::testing_support
