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

/// File in a case folder that holds what was read from its fields: what makes its rows in the tables once the
/// fields are gone. Written by post.
inline constexpr const char* field_readings_file_name = "field_readings.json";

enum class CasePhase { Running, Finished, Failed };

struct StageTime {
  std::string name;
  double seconds = 0.0;    ///< wall time [s]; of a reused stage, what it took when it was made
  bool is_reused = false;  ///< its result was taken over from an earlier run or another case
};

/// What decides the result of each step, as SHA-256. Equal keys: the step's result can be taken over.
struct StepKeys {
  std::string source;  ///< of the study's values for the variant and the program's version: the case's files
  std::string mesh;    ///< of all that the mesher reads
  std::string
      solve;  ///< of the mesh's key and all that the solver reads, but not how long it runs, on how many
              ///< ranks, or from which start field: none of them changes the answer beyond its band
  bool operator==(const StepKeys&) const = default;
};

struct CaseState {
  StepKeys keys{};
  int ranks = 1;                ///< the folder is split for
  int last_iteration = 0;       ///< ceiling that the solver was run to
  double stop_tolerance = 0.0;  ///< that it was stopped by; 0 when it always ran to the ceiling
  int window = 0;               ///< iterations that had to hold for it to be stopped
  std::string start_from{};     ///< case folder beside this one that gave the start field; empty: still air
  CasePhase phase = CasePhase::Running;
  std::vector<StageTime> finished{};  ///< stages that have ended well, in order
  std::string begun{};      ///< stage that has been started and has not ended well; empty between stages
  std::string message{};    ///< why it failed
  bool can_go_on = false;   ///< of a failed one: from outside, so that its solver goes on from where it was
  std::string kept{"all"};  ///< what a keep policy has left of the folder: "all", "last", "tables"
};

/// @throws ExternalError  when the file cannot be written.
void write_case_state(const CaseState& state, const std::filesystem::path& case_dir);

/// Nothing when there is no such file or it is not one of ours: the case is then begun anew.
std::optional<CaseState> read_case_state(const std::filesystem::path& case_dir);

}  // namespace cowlwright::base
