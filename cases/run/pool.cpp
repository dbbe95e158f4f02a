// SPDX-License-Identifier: GPL-3.0-or-later
//
// Keeps the task processes of a sweep running.
#include "cases/run/pool.h"

#include "cases/run/dispatch.h"

#include <algorithm>
#include <csignal>
#include <map>
#include <memory>

namespace cowlwright::run {
namespace {

using Clock = std::chrono::steady_clock;

/// The tasks in the order their slots begin; those without a slot, which are done, behind them.
std::vector<std::size_t> order_of(const Schedule& schedule, std::size_t n_tasks) {
  std::vector<std::size_t> order;
  std::vector<bool> has_slot(n_tasks, false);
  for (const Slot& slot : schedule.slots) {
    order.push_back(slot.task);
    has_slot[slot.task] = true;
  }
  for (std::size_t i = 0; i < n_tasks; ++i) {
    if (!has_slot[i]) order.push_back(i);
  }
  return order;
}

Dispatcher dispatcher_of(const base::Sweep& sweep, const Schedule& schedule, const Machine& machine) {
  std::vector<Demand> demands;
  for (const base::Task& task : sweep.tasks)
    demands.push_back({task.ranks, task.expected_memory, task.after, task.is_done});
  return {std::move(demands), order_of(schedule, sweep.tasks.size()), machine.cores, machine.memory};
}

class Pool {
 public:
  Pool(const base::Sweep& sweep, const Schedule& schedule, const Machine& machine, const PoolRules& rules)
      : sweep_(sweep),
        rules_(rules),
        dispatcher_(dispatcher_of(sweep, schedule, machine)),
        ends_(sweep.tasks.size()),
        attempts_(sweep.tasks.size(), 0) {
    for (std::size_t i = 0; i < ends_.size(); ++i) {
      if (sweep.tasks[i].is_done) ends_[i].outcome = TaskOutcome::Done;
    }
  }

  std::vector<TaskEnd> run() {
    is_stopping_ = interrupt_requested();
    begin_ready();
    Clock::time_point next_tick = Clock::now();
    while (!running_.empty()) {
      if (Clock::now() >= next_tick) {
        next_tick = Clock::now() + rules_.tick;
        on_tick();
      }
      if (const int signal = wait_for_event(rules_.tick); signal != 0) {
        stop(signal);
      } else if (!is_stopping_ && interrupt_requested()) {  // it came while a hook was waiting for something
        stop(SIGTERM);
      }
      collect();
      begin_ready();
    }
    return ends_;
  }

 private:
  void begin(std::size_t task) {
    ++attempts_[task];
    if (rules_.on_begin) rules_.on_begin(task);
    running_[task] = std::make_unique<Child>(rules_.command(task));
  }

  void begin_ready() {
    while (!is_stopping_) {
      const std::vector<std::size_t> ready = dispatcher_.begin_ready();
      if (ready.empty()) return;
      for (const std::size_t task : ready) {
        if (waits_for_a_mesh_in_vain(task)) {
          dispatcher_.end(task);
        } else {
          begin(task);
        }
      }
    }
  }

  bool waits_for_a_mesh_in_vain(std::size_t task) const {
    const std::vector<std::size_t>& after = sweep_.tasks[task].after;
    return std::any_of(after.begin(), after.end(), [&](std::size_t before) {
      return sweep_.tasks[before].kind == base::TaskKind::Mesh && ends_[before].outcome != TaskOutcome::Done;
    });
  }

  void collect() {
    std::vector<std::pair<std::size_t, Ending>> ended;
    for (const auto& [task, child] : running_) {
      if (const std::optional<Ending> ending = child->poll()) ended.emplace_back(task, *ending);
    }
    for (const auto& [task, ending] : ended) {
      running_.erase(task);
      take(task, ending);
    }
  }

  void take(std::size_t task, const Ending& ending) {
    TaskEnd& end = ends_[task];
    end.exit_code = ending.exit_code;
    end.signal = ending.signal;
    end.seconds += ending.seconds;
    const bool was_stopped = ending.exit_code == interrupted_exit_code || is_stopping_;
    if (ending.signal != 0 && !was_stopped && attempts_[task] < rules_.attempts) {
      begin(task);
      return;
    }
    end.outcome = ending.exit_code == 0 ? TaskOutcome::Done
                  : was_stopped         ? TaskOutcome::Stopped
                                        : TaskOutcome::Failed;
    dispatcher_.end(task);
    if (rules_.on_end) rules_.on_end(task, end);
  }

  void stop(int signal) {
    if (!is_stopping_) deadline_ = Clock::now() + rules_.kill_after;
    is_stopping_ = true;
    tell(signal);
  }

  void tell(int signal) const {
    for (const auto& [task, child] : running_) child->tell(signal);
  }

  void on_tick() {
    if (is_stopping_ && Clock::now() > deadline_) tell(SIGKILL);
    if (!rules_.on_tick) return;
    std::vector<std::size_t> tasks;
    for (const auto& [task, child] : running_) tasks.push_back(task);
    rules_.on_tick(tasks);
  }

  const base::Sweep& sweep_;
  const PoolRules& rules_;
  Dispatcher dispatcher_;
  std::vector<TaskEnd> ends_;
  std::vector<int> attempts_;
  std::map<std::size_t, std::unique_ptr<Child>> running_;
  bool is_stopping_ = false;
  Clock::time_point deadline_ = Clock::time_point::max();
};

}  // namespace

std::vector<TaskEnd> run_pool(const base::Sweep& sweep,
                              const Schedule& schedule,
                              const Machine& machine,
                              const PoolRules& rules) {
  const InterruptHold hold;
  return Pool(sweep, schedule, machine, rules).run();
}

}  // namespace cowlwright::run
