// SPDX-License-Identifier: GPL-3.0-or-later
//
// One loop over all cores.
#pragma once

#include <algorithm>
#include <cstddef>
#include <exception>
#include <thread>
#include <vector>

namespace cowlwright::imported {

/// Calls act(begin, end) on ranges that together are 0 to n, in as many threads as there are cores. What
/// `act` writes for one index must not touch another's. The first thread's exception is thrown on.
template <class Act>
void in_all_threads(std::size_t n, Act act) {
  const std::size_t n_threads = std::clamp<std::size_t>(std::thread::hardware_concurrency(), 1, n / 256 + 1);
  std::vector<std::exception_ptr> failures(n_threads);
  std::vector<std::thread> threads;
  const auto run = [&](std::size_t k) {
    try {
      act(n * k / n_threads, n * (k + 1) / n_threads);
    } catch (...) {
      failures[k] = std::current_exception();
    }
  };
  for (std::size_t k = 1; k < n_threads; ++k) threads.emplace_back(run, k);
  run(0);
  for (std::thread& thread : threads) thread.join();
  for (const std::exception_ptr& failure : failures)
    if (failure) std::rethrow_exception(failure);
}

}  // namespace cowlwright::imported
