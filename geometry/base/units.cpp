// SPDX-License-Identifier: GPL-3.0-or-later
//
// The unit table and the reader of "<number> <unit>".
#include "geometry/base/units.h"

#include "geometry/base/error.h"
#include "geometry/base/nearest_name.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>
#include <charconv>
#include <cmath>
#include <numbers>
#include <optional>
#include <system_error>

namespace cowlwright::base {

namespace {

/// SI value = (number + offset) * factor.
struct Unit {
  Dimension dimension;
  std::string_view symbol;
  double factor;
  double offset = 0.0;
};

// Source: NIST SP 811 (2008), app. B.8; the factors written as products are exact by definition.
constexpr double foot = 0.3048;
constexpr double inch = 0.0254;
constexpr double pound = 0.45359237;
constexpr double pound_force = pound * 9.80665;
constexpr double gallon = 3.785411784e-3;  // US
constexpr double degree = std::numbers::pi / 180.0;
constexpr double turn = 2.0 * std::numbers::pi;

// The first unit of each dimension is the SI one; message texts list them in this order.
constexpr std::array units{
    Unit{Dimension::Length, "m", 1.0},
    Unit{Dimension::Length, "mm", 1e-3},
    Unit{Dimension::Length, "cm", 1e-2},
    Unit{Dimension::Length, "km", 1e3},
    Unit{Dimension::Length, "in", inch},
    Unit{Dimension::Length, "ft", foot},
    Unit{Dimension::Area, "m2", 1.0},
    Unit{Dimension::Area, "mm2", 1e-6},
    Unit{Dimension::Area, "cm2", 1e-4},
    Unit{Dimension::Area, "in2", inch* inch},
    Unit{Dimension::Area, "ft2", foot* foot},
    Unit{Dimension::Angle, "rad", 1.0},
    Unit{Dimension::Angle, "deg", degree},
    Unit{Dimension::Speed, "m/s", 1.0},
    Unit{Dimension::Speed, "km/h", 1.0 / 3.6},
    Unit{Dimension::Speed, "kt", 1852.0 / 3600.0},
    Unit{Dimension::Speed, "mph", 0.44704},
    Unit{Dimension::Speed, "ft/s", foot},
    Unit{Dimension::RotationalSpeed, "rad/s", 1.0},
    Unit{Dimension::RotationalSpeed, "rpm", turn / 60.0},
    Unit{Dimension::RotationalSpeed, "rev/s", turn},
    Unit{Dimension::Temperature, "K", 1.0},
    Unit{Dimension::Temperature, "degC", 1.0, 273.15},
    Unit{Dimension::Temperature, "degF", 1.0 / 1.8, 459.67},
    Unit{Dimension::Temperature, "degR", 1.0 / 1.8},
    Unit{Dimension::TemperatureDifference, "K", 1.0},
    Unit{Dimension::TemperatureDifference, "degC", 1.0},
    Unit{Dimension::TemperatureDifference, "degF", 1.0 / 1.8},
    Unit{Dimension::TemperatureDifference, "degR", 1.0 / 1.8},
    Unit{Dimension::Pressure, "Pa", 1.0},
    Unit{Dimension::Pressure, "hPa", 100.0},
    Unit{Dimension::Pressure, "kPa", 1000.0},
    Unit{Dimension::Pressure, "mbar", 100.0},
    Unit{Dimension::Pressure, "bar", 1e5},
    Unit{Dimension::Pressure, "inH2O", 249.08891},  // conventional, not the 60 degF one
    Unit{Dimension::Pressure, "mmH2O", 9.80665},    // conventional
    Unit{Dimension::Pressure, "cmH2O", 98.0665},
    Unit{Dimension::Pressure, "inHg", 3386.389},    // conventional
    Unit{Dimension::Pressure, "psi", pound_force / (inch * inch)},
    Unit{Dimension::Pressure, "psf", pound_force / (foot * foot)},
    Unit{Dimension::Density, "kg/m3", 1.0},
    Unit{Dimension::Density, "kg/L", 1000.0},
    Unit{Dimension::Density, "lb/gal", pound / gallon},
    Unit{Dimension::Density, "lb/ft3", pound / (foot * foot * foot)},
    Unit{Dimension::Density, "slug/ft3", pound_force / (foot * foot * foot * foot)},
    Unit{Dimension::Power, "W", 1.0},
    Unit{Dimension::Power, "kW", 1e3},
    Unit{Dimension::Power, "hp", 550.0 * foot* pound_force},  // mechanical horsepower
    Unit{Dimension::Power, "PS", 75.0 * 9.80665},             // metric horsepower
    Unit{Dimension::MassFlow, "kg/s", 1.0},
    Unit{Dimension::MassFlow, "g/s", 1e-3},
    Unit{Dimension::MassFlow, "kg/min", 1.0 / 60.0},
    Unit{Dimension::MassFlow, "kg/h", 1.0 / 3600.0},
    Unit{Dimension::MassFlow, "lb/s", pound},
    Unit{Dimension::MassFlow, "lb/min", pound / 60.0},
    Unit{Dimension::MassFlow, "lb/h", pound / 3600.0},
    Unit{Dimension::VolumeFlow, "m3/s", 1.0},
    Unit{Dimension::VolumeFlow, "m3/h", 1.0 / 3600.0},
    Unit{Dimension::VolumeFlow, "L/s", 1e-3},
    Unit{Dimension::VolumeFlow, "L/min", 1e-3 / 60.0},
    Unit{Dimension::VolumeFlow, "L/h", 1e-3 / 3600.0},
    Unit{Dimension::VolumeFlow, "gal/h", gallon / 3600.0},
    Unit{Dimension::VolumeFlow, "cfm", foot* foot* foot / 60.0},
    Unit{Dimension::SpecificConsumption, "kg/J", 1.0},
    Unit{Dimension::SpecificConsumption, "g/kWh", 1e-3 / 3.6e6},
    Unit{Dimension::SpecificConsumption, "lb/(hp h)", pound / (550.0 * foot * pound_force * 3600.0)},
    Unit{Dimension::Share, "%", 0.01},
};

std::optional<Unit> find_unit(std::string_view symbol, Dimension dimension) {
  for (const Unit& unit : units) {
    if (unit.dimension == dimension && unit.symbol == symbol) {
      return unit;
    }
  }
  return std::nullopt;
}

std::string accepted(Dimension dimension) {
  return fmt::format("{}", fmt::join(unit_symbols(dimension), ", "));
}

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view blanks = " \t\r\n";
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) {
    return {};
  }
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

[[noreturn]] void refuse_unit(std::string_view text, std::string_view symbol, Dimension dimension) {
  for (const Unit& unit : units) {
    if (unit.symbol == symbol) {
      throw InputError(fmt::format("\"{}\": {} is a unit of {}, but {} is wanted. Use one of: {}.",
                                   text,
                                   symbol,
                                   dimension_name(unit.dimension),
                                   dimension_phrase(dimension),
                                   accepted(dimension)));
    }
  }
  if (symbol.front() == ',') {
    throw InputError(fmt::format("\"{}\": decimals need a point, not a comma. Write \"5.25 {}\" for example.",
                                 text,
                                 unit_symbols(dimension).front()));
  }
  throw InputError(fmt::format("\"{}\": unknown unit {} for {}. Use one of: {}.",
                               text,
                               symbol,
                               dimension_phrase(dimension),
                               accepted(dimension)));
}

}  // namespace

