// SPDX-License-Identifier: GPL-3.0-or-later
//
// How the flow solver of a case ended: one small JSON file in the case folder. Written by cases/run, read by
// post. A case that was run by hand has none.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace cowlwright::base {

/// Held: the driver stopped it, because all judged quantities had held. Ceiling: it did all its iterations.
/// Asked: a file STOP that was not the driver's ended it.
enum class EndedBy { Held, Ceiling, Asked };

struct SolverEnd {
  EndedBy ended_by = EndedBy::Asked;
  int iteration = 0;   ///< last one done
  std::string reason;  ///< what the stop rule said: the band that held, or why nothing was held
};

/// File name inside a case folder.
inline constexpr const char* solver_end_file_name = "solver_end.json";

/// For a reader: "held: widest half band 0.31 % ... at iteration 412", "ceiling: 800 iterations; flow drifts
/// ...".
std::string solver_end_text(const SolverEnd& end);

/// @throws ExternalError  when the file cannot be written.
void write_solver_end(const SolverEnd& end, const std::filesystem::path& case_dir);

/// Nothing when there is no such file or it is not one of ours.
std::optional<SolverEnd> read_solver_end(const std::filesystem::path& case_dir);

}  // namespace cowlwright::base
