// SPDX-License-Identifier: GPL-3.0-or-later
//
// cowlpost over the cases that have ended, under the tables' lock.
#include "cases/run/study_tables.h"

#include "cases/run/process.h"
#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/manifest.h"
#include "geometry/base/sister_program.h"

#include <algorithm>
#include <optional>
#include <utility>

namespace cowlwright::run {

namespace {

namespace fs = std::filesystem;

constexpr std::chrono::minutes patience{10};  // many jobs may end at once, each rewrites the tables

/// Folders of the cases that have ended, in the study's order, and whether one of them ended well.
struct EndedCases {
  std::vector<std::string> folders{};
  bool has_result = false;
};

EndedCases ended_cases(const fs::path& output, const base::Sweep& sweep) {
  EndedCases ended;
  std::vector<std::pair<int, std::string>> folders;  // with the place of their variant in the study
  for (const base::Task& task : sweep.tasks) {
    if (task.kind != base::TaskKind::Solve) continue;
    const fs::path case_dir = output / task.case_folder;
    if (!fs::exists(case_dir / base::manifest_file_name)) continue;
    const std::optional<base::CaseState> state = base::read_case_state(case_dir);
    if (!state || state->phase == base::CasePhase::Running) continue;
    ended.has_result = ended.has_result || state->phase == base::CasePhase::Finished;
    folders.emplace_back(base::read_manifest(case_dir).variant_index, case_dir.string());
  }
  std::stable_sort(
      folders.begin(), folders.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (const auto& [index, folder] : folders) ended.folders.push_back(folder);
  return ended;
}

base::FolderLock lock_tables(const fs::path& output) {
  return {output, base::tables_lock_name, "writing the tables", patience};
}

/// Called under the lock: who writes last has seen every case that had ended before.
int write_locked(const fs::path& output,
                 const base::Sweep& sweep,
                 TablesKind kind,
                 const std::vector<std::string>& environment,
                 const fs::path& log) {
  const EndedCases ended = ended_cases(output, sweep);
  if (!ended.has_result) return 0;
  Command command{.words = {base::sister_program("cowlpost"),
                            kind == TablesKind::Report ? "report" : "extract",
                            "--output",
                            output.string()},
                  .log = log,
                  .environment = environment};
  command.words.insert(command.words.end(), ended.folders.begin(), ended.folders.end());
  return run_process(command).exit_code;
}

/// The turn to wait for the tables; nothing when another has it.
std::optional<base::FolderLock> take_turn(const fs::path& output) {
  for (int attempt = 0;; ++attempt) {
    try {
      return base::FolderLock(output, tables_turn_name, "waiting to write the tables");
    } catch (const base::ExternalError&) {
      if (!base::lock_holder(output, tables_turn_name).empty()) return std::nullopt;
      if (attempt == 2) throw;  // not another who let go meanwhile: it cannot be made
    }
  }
}

}  // namespace

int write_tables(const fs::path& output,
                 const base::Sweep& sweep,
                 TablesKind kind,
                 const std::vector<std::string>& environment,
                 const fs::path& log) {
  const base::FolderLock lock = lock_tables(output);
  return write_locked(output, sweep, kind, environment, log);
}

int write_tables_in_turn(const fs::path& output,
                         const base::Sweep& sweep,
                         const std::vector<std::string>& environment) {
  std::optional<base::FolderLock> turn = take_turn(output);
  if (!turn) return 0;
  const base::FolderLock lock = lock_tables(output);
  turn.reset();
  return write_locked(output, sweep, TablesKind::Tables, environment, {});
}

}  // namespace cowlwright::run
