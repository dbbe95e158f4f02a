// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/readings/screening.h"

#include "geometry/base/air.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <span>

namespace cowlwright::readings {

namespace {

using base::Dimension;

constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// SI value of a number that stands in the log in `unit`, were it in `other`.
double in_other_unit(double value, Dimension dimension, std::string_view unit, std::string_view other) {
  return base::parse_quantity(fmt::format("{} {}", base::in_unit(value, unit, dimension), other), dimension);
}

/// A column's values as it states them.
std::string shown(double value, const ColumnSpec& spec) {
  return fmt::format("{:.4g} {}", base::in_unit(value, spec.unit, facts(spec.kind).dimension), spec.unit);
}

/// Another unit in which a median would be usual; empty when there is none.
std::string_view better_unit(double median_value, const ColumnSpec& spec, double low, double high) {
  const Dimension dimension = facts(spec.kind).dimension;
  const auto fits = [&](std::string_view other) {
    const double value = in_other_unit(median_value, dimension, spec.unit, other);
    return other != spec.unit && value >= low && value <= high;
  };
  for (const std::string_view likely : {"degC", "degF"}) {
    if (dimension == Dimension::Temperature && fits(likely)) return likely;
  }
  for (const std::string_view other : base::unit_symbols(dimension)) {
    if (fits(other)) return other;
  }
  return {};
}

/// What heads, barrels and oil have in flight under power. A number of one temperature unit read as another
/// falls outside.
struct Usual {
  double low, high;
};
std::optional<Usual> usual_under_power(Kind kind) {
  switch (kind) {
    case Kind::HeadBottom:
    case Kind::UnderPlug:
      return Usual{385.0, 518.0};  // 112 to 245 degC: 200 degC is no 200 degF, 380 degF no 380 degC
    case Kind::Barrel:
      return Usual{330.0, 508.0};
    case Kind::OilHot:
    case Kind::OilCooled:
      return Usual{315.0, 413.0};
    default:
      return std::nullopt;
  }
}

/// Rows in flight with the engine at work.
std::vector<std::size_t> rows_under_power(const FlightLog& log) {
  constexpr double least_speed = 25.0;   // m/s
  constexpr double least_shaft = 150.0;  // rad/s, 1430 rpm
  const Channel* speed = nullptr;
  for (const Kind kind : {Kind::TrueAirspeed, Kind::CalibratedAirspeed, Kind::IndicatedAirspeed}) {
    if (const Channel* found = log.find(kind)) speed = found;
  }
  const Channel* shaft = log.find(Kind::RotationalSpeed);
  std::vector<std::size_t> rows;
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    const bool flies = speed == nullptr || speed->value[i] > least_speed;
    const bool works = shaft == nullptr || shaft->value[i] > least_shaft;
    if (flies && works) rows.push_back(i);
  }
  return rows;
}

/// A sentence when most values are none that can be; refuses the rest of them.
std::optional<std::string> screen_range(Channel& channel, FlightLog& log) {
  const KindFacts& known = facts(channel.spec.kind);
  Tally outside;
  std::size_t n_values = 0;
  std::vector<double> refused;
  for (std::size_t i = 0; i < channel.value.size(); ++i) {
    const double value = channel.value[i];
    if (std::isnan(value)) continue;
    ++n_values;
    if (value >= known.low && value <= known.high) continue;
    outside.add(log.line[i]);
    refused.push_back(value);
  }
  if (outside.count() == 0) return std::nullopt;
  const std::string bounds =
      fmt::format("{} to {}", shown(known.low, channel.spec), shown(known.high, channel.spec));
  if (2 * outside.count() > n_values) {
    const double middle = median(refused);
    const std::string_view other = better_unit(middle, channel.spec, known.low, known.high);
    const std::string remedy =
        other.empty() ? std::string("Check the column and its unit.")
                      : fmt::format("As {} they would be plausible. Check [units] {}.", other, known.key);
    return fmt::format("{}: {} of {} values are outside {} ({}), {} in the middle. {}",
                       channel.spec.column,
                       outside.count(),
                       n_values,
                       bounds,
                       outside.lines(),
                       shown(middle, channel.spec),
                       remedy);
  }
  for (double& value : channel.value) {
    if (!(value >= known.low && value <= known.high)) value = none;
  }
  log.findings.push_back(fmt::format("{}: {} values outside {} ({}): refused.",
                                     channel.spec.column,
                                     outside.count(),
                                     bounds,
                                     outside.lines()));
  return std::nullopt;
}

/// A sentence when a temperature under power is usual only in another unit.
std::optional<std::string> screen_unit(const Channel& channel, std::span<const std::size_t> powered) {
  constexpr std::size_t fewest = 30;
  const auto usual = usual_under_power(channel.spec.kind);
  if (!usual || powered.size() < fewest) return std::nullopt;
  std::vector<double> values;
  for (const std::size_t row : powered) values.push_back(channel.value[row]);
  const double middle = median(std::move(values));
  if (!(middle < usual->low || middle > usual->high)) return std::nullopt;
  const std::string_view other = better_unit(middle, channel.spec, usual->low, usual->high);
  if (other.empty()) return std::nullopt;
  return fmt::format(
      "{}: {} in the middle of the flight under power is unusual (usual: {} to {}); as {} it would be "
      "usual. Check [units] {}; if the unit is right, write [log] units_are_checked = true.",
      channel.spec.column,
      shown(middle, channel.spec),
      shown(usual->low, channel.spec),
      shown(usual->high, channel.spec),
      other,
      facts(channel.spec.kind).key);
}

/// The same for the outside air, against the standard atmosphere.
std::optional<std::string> screen_outside_air(const FlightLog& log) {
  constexpr double most = 35.0;  // K
  const Channel* air = log.find(Kind::OutsideTemperature);
  const Channel* altitude = log.find(Kind::PressureAltitude);
  if (altitude == nullptr) altitude = log.find(Kind::IndicatedAltitude);
  if (air == nullptr || altitude == nullptr) return std::nullopt;
  std::vector<double> deviations;
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    if (!std::isnan(altitude->value[i])) {
      deviations.push_back(air->value[i] - base::standard_air(altitude->value[i]).temperature);
    }
  }
  const double middle = median(std::move(deviations));
  if (!(std::abs(middle) > most)) return std::nullopt;
  const std::string_view other = air->spec.unit == "degF" ? "degC" : "degF";
  return fmt::format(
      "{}: the outside air is {:+.0f} K from the standard atmosphere in the middle of the log: at most "
      "{:.0f} K is usual. Check [units] outside_temperature ({} or {}) and the altitude's; if they are "
      "right, write [log] units_are_checked = true.",
      air->spec.column,
      middle,
      most,
      air->spec.unit,
      other);
}

