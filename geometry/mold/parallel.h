// SPDX-License-Identifier: GPL-3.0-or-later
//
// A loop over all cores.
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <thread>
#include <vector>

namespace cowlwright::mold {

/// Calls work(i) for i = 0 ... n-1, in blocks handed out to as many threads as the machine has cores. Each
/// call may write only what belongs to its own i; `work` must not throw.
template <class Work>
void for_each_index(std::size_t n, const Work& work) {
  constexpr std::size_t block = 256;
  std::atomic<std::size_t> next{0};
  const auto run = [&] {
    for (std::size_t begin = next.fetch_add(block); begin < n; begin = next.fetch_add(block)) {
      const std::size_t end = std::min(n, begin + block);
      for (std::size_t i = begin; i < end; ++i) work(i);
    }
  };
  const std::size_t n_blocks = (n + block - 1) / block;
  const std::size_t n_threads =
      std::min<std::size_t>(std::max(1U, std::thread::hardware_concurrency()), n_blocks);
  std::vector<std::jthread> others;
  for (std::size_t i = 1; i < n_threads; ++i) others.emplace_back(run);
  run();
}

}  // namespace cowlwright::mold
