// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a step has cost, for the reports of verbs and benchmarks.
#pragma once

#include <sys/resource.h>

#include <chrono>

namespace cowlwright::verbs {

/// Wall time [s].
inline double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// Largest memory of this process so far [MB of 2^20 bytes].
inline double peak_megabytes() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

}  // namespace cowlwright::verbs
