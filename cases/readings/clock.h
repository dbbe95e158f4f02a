// SPDX-License-Identifier: GPL-3.0-or-later
//
// Times of day and dates as loggers write them.
#pragma once

#include <optional>
#include <string_view>

namespace cowlwright::readings {

enum class TimeForm { Seconds, TimeOfDay, DateAndTime };

struct ClockTime {
  TimeForm form = TimeForm::Seconds;
  double seconds = 0.0;  ///< as counted, since midnight, or since 1970-01-01T00:00Z
};

/// "12.5" (with a decimal point or comma), "14:05:09", "14:05:09.5", "2026-03-01T14:05:09Z", "2026-03-01
/// 14:05:09+01:00". A date without a zone counts as UTC. Nothing for any other text, and for a date or time
/// that there is not.
std::optional<ClockTime> parse_time(std::string_view cell, char decimal_mark);

}  // namespace cowlwright::readings
