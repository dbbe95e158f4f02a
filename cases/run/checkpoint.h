// SPDX-License-Identifier: GPL-3.0-or-later
//
// Iterations of the solver that a run may go on from: a time folder counts only with a seal, the size and
// hash of each of its files, of the mesh and of the monitors' rows so far, made once the solver has gone past
// it. A half-written, damaged or missing file then costs the iterations since the seal before, and never a
// wrong field; and a restart takes with it the rows beyond its iteration, so that each counts once.
//
// Order of calls around a solver: forget_checkpoints() before its start field is made or split anew,
// seal_checkpoints(case, ranks, 1) when that is there, restore_checkpoint() before each start of the solver,
// seal_checkpoints() while it runs and once more with its last iteration + 1 when it has ended well; after
// joining, seal_checkpoints() of the joined folder on 1 rank.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace cowlwright::run {

/// File name inside a case folder.
inline constexpr const char* checkpoint_file_name = "checkpoints.json";

/// Seals every time folder that is complete: of all ranks (folders processor<i>, or the case itself on one
/// rank), and older than `iteration`; forgets those that are gone. Cheap when nothing is new.
/// @param iteration  the solver's log says "Time = " this one: folders before it are whole, and so are their
/// rows in the monitors' tables. This one and later ones may still be written.
/// @return why the newest of them could not be sealed, one clause: a field or a row is cut short or missing,
/// as on a full disk. Empty: all sealed.
/// @throws ExternalError  when the seals cannot be written.
std::string seal_checkpoints(const std::filesystem::path& case_dir, int ranks, int iteration);

/// Drops the seals of the fields on this number of ranks, and of the mesh with them: what is there from now
/// on is another field.
/// @throws ExternalError  when the seals cannot be written.
void forget_checkpoints(const std::filesystem::path& case_dir, int ranks);

/// What restore_checkpoint() found.
struct Restored {
  int iteration = 0;    ///< that the solver goes on from; 0: its start field
  std::string trouble;  ///< what was thrown away and why, one clause; empty: nothing
};

/// Makes the newest sound checkpoint the newest time folder: removes those after it, sealed or not, in all
/// ranks and in the case folder, and all rows of the monitors' tables after it.
/// @return nothing when not even the start field, its mesh and its seal are sound: the case starts over from
/// its mesh.
/// @throws ExternalError  when something cannot be read or removed.
std::optional<Restored> restore_checkpoint(const std::filesystem::path& case_dir, int ranks);

/// Whether the last iteration in the case folder (joined, of a case on several ranks), its mesh and the
/// monitors' tables match their seal; why not, else empty. Also empty for a case of which only tables were
/// kept.
std::string result_damage(const std::filesystem::path& case_dir);

}  // namespace cowlwright::run
