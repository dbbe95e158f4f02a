// SPDX-License-Identifier: GPL-3.0-or-later
//
// A flight log as columns of numbers, and what was found wrong with it. Nothing is filled in: what is missing
// or refused is NaN, and is counted.
#pragma once

#include "cases/readings/log_map.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::readings {

struct Channel {
  ColumnSpec spec;
  std::vector<double> value;  ///< (n rows) SI; NaN where there is none
};

struct FlightLog {
  std::vector<double> time;         ///< (n rows) [s], rising; since midnight or 1970 when the log says so
  std::vector<std::uint32_t> line;  ///< (n rows) of the file
  std::vector<Channel> channels;
  std::vector<std::string> findings;  ///< what was skipped or refused, with counts and lines
  std::size_t n_lines = 0;            ///< rows below the header, also skipped ones
  bool has_time_of_day = false;       ///< `time` counts from midnight UTC or local

  const Channel* find(Kind kind) const;  ///< the first of its kind; null when there is none
};

/// Counts of one fault and its first lines.
class Tally {
 public:
  void add(std::uint32_t line);
  std::size_t count() const { return count_; }
  /// "line 12" or "lines 12, 15, 18 and 7 more".
  std::string lines() const;

 private:
  std::size_t count_ = 0;
  std::vector<std::uint32_t> first_;
};

/// Reads the map's file. @throws InputError  when it cannot be read, a mapped column is missing or stands
/// twice, times are unreadable or run backwards, or too little is left.
FlightLog read_flight_log(const LogMap& map);

/// The same from text; `name` stands for the file in messages.
FlightLog parse_flight_log(const LogMap& map, std::string_view text, const std::string& name);

}  // namespace cowlwright::readings
