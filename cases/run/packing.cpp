// SPDX-License-Identifier: GPL-3.0-or-later
//
// Chooses ranks and order by trying them: the run is played through with every choice.
#include "cases/run/packing.h"

#include "cases/run/dispatch.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <utility>

namespace cowlwright::run {
namespace {

using base::TaskKind;

// Ranks that split a box well: 2^n and 3 x 2^n.
constexpr std::array<int, 14> rank_choices{1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128};
constexpr double least_cells_per_rank = 10e3;  // below it the ranks' borders are a large part; chosen
constexpr double worth_a_change = 0.99;        // of the wall time: smaller gains are not worth more ranks
constexpr std::size_t most_played = 200'000;   // tasks played through while ranks are improved

/// One choice for all tasks.
struct Choice {
  std::vector<int> ranks;
  std::vector<std::size_t> order;
};

/// Plays runs through.
class Player {
 public:
  Player(const std::vector<Work>& works, const Machine& machine, const ScalingModel& model)
      : works_(works), machine_(machine), model_(model) {}

  double seconds(std::size_t task, int ranks) const {
    const Work& work = works_[task];
    if (work.is_done) return 0.0;
    const double alone =
        work.kind == TaskKind::Mesh
            ? model_.mesh_seconds(work.cells)
            // Ranks beyond the cores, which a study may ask for, take turns.
            : model_.solve_seconds(work.cells, work.iterations, std::min(ranks, machine_.cores));
    return alone * (machine_.cores > 1 ? 1.0 + model_.shared_slowdown : 1.0);
  }
  double memory(std::size_t task, int ranks) const {
    const Work& work = works_[task];
    if (work.is_done) return 0.0;
    return work.kind == TaskKind::Mesh ? model_.mesh_memory(work.cells)
                                       : model_.solve_memory(work.cells, ranks);
  }

  Schedule play(const Choice& choice) const {
    Schedule schedule{.ranks = choice.ranks};
    std::vector<Demand> demands;
    for (std::size_t i = 0; i < works_.size(); ++i) {
      schedule.seconds.push_back(seconds(i, choice.ranks[i]));
      schedule.memory.push_back(memory(i, choice.ranks[i]));
      demands.push_back({choice.ranks[i], schedule.memory[i], works_[i].after, works_[i].is_done});
    }
    Dispatcher dispatcher(std::move(demands), choice.order, machine_.cores, machine_.memory);
    std::vector<Slot> running;  // heap, the earliest end first
    const auto is_later = [](const Slot& a, const Slot& b) { return a.end > b.end; };
    double now = 0.0;
    do {
      for (const std::size_t task : dispatcher.begin_ready()) {
        running.push_back({task, now, now + schedule.seconds[task]});
        std::push_heap(running.begin(), running.end(), is_later);
      }
      if (running.empty()) break;
      schedule.most_at_a_time = std::max(schedule.most_at_a_time, static_cast<int>(running.size()));
      std::pop_heap(running.begin(), running.end(), is_later);
      now = running.back().end;
      dispatcher.end(running.back().task);
      schedule.slots.push_back(running.back());
      running.pop_back();
    } while (true);
    schedule.wall_time = now;
    return schedule;
  }

 private:
  const std::vector<Work>& works_;
  const Machine& machine_;
  const ScalingModel& model_;
};

/// Sum of the ends: of two runs of one length the one with earlier results is better.
double sum_of_ends(const Schedule& schedule) {
  double sum = 0.0;
  for (const Slot& slot : schedule.slots) sum += slot.end;
  return sum;
}

int rank_limit(const Work& work, const Machine& machine) {
  if (work.is_done || work.kind == TaskKind::Mesh) return 1;
  const double by_cells = std::max(1.0, work.cells / least_cells_per_rank);
  return std::min(machine.cores, static_cast<int>(std::min(by_cells, 1e6)));
}

int next_ranks(int ranks) {
  const auto next = std::upper_bound(rank_choices.begin(), rank_choices.end(), ranks);
  return next == rank_choices.end() ? std::numeric_limits<int>::max() : *next;
}

bool is_free(const Work& work) {
  return !work.is_done && work.kind == TaskKind::Solve && work.ranks == 0;
}

/// The same ranks for all whose ranks are free, as far as each can take them.
std::vector<int> uniform_ranks(const std::vector<Work>& works, const Machine& machine, int wanted) {
  std::vector<int> ranks;
  for (const Work& work : works) {
    int chosen = work.kind == TaskKind::Mesh ? 1 : std::max(1, work.ranks);
    if (is_free(work)) {
      const int most = std::min(wanted, rank_limit(work, machine));
      chosen = *(std::upper_bound(rank_choices.begin(), rank_choices.end(), most) - 1);
    }
    ranks.push_back(chosen);
  }
  return ranks;
}

std::vector<std::size_t> given_order(std::size_t n) {
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), 0U);
  return order;
}

/// The tasks with most work behind them first.
std::vector<std::size_t> longest_path_order(const std::vector<Work>& works,
                                            const Player& player,
                                            const std::vector<int>& ranks) {
  std::vector<double> path(works.size(), 0.0);
  for (std::size_t i = works.size(); i-- > 0;) {
    path[i] += player.seconds(i, ranks[i]);
    for (const std::size_t before : works[i].after) path[before] = std::max(path[before], path[i]);
  }
  std::vector<std::size_t> order = given_order(works.size());
  std::stable_sort(
      order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return path[a] > path[b]; });
  return order;
}