double range_over(const Channel& channel, std::size_t first, std::size_t last) {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (std::size_t i = first; i < last; ++i) {
    if (std::isnan(channel.value[i])) continue;
    low = std::min(low, channel.value[i]);
    high = std::max(high, channel.value[i]);
  }
  return high >= low ? high - low : none;
}

/// Runs of one value, while temperatures of the engine elsewhere have changed.
void screen_stuck(const SteadySpec& steady, FlightLog& log) {
  constexpr double moves = 5.0;  // K
  std::vector<std::pair<std::size_t, std::pair<std::size_t, std::size_t>>> stuck;
  for (std::size_t c = 0; c < log.channels.size(); ++c) {
    const Channel& channel = log.channels[c];
    if (!is_temperature_of_engine(channel.spec.kind)) continue;
    for (std::size_t first = 0; first < log.time.size();) {
      std::size_t last = first + 1;
      while (last < log.time.size() && channel.value[last] == channel.value[first]) ++last;
      if (log.time[last - 1] - log.time[first] >= steady.stuck_after) {
        std::vector<double> others;
        for (const Channel& other : log.channels) {
          if (&other != &channel && is_temperature_of_engine(other.spec.kind)) {
            others.push_back(range_over(other, first, last));
          }
        }
        if (median(std::move(others)) > moves) stuck.push_back({c, {first, last}});
      }
      first = last;
    }
  }
  for (const auto& [c, rows] : stuck) {
    Channel& channel = log.channels[c];
    log.findings.push_back(
        fmt::format("{}: stuck at {} for {:.0f} s (lines {} to {}) while other temperatures of the engine "
                    "changed: refused.",
                    channel.spec.column,
                    shown(channel.value[rows.first], channel.spec),
                    log.time[rows.second - 1] - log.time[rows.first],
                    log.line[rows.first],
                    log.line[rows.second - 1]));
    std::fill(channel.value.begin() + static_cast<std::ptrdiff_t>(rows.first),
              channel.value.begin() + static_cast<std::ptrdiff_t>(rows.second),
              none);
  }
}

