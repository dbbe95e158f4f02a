// SPDX-License-Identifier: GPL-3.0-or-later
//
// Time left: work over cores, and no shorter than the longest chain of tasks that wait for one another.
#include "cases/watch/sweep_status.h"

#include <algorithm>

namespace cowlwright::watch {
namespace {

const CaseStatus* find_case(const std::vector<CaseStatus>& cases, const std::string& folder) {
  const auto found =
      std::find_if(cases.begin(), cases.end(), [&](const CaseStatus& c) { return c.case_folder == folder; });
  return found == cases.end() ? nullptr : &*found;
}

/// Taken over expected time of the cases solved in this sweep from their first stage on.
struct Experience {
  double ratio = 1.0;
  int n_cases = 0;
};

Experience experience(const base::Sweep& sweep, const std::vector<CaseStatus>& cases) {
  double expected = 0.0;
  double taken = 0.0;
  int n_cases = 0;
  for (const CaseStatus& status : cases) {
    if (status.standing != Standing::Solved || !status.state) continue;
    double of_case = 0.0;
    bool is_whole = true;
    for (const base::Task& task : sweep.tasks) {
      if (task.case_folder != status.case_folder) continue;
      is_whole = is_whole && !task.is_done;
      of_case += task.expected_seconds;
    }
    if (!is_whole || !(of_case > 0.0)) continue;
    expected += of_case;
    for (const base::StageTime& stage : status.state->finished) {
      if (!stage.is_reused) taken += stage.seconds;
    }
    ++n_cases;
  }
  return expected > 0.0 && taken > 0.0 ? Experience{taken / expected, n_cases} : Experience{};
}

bool is_at_work(Standing standing) {
  return standing == Standing::Working || standing == Standing::Silent;
}

/// The case's lock is held by this one of its tasks.
bool is_current(const base::Task& task, const CaseStatus& status) {
  const bool is_meshing = !has_mesh(status.state);
  return is_at_work(status.standing) && is_meshing == (task.kind == base::TaskKind::Mesh);
}

/// Wall time that a task still needs [s].
double seconds_of(const base::Task& task, const CaseStatus& status, double ratio) {
  const bool has_ended = status.standing == Standing::Solved || status.standing == Standing::Failed;
  if (task.is_done || has_ended) return 0.0;
  if (task.kind == base::TaskKind::Mesh && has_mesh(status.state)) return 0.0;
  const double expected = ratio * task.expected_seconds;
  if (!is_current(task, status) || !status.progress) return expected;
  const base::Progress& progress = *status.progress;
  if (task.kind == base::TaskKind::Solve && progress.iteration > 0 && progress.seconds_left)
    return *progress.seconds_left;
  return std::max(0.0, expected - progress.seconds);
}

}  // namespace

TimeLeft time_left(const base::Sweep& sweep, const std::vector<CaseStatus>& cases) {
  const Experience gained = experience(sweep, cases);
  TimeLeft left{.cores = sweep.cores, .n_measured = gained.n_cases};
  std::vector<double> end(sweep.tasks.size(),
                          0.0);  // of each task, on as many cores as one could wish for [s]
  double longest = 0.0;
  int at_work = 0;
  for (std::size_t i = 0; i < sweep.tasks.size(); ++i) {
    const base::Task& task = sweep.tasks[i];
    const CaseStatus* status = find_case(cases, task.case_folder);
    if (status == nullptr) continue;
    const double seconds = seconds_of(task, *status, gained.ratio);
    for (const std::size_t before : task.after) end[i] = std::max(end[i], end[before]);
    end[i] += seconds;
    longest = std::max(longest, end[i]);
    left.core_seconds += seconds * std::max(1, task.ranks);
    if (is_current(task, *status) && !task.is_done) at_work += std::max(1, task.ranks);
  }
  if (left.cores == 0) left.cores = at_work;
  if (left.cores > 0) left.seconds = std::max(longest, left.core_seconds / left.cores);
  return left;
}

}  // namespace cowlwright::watch