std::string_view dimension_name(Dimension dimension) {
  switch (dimension) {
    case Dimension::Length:
      return "length";
    case Dimension::Area:
      return "area";
    case Dimension::Angle:
      return "angle";
    case Dimension::Speed:
      return "speed";
    case Dimension::RotationalSpeed:
      return "rotational speed";
    case Dimension::Temperature:
      return "temperature";
    case Dimension::TemperatureDifference:
      return "temperature difference";
    case Dimension::Pressure:
      return "pressure";
    case Dimension::Density:
      return "density";
    case Dimension::Power:
      return "power";
    case Dimension::MassFlow:
      return "mass flow";
    case Dimension::VolumeFlow:
      return "volume flow";
    case Dimension::SpecificConsumption:
      return "specific consumption";
    case Dimension::Share:
      return "share";
  }
  return "quantity";
}

std::string dimension_phrase(Dimension dimension) {
  const std::string_view name = dimension_name(dimension);
  return fmt::format("{} {}", name.front() == 'a' ? "an" : "a", name);
}

std::vector<std::string_view> unit_symbols(Dimension dimension) {
  std::vector<std::string_view> symbols;
  for (const Unit& unit : units) {
    if (unit.dimension == dimension) {
      symbols.push_back(unit.symbol);
    }
  }
  return symbols;
}

SplitQuantity split_quantity(std::string_view text) {
  std::string_view rest = trimmed(text);
  const bool has_plus = rest.size() > 1 && rest[0] == '+' && rest[1] != '-';  // from_chars knows no plus sign
  rest.remove_prefix(has_plus ? 1 : 0);
  double number = 0.0;
  const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), number);
  if (error == std::errc::invalid_argument) {
    throw InputError(fmt::format("\"{}\": does not begin with a number.", text));
  }
  if (error != std::errc{} || !std::isfinite(number)) {
    throw InputError(fmt::format("\"{}\": not a finite number.", text));
  }
  rest.remove_prefix(static_cast<std::size_t>(end - rest.data()));
  return {number, trimmed(rest)};
}

double parse_quantity(std::string_view text, Dimension dimension) {
  SplitQuantity parts;
  try {
    parts = split_quantity(text);
  } catch (const InputError& error) {
    throw InputError(
        fmt::format("{} Write \"<number> <unit>\", the unit one of: {}.", error.what(), accepted(dimension)));
  }
  if (parts.unit.empty()) {
    throw InputError(fmt::format("\"{}\": the unit is missing. Write {} in one of: {}.",
                                 text,
                                 dimension_phrase(dimension),
                                 accepted(dimension)));
  }
  const std::optional<Unit> unit = find_unit(parts.unit, dimension);
  if (!unit) {
    refuse_unit(text, parts.unit, dimension);
  }
  const double value = (parts.number + unit->offset) * unit->factor;
  if (!std::isfinite(value)) {
    throw InputError(fmt::format("\"{}\": not a finite number.", text));
  }
  return value;
}

double in_unit(double value, std::string_view unit, Dimension dimension) {
  const std::optional<Unit> known = find_unit(unit, dimension);
  if (!known) {
    throw InputError(fmt::format(
        "unknown unit {} for {}. Use one of: {}.", unit, dimension_phrase(dimension), accepted(dimension)));
  }
  return value / known->factor - known->offset;
}

}  // namespace cowlwright::base
