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
  bool takes_keep = false;         ///< --keep
  bool takes_machine = false;      ///< --cores and --memory
  bool takes_tables_only = false;  ///< --tables-only
  bool takes_cluster = false;      ///< --on, --site and --write-only
  std::string default_output{};    ///< what --output is when absent, in words
};

struct Request {
  bool wants_help = false;
  std::filesystem::path file;                     ///< the positional argument
  std::optional<std::filesystem::path> output{};  ///< --output
  std::vector<std::string> variants{};            ///< --variant, each time it was given; empty: all
  std::optional<int> ranks{};                     ///< --ranks
  std::optional<int> cores{};                     ///< --cores
  std::optional<double> memory{};                 ///< --memory [bytes]
  std::string keep{"all"};                        ///< --keep: what stays of solved cases
  bool fresh = false;                             ///< --fresh
  bool tables_only = false;                       ///< --tables-only
  bool on_slurm = false;                          ///< --on slurm
  std::optional<std::filesystem::path> site{};    ///< --site
  bool write_only = false;                        ///< --write-only
};

/// @param words  what stands behind the verb.
/// @throws InputError  for an unknown option, a missing or second argument, or a number out of its range.
Request parse_request(const VerbText& verb, const std::vector<std::string>& words);

/// Bytes of "8 GB", "500 MB", "1.5 TB" (powers of 1000) or "8 GiB" (of 1024).
/// @throws InputError  naming the option, for another text or a number that is not > 0.
double parse_memory(const std::string& option, const std::string& text);

/// The same for the verb itself: when --help was asked for it is printed and there is nothing to do.
std::optional<Request> request_or_help(const VerbText& verb, const std::vector<std::string>& words);

/// Usage, purpose, options and examples.
std::string help_text(const VerbText& verb);

}  // namespace cowlwright::verbs
