// SPDX-License-Identifier: GPL-3.0-or-later
//
// Gives out tasks.
#include "cases/run/dispatch.h"

#include <algorithm>
#include <utility>

namespace cowlwright::run {

Dispatcher::Dispatcher(std::vector<Demand> demands, std::vector<std::size_t> order, int cores, double memory)
    : demands_(std::move(demands)),
      order_(std::move(order)),
      place_(demands_.size()),
      followers_(demands_.size()),
      n_before_(demands_.size(), 0),
      free_cores_(cores),
      free_memory_(memory) {
  for (std::size_t i = 0; i < order_.size(); ++i) place_[order_[i]] = i;
  for (std::size_t task = 0; task < demands_.size(); ++task) {
    demands_[task].cores = std::min(demands_[task].cores, cores);
    if (demands_[task].is_done) continue;
    ++n_waiting_;
    for (const std::size_t before : demands_[task].after) {
      if (demands_[before].is_done) continue;
      followers_[before].push_back(task);
      ++n_before_[task];
    }
    if (n_before_[task] == 0) ready_.insert(place_[task]);
  }
}

bool Dispatcher::fits(const Demand& demand) const {
  return demand.cores <= free_cores_ && (demand.memory <= free_memory_ || n_running_ == 0);
}

std::vector<std::size_t> Dispatcher::begin_ready() {
  std::vector<std::size_t> begun;
  for (auto place = ready_.begin(); place != ready_.end() && free_cores_ > 0;) {
    const std::size_t task = order_[*place];
    const Demand& demand = demands_[task];
    if (!fits(demand)) {
      ++place;
      continue;
    }
    free_cores_ -= demand.cores;
    free_memory_ -= demand.memory;
    ++n_running_;
    --n_waiting_;
    begun.push_back(task);
    place = ready_.erase(place);
  }
  return begun;
}

void Dispatcher::end(std::size_t task) {
  free_cores_ += demands_[task].cores;
  free_memory_ += demands_[task].memory;
  --n_running_;
  for (const std::size_t follower : followers_[task]) {
    if (--n_before_[follower] == 0) ready_.insert(place_[follower]);
  }
}

}  // namespace cowlwright::run
