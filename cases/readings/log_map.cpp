// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/readings/log_map.h"

#include "cases/core/spec.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <limits>
#include <map>
#include <numbers>

namespace cowlwright::readings {

namespace {

using base::Dimension;
using base::Range;
using base::SectionReader;

constexpr double rpm = std::numbers::pi / 30.0;
constexpr double degree = std::numbers::pi / 180.0;

// Ranges: from a cold soak to what no engine or light aircraft outlives. Spikes: what the thing measured
// cannot do within a few samples.
constexpr std::array<KindFacts, n_kinds> all_facts{{
    {Kind::HeadBottom, "head_bottom", Dimension::Temperature, "degF", 233.15, 623.15, 10.0, true},
    {Kind::UnderPlug, "under_plug", Dimension::Temperature, "degF", 233.15, 623.15, 10.0, true},
    {Kind::Barrel, "barrel", Dimension::Temperature, "degF", 233.15, 623.15, 10.0, true},
    {Kind::OilHot, "oil_hot", Dimension::Temperature, "degF", 233.15, 453.15, 10.0},
    {Kind::OilCooled, "oil_cooled", Dimension::Temperature, "degF", 233.15, 453.15, 10.0},
    {Kind::OutsideTemperature, "outside_temperature", Dimension::Temperature, "degF", 213.15, 328.15, 10.0},
    {Kind::TrueAirspeed, "true_airspeed", Dimension::Speed, "kt", 0.0, 150.0, 10.0},
    {Kind::CalibratedAirspeed, "calibrated_airspeed", Dimension::Speed, "kt", 0.0, 150.0, 10.0},
    {Kind::IndicatedAirspeed, "indicated_airspeed", Dimension::Speed, "kt", 0.0, 150.0, 10.0},
    {Kind::PressureAltitude, "pressure_altitude", Dimension::Length, "ft", -1000.0, 9200.0, 60.0},
    {Kind::IndicatedAltitude, "indicated_altitude", Dimension::Length, "ft", -1000.0, 9200.0, 60.0},
    {Kind::AltimeterSetting, "altimeter_setting", Dimension::Pressure, "inHg", 92000.0, 108000.0, 1e300},
    {Kind::RotationalSpeed,
     "rotational_speed",
     Dimension::RotationalSpeed,
     "rpm",
     0.0,
     4000.0 * rpm,
     300.0 * rpm},
    {Kind::FuelFlow, "fuel_flow", Dimension::MassFlow, "lb/h", 0.0, 0.05, 1e300},
    {Kind::FuelVolumeFlow, "fuel_volume_flow", Dimension::VolumeFlow, "gal/h", 0.0, 7e-5, 1e300},
    {Kind::ManifoldPressure, "manifold_pressure", Dimension::Pressure, "inHg", 15000.0, 200000.0, 1e300},
    {Kind::UpperDeckPressure, "upper_deck_pressure", Dimension::Pressure, "inH2O", -3000.0, 15000.0, 1000.0},
    {Kind::LowerDeckPressure, "lower_deck_pressure", Dimension::Pressure, "inH2O", -3000.0, 15000.0, 1000.0},
    {Kind::DeckPressureDifference,
     "deck_pressure_difference",
     Dimension::Pressure,
     "inH2O",
     -3000.0,
     15000.0,
     1000.0},
    {Kind::DeckDifferenceAsAirspeed, "deck_difference_as_airspeed", Dimension::Speed, "kt", 0.0, 120.0, 10.0},
}};

constexpr Range length_range{
    60.0, 1800.0, false, false, "a minute shows no 2 degF per minute; long ones are rare"};
constexpr Range longest_range{60.0, 7200.0, false, false, "fuel burns off and the sun rises"};
constexpr Range rate_range{0.1, 10.0 / 1.8, false, false, "2 degF a minute is the usual rule for stabilised"};
constexpr Range airspeed_range{0.2, 15.0, false, false, "half of the swing"};
constexpr Range shaft_swing_range{5.0 * rpm, 300.0 * rpm, false, false, "half of the swing"};
constexpr Range altitude_swing_range{5.0, 300.0, false, false, "half of the swing"};
constexpr Range air_swing_range{0.2, 10.0, false, false, "half of the swing"};
constexpr Range fuel_swing_range{0.005, 0.3, false, false, "half of the swing"};
constexpr Range stuck_range{
    30.0, 3600.0, false, false, "a steady sensor of whole degrees may rest for minutes"};

std::vector<std::string> read_cylinders(SectionReader& log, LogMap& map) {
  map.n_cylinders = static_cast<int>(log.integer("engine_cylinders", 4, 6));
  if (map.n_cylinders == 5)
    log.complain("engine_cylinders", "= 5: must be 4 or 6, horizontally opposed. Correct it.");
  const std::vector<std::string> names = core::cylinder_names(map.n_cylinders == 5 ? 4 : map.n_cylinders);
  const std::vector<std::string_view> views(names.begin(), names.end());
  std::vector<std::string> order;
  for (const std::size_t index : log.choices("cylinders", views)) {
    if (std::find(order.begin(), order.end(), names[index]) != order.end()) {
      log.complain("cylinders", fmt::format("names {} twice. Name each once.", names[index]));
    }
    order.push_back(names[index]);
  }
  return order;
}

void read_log_section(SectionReader& log, LogMap& map) {
  constexpr std::array<std::string_view, 3> separators{",", ";", "tab"};
  constexpr std::array<std::string_view, 2> marks{".", ","};
  const std::string file = log.text_or("file", "");
  if (file.empty()) log.complain("file", "is missing. Write file = \"my-flight.csv\", beside this map.");
  map.log_file = map.map_file.parent_path() / file;
  map.name = log.text_or("name", "");
  map.instrument = log.text_or("instrument", "");
  if (map.name.empty())
    log.complain("name", "is missing: which flight this was. Write name = \"climb and cruise, 3 May\".");
  if (map.instrument.empty()) {
    log.complain(
        "instrument",
        "is missing: a reading is worth what its instrument is. Write instrument = \"which, how checked\".");
  }
  if (log.has("separator")) map.separator = ",;\t"[log.choice("separator", separators)];
  map.decimal_mark = ".,"[log.choice_or("decimal", marks, 0)];
  map.units_are_checked = log.boolean_or("units_are_checked", false);
}

/// The unit of a mapped column; complains when none is stated.
std::string read_unit(SectionReader& units, const KindFacts& kind) {
  const std::vector<std::string_view> symbols = base::unit_symbols(kind.dimension);
  if (!units.has(kind.key)) {
    units.complain("",
                   fmt::format("{} is missing: the unit of that column. Write {} = one of {}.",
                               kind.key,
                               kind.key,
                               fmt::join(symbols, ", ")));
    return std::string(symbols.front());
  }
  return std::string(symbols[units.choice(kind.key, symbols)]);
}

void read_list(SectionReader& columns,
               const KindFacts& kind,
               const std::vector<std::string>& order,
               const std::vector<std::string>& names,
               const std::string& unit,
               LogMap& map) {
  if (order.empty()) {
    const std::vector<std::string> all = core::cylinder_names(map.n_cylinders == 5 ? 4 : map.n_cylinders);
    columns.complain(
        kind.key,
        fmt::format("needs [log] cylinders: which cylinder each of its columns belongs to, because engine "
                    "makers number them differently. Write cylinders = [\"{}\"] in your order.",
                    fmt::join(all, "\", \"")));
    return;
  }
  if (names.size() != order.size()) {
    columns.complain(
        kind.key,
        fmt::format("has {} columns: must have {}, one for each entry of [log] cylinders. Write \"none\" "
                    "where there is no sensor.",
                    names.size(),
                    order.size()));
    return;
  }
  const std::vector<std::string> all = core::cylinder_names(map.n_cylinders == 5 ? 4 : map.n_cylinders);
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (names[i] == "none") continue;
    const auto place = std::find(all.begin(), all.end(), order[i]) - all.begin();
    map.columns.push_back({kind.kind, static_cast<int>(place), names[i], unit});
  }
}

void read_columns(SectionReader& columns,
                  SectionReader& units,
                  const std::vector<std::string>& order,
                  LogMap& map) {
  constexpr std::array<std::string_view, 3> time_units{"s", "min", "h"};
  map.time_column = columns.text_or("time", "");
  if (map.time_column.empty())
    columns.complain("time", "is missing. Write time = \"the header of that column\".");
  if (units.has("time")) map.time_unit = time_units[units.choice("time", time_units)];
  for (const KindFacts& kind : all_facts) {
    const std::vector<std::string> names = columns.texts(kind.key);
    if (names.empty()) {
      if (units.has(kind.key)) {
        units.complain(kind.key,
                       fmt::format("stands without [columns] {}. Add that or take it out.", kind.key));
        units.text_or(kind.key, "");
      }
      continue;
    }
    const std::string unit = read_unit(units, kind);
    if (kind.is_list) {
      read_list(columns, kind, order, names, unit, map);
    } else if (names.size() != 1) {
      columns.complain(kind.key, fmt::format("has {} columns: must have one. Choose one.", names.size()));
    } else {
      map.columns.push_back({kind.kind, -1, names.front(), unit});
    }
  }
  std::map<std::string, std::string_view> used{{map.time_column, "time"}};
  for (const ColumnSpec& column : map.columns) {
    const auto [at, is_new] = used.emplace(column.column, facts(column.kind).key);
    if (!is_new) {
      columns.complain(
          facts(column.kind).key,
          fmt::format("names the column \"{}\", which {} names already. Each column is one thing.",
                      column.column,
                      at->second));
    }
  }
}

std::optional<double> stated(SectionReader& engine, Kind kind, bool is_column) {
  const KindFacts& known = facts(kind);
  const Range range{known.low, known.high, false, false, "what is met in flight"};
  const auto value = engine.optional_quantity(known.key, known.dimension, range);
  if (value && is_column) {
    engine.complain(known.key, "is stated here and a column too: give exactly one of the two. Take one out.");
  }
  return value;
}

void read_engine(SectionReader& engine, LogMap& map) {
  constexpr Range power_range{0.0, 500e3, true, false, "one engine of a light aircraft"};
  constexpr Range consumption_range{4e-8, 3e-7, false, false, "piston engines: 144 to 1080 g/kWh"};
  constexpr Range fuel_range{600.0, 900.0, false, false, "petrol to diesel"};
  constexpr Range incidence_range{-10.0 * degree, 20.0 * degree, false, false, "beyond it the wing stalls"};
  map.shaft_power = engine.optional_quantity("shaft_power", Dimension::Power, power_range);
  map.specific_consumption =
      engine.optional_quantity("specific_consumption", Dimension::SpecificConsumption, consumption_range);
  map.fuel_density = engine.optional_quantity("fuel_density", Dimension::Density, fuel_range);
  map.incidence = engine.quantity_or("incidence", Dimension::Angle, incidence_range, 0.0);
  map.rotational_speed = stated(engine, Kind::RotationalSpeed, map.has(Kind::RotationalSpeed));
  map.outside_temperature = stated(engine, Kind::OutsideTemperature, map.has(Kind::OutsideTemperature));
  map.pressure_altitude = stated(
      engine, Kind::PressureAltitude, map.has(Kind::PressureAltitude) || map.has(Kind::IndicatedAltitude));
  map.altimeter_setting = stated(engine, Kind::AltimeterSetting, map.has(Kind::AltimeterSetting));
}

/// What a reading needs, from a column or stated.
void check_completeness(SectionReader& columns, SectionReader& engine, const LogMap& map) {
  const auto n_of = [&](std::initializer_list<Kind> kinds) {
    return std::count_if(kinds.begin(), kinds.end(), [&](Kind kind) { return map.has(kind); });
  };
  const auto n_speeds = n_of({Kind::TrueAirspeed, Kind::CalibratedAirspeed, Kind::IndicatedAirspeed});
  if (n_speeds != 1) {
    columns.complain(
        "",
        fmt::format("exactly one of true_airspeed, calibrated_airspeed, indicated_airspeed must be a "
                    "column, but {} are. {}.",
                    n_speeds,
                    n_speeds == 0 ? "Add one" : "Take the others out"));
  }
  const auto n_altitudes =
      n_of({Kind::PressureAltitude, Kind::IndicatedAltitude}) + (map.pressure_altitude ? 1 : 0);
  if (n_altitudes != 1 && !(n_altitudes == 2 && map.pressure_altitude)) {  // the latter is said already
    columns.complain(
        "",
        fmt::format("exactly one of pressure_altitude, indicated_altitude must be a column, but {} are. {}.",
                    n_altitudes,
                    n_altitudes == 0 ? "Add one, or state [engine] pressure_altitude" : "Take one out"));
  }
  const bool has_setting = map.has(Kind::AltimeterSetting) || map.altimeter_setting;
  if (map.has(Kind::IndicatedAltitude) && !has_setting) {
    columns.complain(
        "indicated_altitude",
        "needs altimeter_setting: what the altimeter was set to, as a column or stated. Write [engine] "
        "altimeter_setting = \"29.92 inHg\", for example.");
  }
  if (has_setting && !map.has(Kind::IndicatedAltitude)) {
    (map.altimeter_setting ? engine : columns)
        .complain("altimeter_setting", "belongs to indicated_altitude. Add that or take it out.");
  }
  if (!map.has(Kind::OutsideTemperature) && !map.outside_temperature) {
    columns.complain("", "outside_temperature is missing. Add the column, or state it in [engine].");
  }
  if (!map.has(Kind::RotationalSpeed) && !map.rotational_speed) {
    columns.complain("", "rotational_speed is missing. Add the column, or state it in [engine].");
  }
  const auto is_measured = [](const ColumnSpec& column) {
    return is_temperature_of_engine(column.kind) || column.kind >= Kind::UpperDeckPressure;
  };
  if (std::none_of(map.columns.begin(), map.columns.end(), is_measured)) {
    columns.complain(
        "",
        "nothing is measured: add columns of head_bottom, under_plug, barrel, oil_hot, oil_cooled or of a "
        "deck pressure.");
  }
  if (map.has(Kind::DeckPressureDifference) && map.has(Kind::DeckDifferenceAsAirspeed)) {
    columns.complain("deck_difference_as_airspeed",
                     "stands beside deck_pressure_difference: give exactly one of the two. Take one out.");
  }
}

void check_power(SectionReader& engine, const LogMap& map) {
  const bool has_mass = map.has(Kind::FuelFlow);
  const bool has_volume = map.has(Kind::FuelVolumeFlow);
  if (has_mass && has_volume) {
    engine.complain(
        "", "fuel_flow and fuel_volume_flow are both columns: give exactly one of the two. Take one out.");
  }
  if (has_volume && !map.fuel_density) {
    engine.complain(
        "",
        "fuel_density is missing: power and heat go by the fuel's mass. Write fuel_density = \"6.0 lb/gal\" "
        "or what your fuel has.");
  }
  if (map.fuel_density && !has_volume) {
    engine.complain("fuel_density", "belongs to [columns] fuel_volume_flow. Add that or take it out.");
  }
  if (map.shaft_power && map.specific_consumption) {
    engine.complain("specific_consumption",
                    "stands beside shaft_power: give exactly one of the two. Take one out.");
  }
  if (!map.shaft_power && !(map.specific_consumption && (has_mass || has_volume))) {
    engine.complain(
        "",
        "the power is missing: state specific_consumption (\"0.44 lb/(hp h)\", for example) beside a column "
        "of fuel flow, or shaft_power for the whole log.");
  }
}

/// A text such as "2 min" [s].
double read_time(SectionReader& steady, std::string_view key, const Range& range, double fallback) {
  if (!steady.has(key)) return fallback;
  const std::string text = steady.text_or(key, "");
  if (text.empty()) return fallback;
  double value = 0.0;
  try {
    const base::SplitQuantity parts = base::split_quantity(text);
    value = parts.number * seconds_in(parts.unit).value_or(std::numeric_limits<double>::quiet_NaN());
  } catch (const base::InputError&) {
    value = std::numeric_limits<double>::quiet_NaN();
  }
  if (value >= range.low && value <= range.high) return value;
  steady.complain(
      key,
      fmt::format(
          "= \"{}\": must be a time from {:.0f} s to {:.0f} s ({}). Write it in s, min or h, \"2 min\" for "
          "example.",
          text,
          range.low,
          range.high,
          range.reason));
  return fallback;
}

void read_steady(SectionReader& steady, SteadySpec& spec) {
  spec.length = read_time(steady, "shortest", length_range, spec.length);
  spec.longest = read_time(steady, "longest", longest_range, spec.longest);
  spec.temperature_rate = steady.quantity_or("temperature_change_per_minute",
                                             Dimension::TemperatureDifference,
                                             rate_range,
                                             60.0 * spec.temperature_rate) /
                          60.0;
  spec.airspeed = steady.quantity_or("airspeed_within", Dimension::Speed, airspeed_range, spec.airspeed);
  spec.rotational_speed = steady.quantity_or(
      "rotational_speed_within", Dimension::RotationalSpeed, shaft_swing_range, spec.rotational_speed);
  spec.altitude =
      steady.quantity_or("altitude_within", Dimension::Length, altitude_swing_range, spec.altitude);
  spec.outside_temperature = steady.quantity_or("outside_temperature_within",
                                                Dimension::TemperatureDifference,
                                                air_swing_range,
                                                spec.outside_temperature);
  spec.fuel_flow = steady.quantity_or("fuel_flow_within", Dimension::Share, fuel_swing_range, spec.fuel_flow);
  spec.stuck_after = read_time(steady, "stuck_after", stuck_range, spec.stuck_after);
  if (!(spec.longest >= spec.length)) {
    steady.complain(
        "longest",
        fmt::format(
            "= {:.4g} s: must be at least shortest ({:.4g} s). Raise it.", spec.longest, spec.length));
  }
}

LogMap read_parsed(const base::StudyFile& file) {
  constexpr std::array<std::string_view, 5> known{"log", "columns", "units", "engine", "steady"};
  base::Complaints complaints;
  file.check_section_names(known, complaints);
  const base::Variant as_written{"base", {}};
  const auto section = [&](std::string_view name) { return file.section(name, as_written, complaints); };
  SectionReader log = section("log");
  SectionReader columns = section("columns");
  SectionReader units = section("units");
  SectionReader engine = section("engine");
  SectionReader steady = section("steady");
  LogMap map;
  map.map_file = file.name();
  read_log_section(log, map);
  const std::vector<std::string> order = read_cylinders(log, map);
  read_columns(columns, units, order, map);
  read_engine(engine, map);
  check_completeness(columns, engine, map);
  check_power(engine, map);
  read_steady(steady, map.steady);
  for (SectionReader* reader : {&log, &columns, &units, &engine, &steady}) reader->finish();
  complaints.throw_if_any();
  return map;
}

}  // namespace

std::optional<double> seconds_in(std::string_view unit) {
  if (unit == "s") return 1.0;
  if (unit == "min") return 60.0;
  if (unit == "h") return 3600.0;
  return std::nullopt;
}

const KindFacts& facts(Kind kind) {
  return all_facts.at(static_cast<std::size_t>(kind));
}

bool is_temperature_of_engine(Kind kind) {
  return kind <= Kind::OilCooled;
}

bool LogMap::has(Kind kind) const {
  return std::any_of(
      columns.begin(), columns.end(), [kind](const ColumnSpec& column) { return column.kind == kind; });
}

std::string LogMap::source() const {
  return fmt::format("{}; {}", name, instrument);
}

LogMap read_log_map(const std::filesystem::path& file) {
  return read_parsed(base::StudyFile::read(file));
}

LogMap parse_log_map(std::string_view text, const std::string& name) {
  return read_parsed(base::StudyFile::parse(text, name));
}

}  // namespace cowlwright::readings
