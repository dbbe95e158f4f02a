// SPDX-License-Identifier: GPL-3.0-or-later
//
// Programs that the report starts and can do without: what they do to themselves ends with them.
#pragma once

#include <chrono>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

struct Child {
  std::vector<std::string> words;  ///< program, looked up on PATH when it has no slash, and its arguments
  std::filesystem::path log;       ///< takes stdout and stderr, created anew
};

/// Whether a program can be found: a path that exists, or a name on PATH.
bool is_there(const std::string& program);

/// Runs all of them to their ends, `at_a_time` together, each ended after `patience` by the program
/// `timeout`.
/// @return  why each one failed, in a sentence with the end of its log; empty: it ended with 0.
std::vector<std::string> run_children(std::span<const Child> children,
                                      std::size_t at_a_time,
                                      std::chrono::seconds patience);

}  // namespace cowlwright::post
