// SPDX-License-Identifier: GPL-3.0-or-later
//
// cowlpost over the cases that have ended, under the tables' lock.
#include "cases/run/study_tables.h"

#include "cases/run/process.h"
#include "geometry/base/case_state.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/manifest.h"
#include "geometry/base/sister_program.h"

#include <algorithm>
#include <optional>

namespace cowlwright::run {

namespace {

namespace fs = std::filesystem;

constexpr std::chrono::minutes patience{10};  // many jobs may end at once, each rewrites the tables

/// Folders of the cases that have ended, and whether one of them ended well.
struct EndedCases {
  std::vector<std::string> folders{};
  bool has_result = false;
};

EndedCases ended_cases(const fs::path& output, const base::Sweep& sweep) {
  EndedCases ended;
  for (const base::Task& task : sweep.tasks) {
    const fs::path case_dir = output / task.case_folder;
    const bool is_listed =
        std::find(ended.folders.begin(), ended.folders.end(), case_dir.string()) != ended.folders.end();
    if (is_listed || !fs::exists(case_dir / base::manifest_file_name)) continue;
    const std::optional<base::CaseState> state = base::read_case_state(case_dir);
    if (!state || state->phase == base::CasePhase::Running) continue;
    ended.has_result = ended.has_result || state->phase == base::CasePhase::Finished;
    ended.folders.push_back(case_dir.string());
  }
  return ended;
}

}  // namespace

int write_tables(const fs::path& output,
                 const base::Sweep& sweep,
                 TablesKind kind,
                 const std::vector<std::string>& environment,
                 const fs::path& log) {
  const base::FolderLock lock(output, base::tables_lock_name, "writing the tables", patience);
  // Asked under the lock: who writes last has seen every case that had ended before.
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

}  // namespace cowlwright::run
