// SPDX-License-Identifier: GPL-3.0-or-later
//
// Levels of the tasks, and arrays from them.
#include "cases/cluster/job_arrays.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace cowlwright::cluster {
namespace {

using base::Task;
using base::TaskKind;

/// What the jobs of one array have in common; sorted by what must come first.
using Group = std::tuple<int, TaskKind, int>;  // level, kind, ranks

/// How many tasks stand one behind the other before each one; of a done task 0, nobody waits for it.
std::vector<int> levels_of(const std::vector<Task>& tasks) {
  std::vector<int> levels(tasks.size(), 0);
  for (std::size_t i = 0; i < tasks.size(); ++i) {
    for (const std::size_t before : tasks[i].after) {
      if (!tasks[before].is_done) levels[i] = std::max(levels[i], levels[before] + 1);
    }
  }
  return levels;
}

std::string array_name(const Group& group, std::size_t part, std::size_t n_parts) {
  const auto& [level, kind, ranks] = group;
  const bool is_mesh = kind == TaskKind::Mesh;
  std::string name = is_mesh ? "mesh" : "solve";
  if (!is_mesh || level > 0) name += fmt::format("-level-{}", level);
  if (!is_mesh || ranks > 1) name += fmt::format("-ranks-{}", ranks);
  if (n_parts > 1) name += fmt::format("-part-{}", part + 1);
  return name;
}

}  // namespace

std::vector<JobArray> job_arrays(const base::Sweep& sweep, const Site& site) {
  const std::vector<int> levels = levels_of(sweep.tasks);
  std::map<Group, std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < sweep.tasks.size(); ++i) {
    const Task& task = sweep.tasks[i];
    if (!task.is_done) groups[{levels[i], task.kind, task.ranks}].push_back(i);
  }

  const auto size = static_cast<std::size_t>(site.array_size);
  std::vector<JobArray> arrays;
  std::map<std::size_t, std::size_t> array_of;  // task -> array
  for (const auto& [group, members] : groups) {
    const std::size_t n_parts = (members.size() + size - 1) / size;
    for (std::size_t part = 0; part < n_parts; ++part) {
      JobArray array{.name = array_name(group, part, n_parts),
                     .kind = std::get<TaskKind>(group),
                     .ranks = std::get<2>(group)};
      std::set<std::size_t> after;
      for (std::size_t i = part * size; i < std::min(members.size(), (part + 1) * size); ++i) {
        const Task& task = sweep.tasks[members[i]];
        array.tasks.push_back(members[i]);
        array.memory = std::max(array.memory, task.expected_memory);
        for (const std::size_t before : task.after) {
          if (!sweep.tasks[before].is_done) after.insert(array_of.at(before));
        }
      }
      array.after.assign(after.begin(), after.end());
      for (const std::size_t task : array.tasks) array_of[task] = arrays.size();
      arrays.push_back(std::move(array));
    }
  }
  return arrays;
}

}  // namespace cowlwright::cluster
