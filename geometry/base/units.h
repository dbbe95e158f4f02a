// SPDX-License-Identifier: GPL-3.0-or-later
//
// Quantities as people write them ("125 mm", "5.25 in", "110 kt", "12 degC", "6 inH2O") and their SI values.
// Inside the toolkit every number is SI and radians; this header is used once on the way in and once on the
// way out.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::base {

enum class Dimension {
  Length,                 ///< m
  Area,                   ///< m²
  Angle,                  ///< rad
  Speed,                  ///< m/s
  RotationalSpeed,        ///< rad/s
  Temperature,            ///< K, absolute; "12 degC" carries its offset
  TemperatureDifference,  ///< K
  Pressure,               ///< Pa
  Density,                ///< kg/m³
  Power,                  ///< W
  MassFlow,               ///< kg/s
  VolumeFlow,             ///< m³/s
  SpecificConsumption,    ///< kg/J, fuel for each unit of work
  Share                   ///< dimensionless part of a whole; written "45 %"
};

/// Name for messages: "length", "temperature difference", ...
std::string_view dimension_name(Dimension dimension);

/// The same with its article: "a length", "an angle".
std::string dimension_phrase(Dimension dimension);

/// Unit symbols accepted for a dimension, the SI one first.
std::vector<std::string_view> unit_symbols(Dimension dimension);

/// A text "<number> <unit>" taken apart; the unit may be empty or unknown.
struct SplitQuantity {
  double number = 0.0;
  std::string_view unit;  ///< a part of the text given
};

/// @throws InputError  when the text does not begin with a finite number.
SplitQuantity split_quantity(std::string_view text);

/// Value in SI of a text "<number> <unit>".
///
/// @throws InputError  naming the text, what is wrong (no unit, unit of another dimension, no number, not
///                     finite) and the units accepted. The message has no file position; the study-file
///                     reader adds it.
///
/// Source: NIST SP 811 (2008) app. B; inH2O, mmH2O and inHg are the conventional ones (249.08891 Pa, 9.80665
/// Pa, 3386.389 Pa). Gallons are US gallons.
double parse_quantity(std::string_view text, Dimension dimension);

/// SI value expressed in a unit, e.g. in_unit(101325.0, "inHg", Dimension::Pressure).
/// @throws InputError  for an unknown unit of that dimension.
double in_unit(double value, std::string_view unit, Dimension dimension);

/// The same for what is printed most: an absolute temperature [K] in degC.
inline double celsius(double temperature) {
  return in_unit(temperature, "degC", Dimension::Temperature);
}

}  // namespace cowlwright::base
