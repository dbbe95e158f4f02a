// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which tasks may begin now: one rule for planning a run and for running it.
#pragma once

#include <cstddef>
#include <set>
#include <vector>

namespace cowlwright::run {

/// What a task occupies, and what it waits for.
struct Demand {
  int cores = 1;
  double memory = 0.0;  ///< [bytes]
  std::vector<std::size_t> after{};
  bool is_done = false;
};

/// Gives out tasks within cores and memory. In the given order, but a later task may begin in cores that an
/// earlier one cannot use yet. A task that wants more than all cores gets all of them.
class Dispatcher {
 public:
  /// @param order  every task once, the most urgent first.
  Dispatcher(std::vector<Demand> demands, std::vector<std::size_t> order, int cores, double memory);

  /// Tasks that begin now; from here on they count as running. When nothing runs, the first ready one begins
  /// even if it wants more memory than there is.
  std::vector<std::size_t> begin_ready();
  /// A running task has ended, well or not: what waits for it may begin.
  void end(std::size_t task);

  std::size_t n_running() const { return n_running_; }
  /// Tasks that have neither ended nor begun.
  std::size_t n_waiting() const { return n_waiting_; }

 private:
  bool fits(const Demand& demand) const;

  std::vector<Demand> demands_;
  std::vector<std::size_t> order_;
  std::vector<std::size_t> place_;                   ///< of each task in order_
  std::vector<std::vector<std::size_t>> followers_;  ///< of each task: those that wait for it
  std::vector<std::size_t> n_before_;                ///< of each task: those it still waits for
  std::set<std::size_t> ready_;                      ///< places of tasks that wait for cores or memory only
  int free_cores_;
  double free_memory_;
  std::size_t n_running_ = 0;
  std::size_t n_waiting_ = 0;
};

}  // namespace cowlwright::run
