// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading [envelope]: which speeds, altitudes, days and power settings.
#include "cases/temperature/read.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::temperature {

namespace {

using base::Dimension;
using base::Range;

constexpr Range speed_range{10.0, 150.0, false, false, "of light aircraft"};
constexpr Range stall_range{10.0, 60.0, false, false, "of light aircraft"};
constexpr Range altitude_range{-600.0, 9000.0, false, false, "where light aircraft fly"};
constexpr Range incidence_range{-0.35, 0.35, false, false, "about 20 deg up or down"};
constexpr Range power_range{1e3, 1e6, false, false, "of the whole engine"};
constexpr Range turning_range{50.0, 450.0, false, false, "about 480 to 4300 rpm"};
constexpr Range outside_range{203.15, 333.15, false, false, "air on Earth"};
constexpr Range fuel_range{1e-5, 0.1, false, false, "fuel of the whole engine"};
constexpr std::size_t most_points = 20000;

bool is_rising(const std::vector<double>& values) {
  return std::adjacent_find(values.begin(), values.end(), [](double a, double b) { return !(a < b); }) ==
         values.end();
}

void require_rising(base::SectionReader& reader, std::string_view key, const std::vector<double>& values) {
  if (!is_rising(values))
    reader.complain(key, "must rise from value to value. Sort the list, without repeats.");
}

void read_speeds(base::SectionReader& reader, EnvelopeSpec& spec) {
  const bool is_true = reader.has("true_airspeeds");
  const bool is_calibrated = reader.has("calibrated_airspeeds");
  const std::vector<double> of_true = reader.quantities("true_airspeeds", Dimension::Speed, speed_range);
  const std::vector<double> of_calibrated =
      reader.quantities("calibrated_airspeeds", Dimension::Speed, speed_range);
  if (is_true == is_calibrated) {
    reader.complain(is_true ? "true_airspeeds" : "",
                    "needs exactly one of true_airspeeds and calibrated_airspeeds, for example "
                    "calibrated_airspeeds = [\"70 kt\", \"90 kt\", \"110 kt\"].");
  }
  spec.speeds_are_calibrated = is_calibrated && !is_true;
  spec.airspeeds = is_true ? of_true : of_calibrated;
  require_rising(reader, is_true ? "true_airspeeds" : "calibrated_airspeeds", spec.airspeeds);
  spec.incidences = reader.quantities("incidences", Dimension::Angle, incidence_range);
  if (!spec.incidences.empty() && spec.incidences.size() != spec.airspeeds.size()) {
    reader.complain("incidences",
                    fmt::format("has {} values: must have one for each of the {} airspeeds.",
                                spec.incidences.size(),
                                spec.airspeeds.size()));
  }
  spec.stall_speed = reader.optional_quantity("stall_speed", Dimension::Speed, stall_range);
}

Day read_day(base::SectionReader& reader, const std::string& text) {
  if (text == "standard") return {DayKind::Standard, 0.0, "standard day"};
  if (text == "hot") return {DayKind::Hot, 0.0, "hot day"};
  try {
    const double temperature = base::parse_quantity(text, Dimension::Temperature);
    if (temperature >= outside_range.low && temperature <= outside_range.high) {
      return {DayKind::Stated, temperature, text};
    }
    reader.complain("days", fmt::format("= \"{}\": must be from -70 degC to 60 degC. Check it.", text));
  } catch (const base::InputError&) {
    reader.complain("days",
                    fmt::format("= \"{}\": must be \"standard\", \"hot\" or an outside temperature such as "
                                "\"30 degC\".",
                                text));
  }
  return {};
}

void read_days(base::SectionReader& reader, EnvelopeSpec& spec) {
  for (const std::string& text : reader.texts("days")) spec.days.push_back(read_day(reader, text));
  if (!reader.has("days")) {
    spec.days = {{DayKind::Standard, 0.0, "standard day"}, {DayKind::Hot, 0.0, "hot day"}};
  }
  constexpr std::array<std::string_view, 2> methods{"model", "regulation"};
  spec.method = reader.choice_or("method", methods, 0) == 1 ? Method::Regulation : Method::Model;
  constexpr std::array<std::string_view, 2> rules{"14 CFR 23.1043", "CS 22.1047"};
  spec.hot_day = reader.choice_or("hot_day", rules, 0) == 1 ? HotDay::Cs22 : HotDay::Part23;
}

/// One for each power, or none. Complains of another number.
template <typename Value>
bool fits(base::SectionReader& reader,
          std::string_view key,
          const std::vector<Value>& values,
          std::size_t n) {
  if (values.empty() || values.size() == n) return true;
  reader.complain(key,
                  fmt::format("has {} values: must have one for each of the {} powers.", values.size(), n));
  return false;
}

std::vector<double> read_fuel_flows(base::SectionReader& reader, double density) {
  std::vector<double> flows;
  for (const std::string& text : reader.texts("fuel_flows")) {
    try {
      const bool is_volume = is_volume_flow(text);
      const double flow = is_volume ? density * base::parse_quantity(text, Dimension::VolumeFlow)
                                    : base::parse_quantity(text, Dimension::MassFlow);
      if (!(flow >= fuel_range.low && flow <= fuel_range.high)) {
        reader.complain("fuel_flows",
                        fmt::format("= \"{}\" ({:.4g} kg/s): must be from {} to {} kg/s. Check it.",
                                    text,
                                    flow,
                                    fuel_range.low,
                                    fuel_range.high));
      }
      flows.push_back(flow);
    } catch (const base::InputError& error) {
      reader.complain("fuel_flows", fmt::format("= {}", error.what()));
      flows.push_back(fuel_range.low);
    }
  }
  return flows;
}

void read_powers(base::SectionReader& reader, const StudyPoint& study, double density, EnvelopeSpec& spec) {
  std::vector<double> powers = reader.quantities("shaft_powers", Dimension::Power, power_range);
  std::vector<double> turning =
      reader.quantities("rotational_speeds", Dimension::RotationalSpeed, turning_range);
  const std::vector<double> fuel = read_fuel_flows(reader, density);
  const std::vector<std::string> names = reader.texts("power_names");
  if (powers.empty()) {
    powers = {study.shaft_power};
    turning = {study.rotational_speed};
    for (const std::string_view key : {"rotational_speeds", "fuel_flows", "power_names"}) {
      if (reader.has(key)) reader.complain(key, "belongs to shaft_powers. Give that too or take it out.");
    }
  } else if (turning.size() != powers.size()) {
    reader.complain(
        "rotational_speeds",
        fmt::format(
            "has {} values: must have one for each of the {} shaft_powers.", turning.size(), powers.size()));
    turning.resize(powers.size(), study.rotational_speed);
  }
  const bool has_fuel = fits(reader, "fuel_flows", fuel, powers.size()) && !fuel.empty();
  const bool has_names = fits(reader, "power_names", names, powers.size()) && !names.empty();
  for (std::size_t i = 0; i < powers.size(); ++i) {
    const double kilowatts = base::in_unit(powers[i], "kW", Dimension::Power);
    spec.powers.push_back({.name = has_names ? names[i] : fmt::format("{:.4g} kW", kilowatts),
                           .shaft_power = powers[i],
                           .rotational_speed = turning[i],
                           .fuel_flow = has_fuel ? std::optional(fuel[i]) : std::nullopt});
  }
}

}  // namespace

EnvelopeSpec read_envelope_spec(base::SectionReader& reader, const StudyPoint& study, double fuel_density) {
  EnvelopeSpec spec;
  spec.present = reader.section_present();
  if (!spec.present) return spec;
  read_speeds(reader, spec);
  spec.altitudes = reader.quantities("pressure_altitudes", Dimension::Length, altitude_range);
  if (spec.altitudes.empty() && !reader.has("pressure_altitudes")) {
    reader.complain("",
                    "needs pressure_altitudes, for example pressure_altitudes = [\"0 ft\", \"5000 ft\"].");
  }
  require_rising(reader, "pressure_altitudes", spec.altitudes);
  read_days(reader, spec);
  read_powers(reader, study, fuel_density, spec);
  const std::size_t n = spec.airspeeds.size() * spec.altitudes.size() * spec.days.size() * spec.powers.size();
  if (n > most_points) {
    reader.complain("",
                    fmt::format("asks for {} points: must be at most {}. Shorten a list.", n, most_points));
  }
  reader.finish();
  return spec;
}

}  // namespace cowlwright::temperature
