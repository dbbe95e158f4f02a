// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a flight log told, as text and as a table.
#pragma once

#include "cases/readings/segments.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::readings {

/// A temperature carried to the rule's hot day, and what is left to the limit.
struct Corrected {
  Kind kind = Kind::HeadBottom;
  int cylinder = -1;
  double temperature = 0.0;     ///< on the hot day [K]
  std::optional<double> limit;  ///< [K]
};

struct LogReport {
  const LogMap* map = nullptr;
  const FlightLog* log = nullptr;
  const Segments* segments = nullptr;
  std::vector<std::vector<Corrected>> corrected{};  ///< for each segment, or empty
  std::string correction_rule{};                    ///< whose hot day
  std::string comparison{};                         ///< further sections, Markdown
};

std::string report_markdown(const LogReport& report);

/// One row for each value of each segment: in the column's own unit.
std::string report_csv(const LogReport& report);

/// The cautions that stand in every output, one sentence each.
std::vector<std::string> reading_cautions();

/// "14:05:09" or "1234 s".
std::string time_text(const FlightLog& log, double time);

/// "l1" ...; "" for -1.
std::string cylinder_text(const LogMap& map, int cylinder);

}  // namespace cowlwright::readings
