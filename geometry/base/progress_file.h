// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where a case stands at this moment: one small JSON file in its folder that the task working on it rewrites
// (never half, not synced) about once a second, for whoever watches, also from another machine.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace cowlwright::base {

/// File name inside a case folder.
inline constexpr const char* progress_file_name = "progress.json";

struct Progress {
  std::string host{};
  long process = 0;  ///< of the task, on that host
  long beat = 0;     ///< one more with each writing: tells a task that works from one that is gone, whatever
                     ///< clocks say
  double written_at = 0.0;  ///< wall clock of the writer [s since 1970]; for people, never for decisions
  int ranks = 1;
  std::string stage{};
  double seconds = 0.0;    ///< since the stage began, by a clock that does not jump [s]
  int iteration = 0;       ///< of the solver; 0 outside its stage
  int last_iteration = 0;  ///< its ceiling
  std::optional<double> deck_pressure_difference{};       ///< [Pa]
  std::optional<double> deck_pressure_difference_band{};  ///< half band over the window [Pa]
  std::optional<double> inlet_flow{};                     ///< both inlets, in positive [kg/s]
  std::optional<double> exit_flow{};                      ///< out positive [kg/s]
  std::optional<double> seconds_left{};                   ///< of the stage, estimated [s]
};

/// The file's JSON object, with its format. A number that is not finite is null.
std::string progress_json(const Progress& progress);

/// @throws ExternalError  when the file cannot be written.
void write_progress(const Progress& progress, const std::filesystem::path& case_dir);

/// Nothing when there is no such file or it is not one of ours.
std::optional<Progress> read_progress(const std::filesystem::path& case_dir);

}  // namespace cowlwright::base
