// SPDX-License-Identifier: GPL-3.0-or-later
//
// Words for a planned sweep.
#include "cases/verbs/sweep_report.h"

#include "cases/run/progress.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <string_view>
#include <vector>

namespace cowlwright::verbs {
namespace {

using base::TaskKind;
using run::duration_text;

constexpr std::size_t n_columns = 9;
using Row = std::array<std::string, n_columns>;

std::string cells_text(double cells) {
  return cells < 1e6 ? fmt::format("{:.0f} k", cells / 1e3) : fmt::format("{:.1f} M", cells / 1e6);
}

/// Where the tasks of a case are.
struct CaseTasks {
  std::optional<std::size_t> mesh{};  ///< that it waits for
  std::optional<std::size_t> solve{};
  bool makes_mesh = false;  ///< in its own folder
};

CaseTasks tasks_of(const PlannedCase& planned, const std::vector<base::Task>& tasks) {
  CaseTasks found;
  for (std::size_t i = 0; i < tasks.size(); ++i) {
    if (tasks[i].case_folder == planned.folder && tasks[i].kind == TaskKind::Solve) found.solve = i;
  }
  if (!found.solve) return found;
  for (const std::size_t before : tasks[*found.solve].after) {
    if (tasks[before].kind != TaskKind::Mesh) continue;
    found.mesh = before;
    found.makes_mesh = tasks[before].case_folder == planned.folder;
  }
  return found;
}

Row row_of(const PlannedCase& planned, const SweepPlan& plan, const std::vector<const run::Slot*>& slots) {
  if (!planned.failure.empty()) return {planned.folder, "cannot be built", "see below"};
  const CaseTasks tasks = tasks_of(planned, plan.sweep.tasks);
  const base::Task& solve = plan.sweep.tasks[*tasks.solve];
  if (solve.is_done) return {planned.folder, "nothing", planned.left.reason, cells_text(planned.cells)};
  const std::string mesh_text = tasks.makes_mesh ? duration_text(plan.schedule.seconds[*tasks.mesh])
                                : tasks.mesh     ? "of " + plan.sweep.tasks[*tasks.mesh].case_folder
                                                 : "there";
  const run::Slot& first = *slots[tasks.makes_mesh ? *tasks.mesh : *tasks.solve];
  return {planned.folder,
          tasks.makes_mesh ? "mesh, solve" : "solve",
          planned.left.reason,
          cells_text(planned.cells),
          solve.start_from.empty() ? "still air" : solve.start_from,
          std::to_string(solve.ranks),
          mesh_text,
          duration_text(plan.schedule.seconds[*tasks.solve]),
          fmt::format("{} to {}", duration_text(first.begin), duration_text(slots[*tasks.solve]->end))};
}

std::string aligned(const std::vector<Row>& rows) {
  std::array<std::size_t, n_columns> widths{};
  for (const Row& row : rows) {
    for (std::size_t i = 0; i < n_columns; ++i) widths[i] = std::max(widths[i], row[i].size());
  }
  std::string text;
  for (const Row& row : rows) {
    std::string line;
    for (std::size_t i = 0; i < n_columns; ++i)
      line += fmt::format("{:<{}}{}", row[i], widths[i], i + 1 < n_columns ? "  " : "");
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  return text;
}

/// "1 core", "2 cores".
std::string counted(int n, std::string_view what) {
  return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
}

}  // namespace

std::string case_table(const SweepPlan& plan) {
  std::vector<const run::Slot*> slots(plan.sweep.tasks.size(), nullptr);
  for (const run::Slot& slot : plan.schedule.slots) slots[slot.task] = &slot;
  std::vector<Row> rows{
      {"case", "to do", "why", "cells", "starts from", "ranks", "mesh", "solve, at most", "when"}};
  std::string failures;
  for (const PlannedCase& planned : plan.cases) {
    rows.push_back(row_of(planned, plan, slots));
    if (!planned.failure.empty()) failures += fmt::format("\n{}: {}\n", planned.folder, planned.failure);
  }
  return aligned(rows) + failures;
}

std::string sweep_summary(const SweepPlan& plan,
                          const run::Machine& machine,
                          const run::ScalingModel& model) {
  if (plan.schedule.slots.empty()) return "Nothing is left to be done.\n";
  const Needs needs = needs_of(plan);
  std::string text = fmt::format(
      "About {} on {} when every solver runs to its last iteration; {} at a time, {:.0f} % of the cores' "
      "time is work.\n"
      "{:.1f} of {:.1f} GB of memory, {:.1f} of {:.1f} GB of free disk.\n",
      duration_text(plan.schedule.wall_time),
      counted(machine.cores, "core"),
      counted(plan.schedule.most_at_a_time, "task"),
      100.0 * plan.schedule.efficiency,
      needs.memory / 1e9,
      machine.memory / 1e9,
      needs.disk / 1e9,
      machine.disk / 1e9);
  text +=
      model.n_cases_measured > 0
          ? fmt::format("Times are scaled by those of {} cases solved here.\n", model.n_cases_measured)
          : "Times are those of the machine this program was measured on; yours may take half or twice.\n";
  int widest = 0;
  for (const run::Slot& slot : plan.schedule.slots) widest = std::max(widest, plan.schedule.ranks[slot.task]);
  if (widest > machine.cores) {
    text += fmt::format("{} asked for on {}: they take turns, which costs more than the ranks gain.\n",
                        counted(widest, "rank"),
                        counted(machine.cores, "core"));
  }
  if (plan.schedule.is_extrapolated) {
    text += fmt::format("More than {} ranks a case were never measured: their times are an extrapolation.\n",
                        model.most_ranks_measured);
  }
  return text;
}

}  // namespace cowlwright::verbs
