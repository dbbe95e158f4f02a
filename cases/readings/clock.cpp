// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/readings/clock.h"

#include "cases/readings/csv.h"

#include <algorithm>
#include <chrono>

namespace cowlwright::readings {

namespace {

/// Takes up to `digits` digits off the front; nothing when there is none.
std::optional<int> take_digits(std::string_view& text, std::size_t fewest, std::size_t most) {
  const std::size_t n = std::min(text.find_first_not_of("0123456789"), text.size());
  if (n < fewest || n > most) return std::nullopt;
  int value = 0;
  for (const char c : text.substr(0, n)) value = 10 * value + (c - '0');
  text.remove_prefix(n);
  return value;
}

bool take(std::string_view& text, char c) {
  if (!text.starts_with(c)) return false;
  text.remove_prefix(1);
  return true;
}

/// h:mm:ss with a fraction; what is behind it stays.
std::optional<double> take_time_of_day(std::string_view& text) {
  const auto hours = take_digits(text, 1, 2);
  if (!hours || !take(text, ':')) return std::nullopt;
  const auto minutes = take_digits(text, 2, 2);
  if (!minutes || !take(text, ':')) return std::nullopt;
  const auto seconds = take_digits(text, 2, 2);
  if (!seconds || *hours > 23 || *minutes > 59 || *seconds > 60) return std::nullopt;
  double value = 3600.0 * *hours + 60.0 * *minutes + *seconds;
  if (take(text, '.') || take(text, ',')) {
    const std::size_t n = text.size();
    const auto fraction = take_digits(text, 1, 9);
    if (!fraction) return std::nullopt;
    double part = *fraction;
    for (std::size_t i = text.size(); i < n; ++i) part /= 10.0;
    value += part;
  }
  return value;
}

/// Seconds since 1970 of a date that there is.
std::optional<double> take_date(std::string_view& text) {
  const auto year = take_digits(text, 4, 4);
  if (!year || !take(text, '-')) return std::nullopt;
  const auto month = take_digits(text, 2, 2);
  if (!month || !take(text, '-')) return std::nullopt;
  const auto day = take_digits(text, 2, 2);
  if (!day || !(take(text, 'T') || take(text, ' '))) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{*year},
                                         std::chrono::month{static_cast<unsigned>(*month)},
                                         std::chrono::day{static_cast<unsigned>(*day)}};
  if (!date.ok()) return std::nullopt;
  return 86400.0 * static_cast<double>(std::chrono::sys_days{date}.time_since_epoch().count());
}

/// What a zone adds to UTC; 0 for "Z" and for none.
std::optional<double> take_zone(std::string_view& text) {
  if (text.empty() || take(text, 'Z')) return 0.0;
  const double sign = text.starts_with('-') ? -1.0 : 1.0;
  if (!take(text, '+') && !take(text, '-')) return std::nullopt;
  const auto hours = take_digits(text, 2, 4);
  if (!hours) return std::nullopt;
  if (*hours > 99) return sign * (3600.0 * (*hours / 100) + 60.0 * (*hours % 100));
  if (!take(text, ':')) return sign * 3600.0 * *hours;
  const auto minutes = take_digits(text, 2, 2);
  return minutes ? std::optional(sign * (3600.0 * *hours + 60.0 * *minutes)) : std::nullopt;
}

}  // namespace

std::optional<ClockTime> parse_time(std::string_view cell, char decimal_mark) {
  if (const auto number = csv_number(cell, decimal_mark)) return ClockTime{TimeForm::Seconds, *number};
  std::string_view rest = cell;
  if (const auto time = take_time_of_day(rest); time && rest.empty()) {
    return ClockTime{TimeForm::TimeOfDay, *time};
  }
  rest = cell;
  const auto date = take_date(rest);
  if (!date) return std::nullopt;
  const auto time = take_time_of_day(rest);
  if (!time) return std::nullopt;
  const auto zone = take_zone(rest);
  if (!zone || !rest.empty()) return std::nullopt;
  return ClockTime{TimeForm::DateAndTime, *date + *time - *zone};
}

}  // namespace cowlwright::readings