/// Samples far from the median of themselves and two neighbours on either side.
void screen_spikes(Channel& channel, FlightLog& log) {
  constexpr double fastest = 0.5;  // K/s, of metal and oil
  const KindFacts& known = facts(channel.spec.kind);
  Tally spikes;
  std::vector<double> screened = channel.value;
  const std::vector<double>& value = channel.value;
  const double allowed =
      known.spike + (known.dimension == Dimension::Temperature ? 2.0 * fastest * usual_step(log) : 0.0);
  for (std::size_t i = 2; i + 2 < value.size(); ++i) {
    std::array<double, 5> near{value[i - 2], value[i - 1], value[i], value[i + 1], value[i + 2]};
    if (std::any_of(near.begin(), near.end(), [](double v) { return std::isnan(v); })) continue;
    std::nth_element(near.begin(), near.begin() + 2, near.end());
    if (std::abs(value[i] - near[2]) <= allowed) continue;
    screened[i] = none;
    spikes.add(log.line[i]);
  }
  if (spikes.count() == 0) return;
  channel.value = std::move(screened);
  const std::string_view unit = known.practical;
  const double shown_bound = known.dimension == Dimension::Temperature
                                 ? base::in_unit(allowed, unit, Dimension::TemperatureDifference)
                                 : base::in_unit(allowed, unit, known.dimension);
  log.findings.push_back(
      fmt::format("{}: {} {} more than {:.3g} {} away from neighbouring samples ({}): refused.",
                  channel.spec.column,
                  spikes.count(),
                  spikes.count() == 1 ? "spike is" : "spikes are",
                  shown_bound,
                  unit,
                  spikes.lines()));
}

void note_gaps(FlightLog& log) {
  const std::vector<std::size_t> found = gaps(log);
  if (found.empty()) return;
  Tally tally;
  double longest = 0.0;
  for (const std::size_t row : found) {
    tally.add(log.line[row]);
    longest = std::max(longest, log.time[row + 1] - log.time[row]);
  }
  log.findings.push_back(
      fmt::format("{} {} in time, the longest of {:.0f} s (behind {}): no steady segment spans one.",
                  found.size(),
                  found.size() == 1 ? "gap" : "gaps",
                  longest,
                  tally.lines()));
}

void note_silent(FlightLog& log) {
  for (const Channel& channel : log.channels) {
    if (std::all_of(channel.value.begin(), channel.value.end(), [](double v) { return std::isnan(v); })) {
      log.findings.push_back(
          fmt::format("{}: nothing usable in the whole log: this sensor is left out.", channel.spec.column));
    }
  }
}

}  // namespace

double median(std::vector<double> values) {
  std::erase_if(values, [](double value) { return std::isnan(value); });
  if (values.empty()) return none;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double usual_step(const FlightLog& log) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < log.time.size(); ++i) steps.push_back(log.time[i] - log.time[i - 1]);
  return median(std::move(steps));
}

std::vector<std::size_t> gaps(const FlightLog& log) {
  constexpr double least = 5.0;  // s
  constexpr double most_steps = 5.0;
  const double bound = std::max(least, most_steps * usual_step(log));
  std::vector<std::size_t> found;
  for (std::size_t i = 1; i < log.time.size(); ++i) {
    if (log.time[i] - log.time[i - 1] > bound) found.push_back(i - 1);
  }
  return found;
}

FlightLog screen(const LogMap& map, FlightLog log) {
  std::vector<std::string> faults;
  const auto keep = [&](const std::optional<std::string>& fault) {
    if (fault) faults.push_back(fmt::format("{}: {}", map.log_file.string(), *fault));
  };
  for (Channel& channel : log.channels) keep(screen_range(channel, log));
  if (faults.empty() && !map.units_are_checked) {
    const std::vector<std::size_t> powered = rows_under_power(log);
    for (const Channel& channel : log.channels) keep(screen_unit(channel, powered));
    keep(screen_outside_air(log));
  }
  if (!faults.empty()) throw base::InputError(fmt::format("{}", fmt::join(faults, "\n")));
  screen_stuck(map.steady, log);
  for (Channel& channel : log.channels) screen_spikes(channel, log);
  note_silent(log);
  note_gaps(log);
  return log;
}

}  // namespace cowlwright::readings
