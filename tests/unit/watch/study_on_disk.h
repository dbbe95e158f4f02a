// SPDX-License-Identifier: GPL-3.0-or-later
//
// An output folder of three cases, written file by file: the mesh of lip_0, lip_0, lip_30, which starts from
// it, and lip_45, which waits for a mesh of its own.
#pragma once

#include "cases/watch/sweep_status.h"
#include "tests/support/scratch_folder.h"

#include <filesystem>
#include <string>

namespace cowlwright::testing_support {

class StudyOnDisk {
 public:
  StudyOnDisk() {
    base::Sweep sweep{.study = "Lip sweep", .study_file = "lip.toml", .program_version = "1", .cores = 2};
    sweep.tasks.push_back({.case_folder = "lip_0", .kind = base::TaskKind::Mesh, .expected_seconds = 100.0});
    sweep.tasks.push_back({.case_folder = "lip_0", .after = {0}, .ranks = 2, .expected_seconds = 400.0});
    sweep.tasks.push_back({.case_folder = "lip_30",
                           .after = {1},
                           .ranks = 2,
                           .start_from = "lip_0",
                           .expected_seconds = 300.0});
    sweep.tasks.push_back({.case_folder = "lip_45", .kind = base::TaskKind::Mesh, .expected_seconds = 100.0});
    sweep.tasks.push_back({.case_folder = "lip_45", .after = {3}, .ranks = 1, .expected_seconds = 500.0});
    for (const base::Task& task : sweep.tasks)
      std::filesystem::create_directories(output() / task.case_folder);
    base::write_sweep(sweep, output());
  }

  const std::filesystem::path& output() const { return folder_.path(); }

  void state(const std::string& case_folder, const base::CaseState& state) const {
    base::write_case_state(state, output() / case_folder);
  }
  /// In the solver's stage.
  void progress(const std::string& case_folder, const std::string& host, long beat, int iteration) const {
    base::Progress progress{.host = host, .process = 4711, .beat = beat, .ranks = 2};
    progress.stage = "solve";
    progress.seconds = 60.0;
    progress.iteration = iteration;
    progress.last_iteration = 400;
    progress.deck_pressure_difference = 996.36;  // 4.00 inH2O of 249.08891 Pa (NIST SP 811 app. B)
    progress.deck_pressure_difference_band = 24.91;
    progress.seconds_left = 100.0;
    base::write_progress(progress, output() / case_folder);
  }

  static base::CaseState solving() {
    base::CaseState state;
    state.finished = {{"snap", 90.0}, {"check", 10.0}};
    state.begun = "solve";
    return state;
  }
  static base::CaseState solved() {
    base::CaseState state = solving();
    state.finished.push_back({"solve", 900.0});
    state.begun.clear();
    state.phase = base::CasePhase::Finished;
    return state;
  }
  static base::CaseState failed(const std::string& message) {
    base::CaseState state = solving();
    state.phase = base::CasePhase::Failed;
    state.message = message;
    return state;
  }

 private:
  ScratchFolder folder_;
};

}  // namespace cowlwright::testing_support
