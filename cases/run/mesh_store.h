// SPDX-License-Identifier: GPL-3.0-or-later
//
// Meshes by the key of what they were made from: `<store>/<mesh key>/` holds constant/polyMesh, the logs of
// the mesh stages and what they took. Entries appear whole (renamed into place) and are never changed; cases
// get hard links, or copies where links cannot be made.
#pragma once

#include "geometry/base/case_state.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// Folder of meshes that a study's cases share, below its output folder. COWLWRIGHT_MESHES in the environment
/// names another that several studies share.
std::filesystem::path mesh_store(const std::filesystem::path& output);

bool has_mesh(const std::filesystem::path& store, const std::string& mesh_key);

/// Puts the finished mesh of a case into the store; nothing when it is there already.
/// @param stages  the mesh stages' times.
/// @throws ExternalError  when it cannot be written.
void keep_mesh(const std::filesystem::path& store,
               const std::string& mesh_key,
               const std::filesystem::path& case_dir,
               const std::vector<base::StageTime>& stages);

/// Gives a case the mesh and its logs. @return the stages with is_reused set; nothing when the store has no
/// such mesh or its files do not match the sizes and hashes kept with it (the entry is then removed).
std::optional<std::vector<base::StageTime>> take_mesh(const std::filesystem::path& store,
                                                      const std::string& mesh_key,
                                                      const std::filesystem::path& case_dir);

}  // namespace cowlwright::run
