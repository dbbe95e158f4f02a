// SPDX-License-Identifier: GPL-3.0-or-later
//
// Options of the verbs. All verbs that take an option of one name give it one meaning.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::verbs {

/// What a verb takes besides --help.
struct VerbText {
  std::string name;      ///< "run"
  std::string argument;  ///< of its one positional argument: "STUDY"
  std::string purpose;   ///< one or two sentences
  std::string examples;  ///< lines ready to print
  bool takes_output = false;
  bool takes_variants = false;
  bool takes_run_options = false;  ///< --ranks and --fresh
  bool takes_tables_only = false;  ///< --tables-only
  std::string default_output{};    ///< what --output is when absent, in words
};

struct Request {
  bool wants_help = false;
  std::filesystem::path file;                     ///< the positional argument
  std::optional<std::filesystem::path> output{};  ///< --output
  std::vector<std::string> variants{};            ///< --variant, each time it was given; empty: all
  std::optional<int> ranks{};                     ///< --ranks
  bool fresh = false;                             ///< --fresh
  bool tables_only = false;                       ///< --tables-only
};

/// @param words  what stands behind the verb.
/// @throws InputError  for an unknown option, a missing or second argument, or a rank count outside 1 to 256.
Request parse_request(const VerbText& verb, const std::vector<std::string>& words);

/// Usage, purpose, options and examples.
std::string help_text(const VerbText& verb);

}  // namespace cowlwright::verbs
