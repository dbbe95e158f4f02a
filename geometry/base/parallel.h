// SPDX-License-Identifier: GPL-3.0-or-later
//
// Loops over all cores.
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <exception>
#include <thread>
#include <vector>

namespace cowlwright::base {

/// Calls act(begin, end) on ranges that together are 0 to n, handed out to as many threads as the machine has
/// cores. What `act` writes for one index must not touch another's. The exception of the first thread that
/// failed is thrown on.
///
/// @param block  length of a range: 1 where one index takes long.
template <class Act>
void for_each_range(std::size_t n, std::size_t block, const Act& act) {
  const std::size_t n_blocks = (n + block - 1) / block;
  const std::size_t n_threads =
      std::clamp<std::size_t>(std::thread::hardware_concurrency(), 1, std::max<std::size_t>(n_blocks, 1));
  std::atomic<std::size_t> next{0};
  std::vector<std::exception_ptr> failures(n_threads);
  const auto run = [&](std::size_t thread) {
    try {
      for (std::size_t begin = next.fetch_add(block); begin < n; begin = next.fetch_add(block)) {
        act(begin, std::min(n, begin + block));
      }
    } catch (...) {
      failures[thread] = std::current_exception();
    }
  };
  std::vector<std::jthread> others;
  for (std::size_t thread = 1; thread < n_threads; ++thread) others.emplace_back(run, thread);
  run(0);
  others.clear();
  for (const std::exception_ptr& failure : failures) {
    if (failure) std::rethrow_exception(failure);
  }
}

/// The same, one index at a time: work(i).
template <class Work>
void for_each_index(std::size_t n, const Work& work) {
  constexpr std::size_t block = 256;
  for_each_range(n, block, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) work(i);
  });
}

}  // namespace cowlwright::base
