// SPDX-License-Identifier: GPL-3.0-or-later
//
// Follows a running solver through the files it writes: its log and its monitors' tables.
#pragma once

#include "geometry/base/manifest.h"

#include <filesystem>
#include <fstream>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// The lines a growing file has got since the last call; a line still being written is left for later.
class LogTail {
 public:
  explicit LogTail(std::filesystem::path file) : file_(std::move(file)) {}
  std::vector<std::string> new_lines();

 private:
  std::filesystem::path file_;
  std::streamoff offset_ = 0;
  std::string unfinished_;
};

/// Iteration of a solver's line "Time = 120"; nothing for another line.
std::optional<int> iteration_of(const std::string& line);

/// Last complete row of a monitor's table below postProcessing/<function object>/<start iteration>/<file>;
/// the youngest start iteration counts. The first number is the iteration. Empty when there is none yet.
std::vector<double> last_row(const std::filesystem::path& case_dir, const base::MonitorRecord& monitor);

/// What the monitors of a case say now; a quantity one of whose monitors has no row yet is missing.
struct MonitorReading {
  std::optional<double>
      deck_pressure_difference;      ///< volume-weighted mean of the upper decks less the lower deck [Pa]
  std::optional<double> inlet_flow;  ///< sum over inlet planes [kg/s]
  std::optional<double> exit_flow;   ///< [kg/s]
};
MonitorReading read_monitors(const std::filesystem::path& case_dir, const base::Manifest& manifest);

}  // namespace cowlwright::run
