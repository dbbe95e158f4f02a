// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the user sees while a study runs: lines redrawn in place on a terminal, plain lines now and then
// elsewhere.
#pragma once

#include "geometry/base/progress_file.h"

#include <chrono>
#include <cstdio>
#include <map>
#include <string>
#include <vector>

namespace cowlwright::run {

/// Where a case stands at one moment, and its place in the study.
struct Snapshot : base::Progress {
  std::string variant{};
  std::size_t variant_number = 1;  ///< from 1
  std::size_t n_variants = 1;
};

/// One line, no line end: "[2/3] lip_angle_30_deg  solve 214/400  deck dp 812 Pa (3.26 inH2O)  in 0.412
/// kg/s out 0.409 kg/s  1 min 40 s left".
std::string progress_line(const Snapshot& snapshot);

/// "45 s", "3 min 05 s", "2 h 10 min".
std::string duration_text(double seconds);

/// Prints lines to a stream.
class ProgressPrinter {
 public:
  using Clock = std::chrono::steady_clock;

  /// @param stream   where to print, usually stdout.
  /// @param columns  width of the terminal; 0 when the stream is not one.
  ProgressPrinter(std::FILE* stream, int columns) : stream_(stream), columns_(columns) {}

  /// Where everything that runs stands. On a terminal: redraws a block of lines. Elsewhere: prints the line
  /// of what is new or in a new stage at once, and all lines when `quiet_time` went by.
  void show(const std::vector<Snapshot>& running, Clock::time_point now = Clock::now());

  /// A line that stays. Replaces the redrawn ones.
  void print(const std::string& line);

  /// Longest time without a line when the stream is not a terminal.
  static constexpr std::chrono::seconds quiet_time{10};
  /// Most lines of the block; how many more run is told in one line.
  static constexpr std::size_t most_lines = 8;

 private:
  std::FILE* stream_;
  int columns_;
  void erase();

  std::size_t n_drawn_ = 0;                        ///< lines of the block on the terminal
  std::map<std::string, std::string> last_stage_;  ///< of each variant
  Clock::time_point last_time_{};
};

/// Width of the terminal a stream is connected to; 0 when it is none.
int terminal_columns(std::FILE* stream);

}  // namespace cowlwright::run
