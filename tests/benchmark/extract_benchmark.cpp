// SPDX-License-Identifier: GPL-3.0-or-later
//
// Time and memory that reading and evaluating a solved case takes, against its size.
//   extract_benchmark                     heated ducts of about 30,000 to 540,000 cells, meshed and solved
//   first extract_benchmark study/base ...      solved cases as they are
// Each case is read in a process of its own, so that its peak memory is its own. Aim: 3 s and 400 MB at
// 200,000 cells, linear growth.
#include "geometry/base/error.h"
#include "post/quantities/variant_result.h"
#include "tests/support/scratch_folder.h"
#include "tests/support/solved_duct.h"

#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>

namespace {

namespace fs = std::filesystem;
using namespace cowlwright;

/// Reads one case and prints its line; runs in a child process.
int measure(const fs::path& case_dir) {
  const auto start = std::chrono::steady_clock::now();
  const post::VariantResult result = post::extract_case(case_dir);
  const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  if (result.has_failed()) {
    fmt::print(stderr, "{}: {}\n", case_dir.string(), result.judgement.reason);
    return 4;
  }
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  const double megabytes = static_cast<double>(usage.ru_maxrss) / 1024.0;
  const double cells = static_cast<double>(result.n_cells);
  fmt::print("{:>10} {:>9.3f} {:>9.1f} {:>14.2f} {:>14.2f}  {}\n",
             result.n_cells,
             seconds,
             megabytes,
             1e6 * seconds / cells,
             1024.0 * megabytes / cells,
             case_dir.filename().string());
  std::fflush(stdout);
  return 0;
}

void measure_in_child(const fs::path& case_dir) {
  std::fflush(stdout);
  const pid_t child = fork();
  if (child == 0) {
    int code = 1;
    try {
      code = measure(case_dir);
    } catch (const std::exception& error) {
      fmt::print(stderr, "{}\n", error.what());
    }
    _exit(code);
  }
  int status = 0;
  waitpid(child, &status, 0);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    throw base::ResultError(fmt::format("{}: could not be measured.", case_dir.string()));
  }
}

void run(int argc, char** argv) {
  fmt::print(
      "{:>10} {:>9} {:>9} {:>14} {:>14}\n", "cells", "time [s]", "peak [MB]", "us per cell", "kB per cell");
  for (int i = 1; i < argc; ++i) {
    measure_in_child(argv[i]);
  }
  if (argc > 1) {
    return;
  }
  for (const int refinement : {2, 3, 4, 5, 6}) {
    const testing_support::ScratchFolder folder;
    const fs::path case_dir = folder.path() / fmt::format("duct_{}", refinement);
    testing_support::solve_duct(case_dir,
                                {.refinement = refinement, .with_polyhedra = true, .iterations = 2});
    measure_in_child(case_dir);
  }
}

}  // namespace

int main(int argc, char** argv) {
  try {
    run(argc, argv);
    return 0;
  } catch (const std::exception& error) {
    fmt::print(stderr, "extract_benchmark: {}\n", error.what());
    return 1;
  }
}
