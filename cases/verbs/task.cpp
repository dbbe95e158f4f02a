// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `task`: one task of a study's sweep, for the driver and for a cluster's jobs.
#include "cases/run/task_run.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <charconv>
#include <filesystem>

namespace cowlwright::verbs {
namespace {

constexpr const char* help =
    "cowlwright task OUT INDEX\n\n"
    "Does one task of the sweep that `cowlwright run` has planned in the folder OUT: a mesh, or the start "
    "field,\n"
    "solver and joining of one case. INDEX counts the tasks of OUT/sweep.json from 0. Needs nothing but "
    "OUT.\n"
    "Run again, it goes on where it was stopped. For machines: `cowlwright run` and a cluster's jobs call "
    "it.\n"
    "\nExamples\n  cowlwright task my-study 0\n";

std::size_t index_of(const std::string& word, std::size_t n_tasks) {
  std::size_t index = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), index);
  if (error != std::errc() || end != word.data() + word.size() || index >= n_tasks) {
    throw base::InputError(fmt::format("cowlwright task: INDEX = {}: must be 0 to {}, a place in {}.",
                                       word,
                                       n_tasks - 1,
                                       base::sweep_file_name));
  }
  return index;
}

}  // namespace

int do_task(const Words& words) {
  if (!words.empty() && (words.front() == "--help" || words.front() == "-h")) {
    fmt::print("{}", help);
    return 0;
  }
  if (words.size() != 2)
    throw base::InputError("cowlwright task: wants OUT and INDEX. See `cowlwright task --help`.");
  const std::filesystem::path output = words[0];
  const auto sweep = base::read_sweep(output);
  if (!sweep || sweep->tasks.empty()) {
    throw base::InputError(fmt::format("{}: has no {} with tasks. Run `cowlwright run` on the study first.",
                                       output.string(),
                                       base::sweep_file_name));
  }
  return run::run_task(output, *sweep, index_of(words[1], sweep->tasks.size()));
}

}  // namespace cowlwright::verbs
