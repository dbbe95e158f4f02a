// SPDX-License-Identifier: GPL-3.0-or-later
//
// Readings as text that read_readings() gives back to the last digit.
#include "cases/core/spec.h"
#include "cases/readings/reading.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace cowlwright::readings {

namespace {

using base::Dimension;

/// Text in TOML's quotation marks.
std::string toml_text(std::string_view text) {
  std::string result = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') {
      result += '\\';
      result += c;
    } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) {
      result += fmt::format("\\u{:04X}", static_cast<int>(c));
    } else {
      result += c;
    }
  }
  return result + '"';
}

/// A number in SI, exactly, and in a practical unit for the reader.
std::string line(std::string_view key, double value, Dimension dimension, std::string_view practical) {
  const std::string_view si = base::unit_symbols(dimension).front();
  return fmt::format(
      "{} = \"{} {}\"  # {:.4g} {}\n", key, value, si, base::in_unit(value, practical, dimension), practical);
}

std::string measured_lines(std::string_view key,
                           const std::optional<Measured>& measured,
                           Dimension dimension,
                           std::string_view practical) {
  if (!measured) return {};
  std::string text = line(key, measured->value, dimension, practical);
  const bool is_temperature = dimension == Dimension::Temperature;
  if (measured->scatter > 0.0) {
    text += line(fmt::format("{}_scatter", key),
                 measured->scatter,
                 is_temperature ? Dimension::TemperatureDifference : dimension,
                 practical);
  }
  return text;
}

bool has_any(const PerCylinder& values) {
  return std::any_of(values.begin(), values.end(), [](const auto& v) { return v.has_value(); });
}

std::string list_lines(std::string_view key, const PerCylinder& values) {
  if (!has_any(values)) return {};
  std::vector<std::string> exact, scatter, practical;
  bool any_scatter = false;
  for (const auto& value : values) {
    exact.push_back(value ? fmt::format("\"{} K\"", value->value) : "\"none\"");
    scatter.push_back(value ? fmt::format("\"{} K\"", value->scatter) : "\"none\"");
    practical.push_back(
        value ? fmt::format("{:.1f}", base::in_unit(value->value, "degF", Dimension::Temperature)) : "none");
    any_scatter = any_scatter || (value && value->scatter > 0.0);
  }
  std::string text =
      fmt::format("{} = [{}]  # {} degF\n", key, fmt::join(exact, ", "), fmt::join(practical, ", "));
  if (any_scatter) text += fmt::format("{}_scatter = [{}]\n", key, fmt::join(scatter, ", "));
  return text;
}

std::string cylinders_line(const Reading& reading) {
  for (const PerCylinder* list : {&reading.head_bottom, &reading.under_plug, &reading.barrel}) {
    if (!has_any(*list)) continue;
    std::vector<std::string> names;
    for (const std::string& name : core::cylinder_names(static_cast<int>(list->size()))) {
      names.push_back(toml_text(name));
    }
    return fmt::format("cylinders = [{}]\n", fmt::join(names, ", "));
  }
  return {};
}

std::string section(const Reading& reading) {
  std::string text = fmt::format("[{}]\nsource = {}\n", reading.name, toml_text(reading.source));
  text += line("static_pressure", reading.air.pressure, Dimension::Pressure, "inHg");
  text += line("outside_temperature", reading.air.temperature, Dimension::Temperature, "degF");
  text += line("true_airspeed", reading.true_airspeed, Dimension::Speed, "kt");
  text += line("incidence", reading.incidence, Dimension::Angle, "deg");
  text += line("shaft_power", reading.shaft_power, Dimension::Power, "hp");
  text += line("rotational_speed", reading.rotational_speed, Dimension::RotationalSpeed, "rpm");
  if (reading.fuel_flow) text += line("fuel_flow", *reading.fuel_flow, Dimension::MassFlow, "lb/h");
  text += cylinders_line(reading);
  text += list_lines("head_bottom", reading.head_bottom);
  text += list_lines("under_plug", reading.under_plug);
  text += list_lines("barrel", reading.barrel);
  text += measured_lines("oil_hot", reading.oil_hot, Dimension::Temperature, "degF");
  text += measured_lines("oil_cooled", reading.oil_cooled, Dimension::Temperature, "degF");
  text += measured_lines("upper_deck_pressure", reading.upper_deck_pressure, Dimension::Pressure, "inH2O");
  text += measured_lines("lower_deck_pressure", reading.lower_deck_pressure, Dimension::Pressure, "inH2O");
  text += measured_lines(
      "deck_pressure_difference", reading.deck_pressure_difference, Dimension::Pressure, "inH2O");
  return text;
}

}  // namespace

std::string readings_toml(const std::vector<Reading>& readings, const std::vector<std::string>& heading) {
  std::string text;
  for (const std::string& words : heading) text += fmt::format("# {}\n", words);
  for (const Reading& reading : readings) {
    text += fmt::format("{}{}", text.empty() ? "" : "\n", section(reading));
  }
  return text;
}

}  // namespace cowlwright::readings
