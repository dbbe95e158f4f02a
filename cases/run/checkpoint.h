// SPDX-License-Identifier: GPL-3.0-or-later
//
// Iterations of the solver that a run may go on from: a time folder counts only with a seal, the size and
// hash of each of its files, made once the solver has gone past it. A half-written, damaged or missing file
// then costs the iterations since the seal before, and never a wrong field.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// File name inside a case folder.
inline constexpr const char* checkpoint_file_name = "checkpoints.json";

/// Seals every time folder that is complete: of all ranks (folders processor<i>, or the case itself on one
/// rank), and older than the iteration the solver is at; forgets those that are gone. Cheap when nothing is
/// new.
/// @param iteration  the solver has finished this one; a time folder of it or after it may still be written.
/// @throws ExternalError  when the seals cannot be written.
void seal_checkpoints(const std::filesystem::path& case_dir, int ranks, int iteration);

/// What restore_checkpoint() found.
struct Restored {
  int iteration = 0;    ///< that the solver goes on from; 0: its start field
  std::string trouble;  ///< what was thrown away and why, one clause; empty: nothing
};

/// Makes the newest sound checkpoint the newest time folder: removes those after it, sealed or not, that do
/// not match their seal or have none, in all ranks.
/// @return nothing when even the start field is damaged: the case starts over from its start field's step.
std::optional<Restored> restore_checkpoint(const std::filesystem::path& case_dir, int ranks);

/// Whether the last iteration of a solved case (joined, in the case folder) still matches its seal; why not,
/// else empty.
std::string result_damage(const std::filesystem::path& case_dir);

}  // namespace cowlwright::run
