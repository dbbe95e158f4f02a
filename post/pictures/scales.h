// SPDX-License-Identifier: GPL-3.0-or-later
//
// What pictures show: four fields without dimension but temperature, and ranges that are the same for every
// variant of a study without having seen its results.
#pragma once

#include "geometry/base/manifest.h"
#include "post/pictures/colour_map.h"

#include <array>
#include <string>
#include <vector>

namespace cowlwright::post {

/// In the order of `all_fields`.
enum class Field { PressureCoefficient, TotalPressureCoefficient, TemperatureRise, SpeedRatio };
inline constexpr std::array<Field, 4> all_fields{
    Field::PressureCoefficient, Field::TotalPressureCoefficient, Field::TemperatureRise, Field::SpeedRatio};

/// What makes fields comparable.
struct Scales {
  double pressure = 0.0;            ///< of the free stream [Pa]
  double temperature = 0.0;         ///< of the free stream [K]
  double reference_pressure = 0.0;  ///< [Pa]
  std::string reference_name;       ///< "q" or "thrust per disk area"
  double reference_speed =
      0.0;  ///< root of 2 reference_pressure / density: the true airspeed in flight [m/s]
  bool is_by_q = true;
  double temperature_range = 0.0;  ///< upper end for pictures [K]; see temperature_range()
};

/// @throws InputError  when the manifest's free stream or reference pressure is not > 0.
Scales scales_of(const base::Manifest& manifest);

/// Upper end of the pictures' range of temperature rise [K], rounded up to 1, 2 or 5 times a power of ten or
/// their half-way steps: 1.5 times what the stated heat does to the air that the passages pass at the
/// reference pressure. It rests on the heat and the passages' laws alone; 100 K without heat.
double temperature_range(const base::Manifest& manifest);

/// How a field is shown.
struct FieldScale {
  std::string id;     ///< "cp", "cpt", "rise", "speed_ratio": also the name of VTK arrays
  std::string title;  ///< "pressure coefficient"
  std::string unit;   ///< "-" or "K"
  double low = 0.0;
  double high = 0.0;
  double step = 0.0;  ///< width of one colour
  ColourMap map = ColourMap::Diverging;
};
FieldScale field_scale(Field field, const Scales& scales);

/// One colour for each step between low and high.
std::vector<Colour> band_colours(const FieldScale& scale);

}  // namespace cowlwright::post
