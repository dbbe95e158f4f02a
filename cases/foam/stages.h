// SPDX-License-Identifier: GPL-3.0-or-later
//
// The commands of a case in order, and the two files that say on how many ranks it runs.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::foam {

/// What the stages of a case are for. A step whose input has changed is redone with all after it.
enum class Step { Mesh, Start, Solve };

/// One command of a case, run in the case folder with its output in `log`.
struct Stage {
  std::string name;  ///< "block", "features", "snap", "zones", "check", "fields", "start" or "map",
                     ///< "split", "solve", "join"
  std::vector<std::string> command;  ///< program and arguments, MPI launcher included
  std::string log;                   ///< file name in the case folder, "log.<name>"
  Step step = Step::Mesh;
};

/// Name of the stage that ends the mesh: its quality.
inline constexpr const char* check_stage = "check";

/// Name of the stage that takes the start field from another case.
inline constexpr const char* map_stage = "map";

/// Name of the stage that runs the flow solver.
inline constexpr const char* solve_stage = "solve";

/// The stages of a case on this many MPI ranks (no split and join on one rank), in order.
/// @param start_from  case folder beside this one whose last result is the start field; empty: still air
/// inside.
/// @param launcher    words that start MPI ranks, "{ranks}" standing for their number; empty: mpirun as
/// Debian's Open MPI wants it.
std::vector<Stage> case_stages(int ranks,
                               const std::string& start_from = {},
                               const std::vector<std::string>& launcher = {});

/// Whether a stage of this name makes the mesh.
bool is_mesh_stage(std::string_view name);

/// Allrun: the same stages as a script for /bin/sh. It never writes through a file that other cases share.
std::string allrun_text(const std::vector<Stage>& stages);

/// Rewrites Allrun and system/decomposeParDict of a case for stages on so many ranks.
/// @throws ExternalError  when they cannot be written.
void write_ranks(const std::filesystem::path& case_dir, int ranks, const std::vector<Stage>& stages);

}  // namespace cowlwright::foam
