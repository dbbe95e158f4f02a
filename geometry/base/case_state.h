// SPDX-License-Identifier: GPL-3.0-or-later
//
// How far a case has come: one small JSON file in the case folder, rewritten (never half) at every step, so
// that a run that was stopped at any moment can be picked up. Written by cases/run; post reads the times.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::base {

/// File name inside a case folder.
inline constexpr const char* case_state_file_name = "run_state.json";

enum class CasePhase { Running, Finished, Failed };

struct StageTime {
  std::string name;
  double seconds = 0.0;  ///< wall time [s]
};

struct CaseState {
  std::string input_hash;  ///< of the inputs the folder was written from
  int ranks = 1;           ///< the stages were made for
  CasePhase phase = CasePhase::Running;
  std::vector<StageTime> finished{};  ///< stages that have ended well, in order
  std::string begun{};    ///< stage that has been started and has not ended well; empty between stages
  std::string message{};  ///< why it failed
};

/// @throws ExternalError  when the file cannot be written.
void write_case_state(const CaseState& state, const std::filesystem::path& case_dir);

/// Nothing when there is no such file or it is not one of ours: the case is then begun anew.
std::optional<CaseState> read_case_state(const std::filesystem::path& case_dir);

}  // namespace cowlwright::base