using Played = std::pair<Choice, Schedule>;

/// Of two choices the shorter one; the first when the second gains little.
bool is_worth_it(const Schedule& second, const Schedule& first) {
  return second.wall_time < worth_a_change * first.wall_time;
}

/// One core for each case, and the best of uniform ranks, each in the order given or by longest path.
std::vector<Played> uniform_choices(const std::vector<Work>& works,
                                    const Machine& machine,
                                    const Player& player) {
  std::vector<Played> played;
  std::vector<int> last;
  for (const int wanted : rank_choices) {
    const std::vector<int> ranks = uniform_ranks(works, machine, wanted);
    if (ranks == last) break;
    last = ranks;
    const Choice given{ranks, given_order(works.size())};
    const Choice by_path{ranks, longest_path_order(works, player, ranks)};
    Played best{given, player.play(given)};
    Schedule other = player.play(by_path);
    if (is_worth_it(other, best.second)) best = {by_path, std::move(other)};
    if (played.size() < 2) {
      played.push_back(std::move(best));
    } else if (is_worth_it(best.second, played.back().second)) {
      played.back() = std::move(best);
    }
  }
  return played;
}

/// Gives more ranks to the task that ends last, or to one before it, as long as that helps.
Schedule widened(Played best, const std::vector<Work>& works, const Machine& machine, const Player& player) {
  std::vector<bool> is_spent(works.size(), false);
  const std::size_t most_steps = most_played / (works.size() + 1);
  for (std::size_t step = 0; step < most_steps; ++step) {
    auto& [choice, schedule] = best;
    const Slot* latest = nullptr;
    for (const Slot& slot : schedule.slots) {
      const bool can_widen = is_free(works[slot.task]) && !is_spent[slot.task] &&
                             next_ranks(choice.ranks[slot.task]) <= rank_limit(works[slot.task], machine);
      if (can_widen && (!latest || slot.end > latest->end)) latest = &slot;
    }
    if (!latest) break;
    const std::size_t task = latest->task;
    Choice wider = choice;
    wider.ranks[task] = next_ranks(wider.ranks[task]);
    Schedule tried = player.play(wider);
    const bool is_shorter = tried.wall_time < schedule.wall_time * (1.0 - 1e-9);
    const bool is_as_long = tried.wall_time <= schedule.wall_time * (1.0 + 1e-9);
    if (is_shorter || (is_as_long && sum_of_ends(tried) < worth_a_change * sum_of_ends(schedule))) {
      best = {std::move(wider), std::move(tried)};
      std::fill(is_spent.begin(), is_spent.end(), false);
    } else {
      is_spent[task] = true;
    }
  }
  return std::move(best.second);
}

void require_memory(const std::vector<Work>& works, const Machine& machine, const Player& player) {
  for (std::size_t i = 0; i < works.size(); ++i) {
    const double needed = player.memory(i, std::max(1, works[i].ranks));
    if (needed > machine.memory) {
      throw base::InputError(fmt::format(
          "{} of {:.2g} million cells: needs about {:.1f} GB of memory: must be at most the {:.1f} GB that "
          "there are. Use a coarser [grid] level, or another machine.",
          works[i].kind == TaskKind::Mesh ? "a mesh" : "a case",
          works[i].cells / 1e6,
          needed / 1e9,
          machine.memory / 1e9));
    }
  }
}

}  // namespace

double ScalingModel::solve_seconds(double cells, double iterations, int ranks) const {
  return start_seconds + iterations * (cells * solve_seconds_per_cell_iteration / ranks +
                                       (ranks - 1) * solve_seconds_per_iteration_and_rank);
}

double ScalingModel::mesh_seconds(double cells) const {
  return cells * mesh_seconds_per_cell;
}

double ScalingModel::solve_memory(double cells, int ranks) const {
  return cells * bytes_per_cell + ranks * bytes_per_rank;
}

double ScalingModel::mesh_memory(double cells) const {
  return cells * mesh_bytes_per_cell + bytes_per_rank;
}

Schedule pack(const std::vector<Work>& works, const Machine& machine, const ScalingModel& model) {
  const Player player(works, machine, model);
  require_memory(works, machine, player);
  std::optional<Schedule> best;
  for (Played& choice : uniform_choices(works, machine, player)) {
    Schedule wider = widened(std::move(choice), works, machine, player);
    if (!best || is_worth_it(wider, *best)) best = std::move(wider);
  }
  Schedule schedule = std::move(*best);
  std::stable_sort(schedule.slots.begin(), schedule.slots.end(), [](const Slot& a, const Slot& b) {
    return a.begin < b.begin;
  });
  double work_alone = 0.0;
  for (const Slot& slot : schedule.slots) {
    work_alone += player.seconds(slot.task, 1);
    schedule.is_extrapolated =
        schedule.is_extrapolated || schedule.ranks[slot.task] > model.most_ranks_measured;
  }
  if (schedule.wall_time > 0.0) schedule.efficiency = work_alone / (machine.cores * schedule.wall_time);
  return schedule;
}

}  // namespace cowlwright::run
