// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the columns of a flight log are: a small file that the user writes once for an engine monitor.
#pragma once

#include "geometry/base/study_file.h"

#include <array>
#include <cstddef>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::readings {

enum class Kind {
  HeadBottom,
  UnderPlug,
  Barrel,
  OilHot,
  OilCooled,
  OutsideTemperature,
  TrueAirspeed,
  CalibratedAirspeed,
  IndicatedAirspeed,
  PressureAltitude,
  IndicatedAltitude,
  AltimeterSetting,
  RotationalSpeed,
  FuelFlow,
  FuelVolumeFlow,
  ManifoldPressure,
  UpperDeckPressure,
  LowerDeckPressure,
  DeckPressureDifference,
  DeckDifferenceAsAirspeed
};
inline constexpr std::size_t n_kinds = 20;

/// What is known of a kind of column without looking at it.
struct KindFacts {
  Kind kind;
  std::string_view key;  ///< in [columns] and [units]
  base::Dimension dimension;
  std::string_view practical;  ///< unit for plots and tables
  double low, high;            ///< values outside are no measurement [SI]
  double spike;                ///< a sample farther than this from its neighbours is a spike [SI]
  bool is_list = false;        ///< one column for each cylinder
};
const KindFacts& facts(Kind kind);
bool is_temperature_of_engine(Kind kind);

/// One mapped column.
struct ColumnSpec {
  Kind kind = Kind::HeadBottom;
  int cylinder = -1;  ///< place in the order L1..Ln, R1..Rn; -1 when it belongs to none
  std::string column;
  std::string unit;

  std::string label() const { return column; }
};

/// When a moment counts as steady.
struct SteadySpec {
  double length = 120.0;   ///< shortest [s]
  double longest = 600.0;  ///< longer ones are parted [s]
  double temperature_rate =
      2.0 / 1.8 / 60.0;   ///< of every mapped temperature of the engine [K/s]; 14 CFR 25.1045
  double airspeed = 2.5;  ///< half of the swing that is let pass [m/s]
  double rotational_speed = 5.2359877559829887;  ///< the same, 50 rpm [rad/s]
  double altitude = 45.72;                       ///< the same, 150 ft [m]
  double outside_temperature = 2.0;              ///< the same [K]
  double fuel_flow = 0.08;                       ///< the same, as a share of its middle
  double stuck_after = 300.0;                    ///< of not one change while the others move [s]
};

struct LogMap {
  std::filesystem::path map_file;
  std::filesystem::path log_file;
  std::string name;
  std::string instrument;
  int n_cylinders = 4;
  std::optional<char> separator;  ///< absent: found from the header
  char decimal_mark = '.';
  bool units_are_checked = false;  ///< the user has looked at what seemed to be another unit
  std::string time_column;
  std::string time_unit;  ///< of plain numbers; empty: times of day or dates
  std::vector<ColumnSpec> columns;
  std::optional<double> rotational_speed, outside_temperature, pressure_altitude,
      altimeter_setting;  ///< stated
  std::optional<double> shaft_power, specific_consumption, fuel_density;
  double incidence = 0.0;
  SteadySpec steady;

  bool has(Kind kind) const;
  /// "who, which instrument" of the readings.
  std::string source() const;
};

/// Seconds in "s", "min" or "h".
std::optional<double> seconds_in(std::string_view unit);

/// @throws InputError  with every fault of the map.
LogMap read_log_map(const std::filesystem::path& file);
LogMap parse_log_map(std::string_view text, const std::string& name);

}  // namespace cowlwright::readings
