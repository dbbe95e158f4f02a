// SPDX-License-Identifier: GPL-3.0-or-later
//
// Locks decide first: the kernel frees them with their holder. Where a lock of another machine's is not seen,
// the beat in the progress file decides, between two looks by our own clock.
#include "cases/watch/sweep_status.h"

#include "cases/cluster/job_files.h"
#include "cases/foam/stages.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/manifest.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

namespace cowlwright::watch {
namespace {

namespace fs = std::filesystem;

std::string first_line(const std::string& text) {
  return text.substr(0, text.find('\n'));
}

/// Case folders in the order in which the sweep first solves them.
std::vector<std::string> folders_of(const base::Sweep& sweep) {
  std::vector<std::string> folders;
  std::set<std::string> seen;
  for (const base::Task& task : sweep.tasks) {
    if (seen.insert(task.case_folder).second) folders.push_back(task.case_folder);
  }
  return folders;
}

/// Of an output folder without a sweep: prepared to be run by hand, or by an earlier version.
std::vector<std::string> case_folders_in(const fs::path& output) {
  std::vector<std::string> folders;
  for (const fs::directory_entry& entry : fs::directory_iterator(output)) {
    if (fs::exists(entry.path() / base::manifest_file_name))
      folders.push_back(entry.path().filename().string());
  }
  std::sort(folders.begin(), folders.end());
  return folders;
}

const CaseStatus* find_case(const std::vector<CaseStatus>& cases, const std::string& folder) {
  const auto found =
      std::find_if(cases.begin(), cases.end(), [&](const CaseStatus& c) { return c.case_folder == folder; });
  return found == cases.end() ? nullptr : &*found;
}

bool is_over(const base::Task& task, const std::vector<CaseStatus>& cases) {
  const CaseStatus* status = find_case(cases, task.case_folder);
  if (task.is_done || status == nullptr) return true;
  if (status->standing == Standing::Solved || status->standing == Standing::Failed) return true;
  return task.kind == base::TaskKind::Mesh && has_mesh(status->state);
}

/// "for mesh of lip_0"; empty when it only waits for its turn.
std::string awaited(const base::Sweep& sweep,
                    const std::string& folder,
                    const std::vector<CaseStatus>& cases) {
  std::string names;
  for (const base::Task& task : sweep.tasks) {
    if (task.case_folder != folder) continue;
    for (const std::size_t before : task.after) {
      const base::Task& other = sweep.tasks[before];
      if (other.case_folder == folder || is_over(other, cases)) continue;
      names += (names.empty() ? "for " : ", ") + base::task_name(other);
    }
  }
  return names;
}

/// What is said of a case that nobody works on.
void judge_unattended(CaseStatus& status) {
  const bool is_begun = status.state && (!status.state->begun.empty() || !status.state->finished.empty());
  if (!is_begun) return;
  const base::CaseState& state = *status.state;
  if (state.phase == base::CasePhase::Failed) {
    status.standing = Standing::Failed;
    status.note = first_line(state.message);
  } else if (state.phase == base::CasePhase::Finished) {
    status.standing = Standing::Solved;
    status.note = first_line(state.message);
    if (state.kept != "all") status.note += (status.note.empty() ? "kept: " : "; kept: ") + state.kept;
  } else if (!state.begun.empty()) {
    status.standing = Standing::Stopped;
    status.note = fmt::format("broken off in stage {}; the next run takes it up", state.begun);
  }
}

}  // namespace

std::string_view standing_name(Standing standing) {
  constexpr std::array<std::string_view, 6> names{
      "waiting", "working", "solved", "failed", "stopped", "gone silent"};
  return names.at(static_cast<std::size_t>(standing));
}

bool has_mesh(const std::optional<base::CaseState>& state) {
  return state && std::any_of(state->finished.begin(),
                              state->finished.end(),
                              [](const base::StageTime& stage) { return stage.name == foam::check_stage; });
}

std::size_t SweepStatus::count(Standing standing) const {
  return static_cast<std::size_t>(std::count_if(
      cases.begin(), cases.end(), [&](const CaseStatus& status) { return status.standing == standing; }));
}

bool SweepStatus::is_at_rest() const {
  return driver.empty() && !has_jobs && count(Standing::Working) == 0;
}

Watcher::Watcher(fs::path output) : output_(std::move(output)) {
  if (!fs::is_directory(output_)) {
    throw base::InputError(
        fmt::format("{}: is no folder. Name the output folder of a study.", output_.string()));
  }
}

Watcher::Pulse Watcher::pulse(const std::string& case_folder,
                              const std::optional<base::Progress>& progress,
                              Clock::time_point now) {
  const std::string writer = progress ? fmt::format("{} {}", progress->host, progress->process) : "";
  const long count = progress ? progress->beat : 0;
  const auto [found, is_new] = beats_.try_emplace(case_folder, Beat{writer, count, now});
  Beat& beat = found->second;
  if (!is_new && (beat.writer != writer || beat.count != count)) beat = {writer, count, now, true};
  if (now - beat.moved >= patience) return Pulse::StandsStill;
  return beat.has_moved ? Pulse::Moves : Pulse::Unsure;
}

CaseStatus Watcher::look_at(const std::string& case_folder, Clock::time_point now) {
  const fs::path case_dir = output_ / case_folder;
  CaseStatus status{.case_folder = case_folder};
  // The lock before the state: a case that ends between the two is then seen as ended, not as broken off.
  const std::string holder = base::lock_holder(case_dir, base::case_lock_name);
  status.state = base::read_case_state(case_dir);
  status.progress = base::read_progress(case_dir);
  const bool is_running = status.state && status.state->phase == base::CasePhase::Running;
  if (holder.empty()) judge_unattended(status);
  const bool may_be_far_away = is_running && !status.state->begun.empty() && status.progress &&
                               status.progress->host != base::host_name();
  if (holder.empty() && !may_be_far_away) {
    beats_.erase(case_folder);
    return status;
  }
  const Pulse felt = pulse(case_folder, status.progress, now);
  if (felt == Pulse::Unsure) is_sure_ = false;
  status.standing = felt == Pulse::StandsStill ? Standing::Silent : Standing::Working;
  status.note.clear();
  if (felt == Pulse::StandsStill) {
    status.note =
        holder.empty()
            ? fmt::format("no sign of life from {} for {} s or more", status.progress->host, patience.count())
            : fmt::format("no sign of life for {} s or more, yet in use by {}", patience.count(), holder);
  }
  return status;
}

SweepStatus Watcher::look(Clock::time_point now) {
  const std::optional<base::Sweep> sweep = base::read_sweep(output_);
  SweepStatus status;
  status.study = sweep ? sweep->study : fs::weakly_canonical(fs::absolute(output_)).filename().string();
  status.driver = base::lock_holder(output_, base::driver_lock_name);
  status.has_jobs = fs::exists(output_ / cluster::job_folder_name / cluster::jobs_file_name);
  is_sure_ = true;
  for (const std::string& folder : sweep ? folders_of(*sweep) : case_folders_in(output_))
    status.cases.push_back(look_at(folder, now));
  if (status.cases.empty()) {
    throw base::InputError(fmt::format(
        "{}: holds no sweep and no case. Name the output folder of `cowlwright run`.", output_.string()));
  }
  if (!sweep) return status;
  for (CaseStatus& one : status.cases) {
    if (one.standing == Standing::Stopped && (status.has_jobs || !status.driver.empty())) {
      one.standing = Standing::Waiting;
      one.note = fmt::format("for its turn; was broken off in stage {}", one.state->begun);
    } else if (one.standing == Standing::Waiting)
      one.note = awaited(*sweep, one.case_folder, status.cases);
  }
  status.left = time_left(*sweep, status.cases);
  return status;
}

}  // namespace cowlwright::watch
