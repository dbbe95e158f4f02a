// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/readings/segment_reading.h"

#include "cases/flight/free_stream.h"
#include "geometry/base/air.h"

#include <fmt/format.h>

#include <cmath>
#include <limits>

namespace cowlwright::readings {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();
constexpr double least_share = 0.8;  // of the rows that a sensor must have

/// Values of one row, stated ones where there is no column.
class Row {
 public:
  Row(const LogMap& map, const FlightLog& log, std::size_t row) : map_(map), log_(log), row_(row) {}

  double value(Kind kind) const {
    const Channel* channel = log_.find(kind);
    return channel != nullptr ? channel->value[row_] : none;
  }

  double pressure_altitude() const {
    if (map_.pressure_altitude) return *map_.pressure_altitude;
    if (map_.has(Kind::PressureAltitude)) return value(Kind::PressureAltitude);
    const double setting = map_.altimeter_setting.value_or(value(Kind::AltimeterSetting));
    const double indicated = value(Kind::IndicatedAltitude);
    return std::isnan(setting) || std::isnan(indicated) ? none : pressure_altitude_of(indicated, setting);
  }

  double outside_temperature() const {
    return map_.outside_temperature ? *map_.outside_temperature : value(Kind::OutsideTemperature);
  }

  double rotational_speed() const {
    return map_.rotational_speed ? *map_.rotational_speed : value(Kind::RotationalSpeed);
  }

  double true_airspeed() const {
    if (map_.has(Kind::TrueAirspeed)) return value(Kind::TrueAirspeed);
    const double shown =
        value(map_.has(Kind::CalibratedAirspeed) ? Kind::CalibratedAirspeed : Kind::IndicatedAirspeed);
    const double altitude = pressure_altitude();
    const double temperature = outside_temperature();
    if (std::isnan(shown) || !(altitude > -2000.0 && altitude < 11000.0) || std::isnan(temperature))
      return none;
    const double pressure = base::standard_air(altitude).pressure;
    return flight::true_from_calibrated(
        shown, {pressure, temperature, pressure / (base::air::gas_constant * temperature)});
  }

  double fuel_flow() const {
    if (map_.has(Kind::FuelFlow)) return value(Kind::FuelFlow);
    return map_.has(Kind::FuelVolumeFlow) ? value(Kind::FuelVolumeFlow) * map_.fuel_density.value_or(none)
                                          : none;
  }

  double deck_difference() const {
    if (map_.has(Kind::DeckPressureDifference)) return value(Kind::DeckPressureDifference);
    if (map_.has(Kind::DeckDifferenceAsAirspeed))
      return flight::impact_pressure(value(Kind::DeckDifferenceAsAirspeed));
    return value(Kind::UpperDeckPressure) - value(Kind::LowerDeckPressure);
  }

 private:
  const LogMap& map_;
  const FlightLog& log_;
  std::size_t row_;
};

/// Means over rows of what a function makes of each.
template <typename Get>
Trend over_rows(
    const LogMap& map, const FlightLog& log, std::size_t first, std::size_t last, const Get& get) {
  std::vector<double> values;
  for (std::size_t i = first; i < last; ++i) values.push_back(get(Row(map, log, i)));
  return trend(std::span(log.time).subspan(first, last - first), values);
}

std::optional<Measured> measured(const Trend& trend, std::size_t n_rows) {
  if (static_cast<double>(trend.n) < least_share * static_cast<double>(n_rows)) return std::nullopt;
  return Measured{trend.mean, trend.scatter};
}

void place(const LogMap& map,
           const ColumnSpec& spec,
           const std::optional<Measured>& value,
           Reading& reading) {
  const auto put = [&](PerCylinder& list) {
    if (list.empty()) list.resize(static_cast<std::size_t>(map.n_cylinders));
    list.at(static_cast<std::size_t>(spec.cylinder)) = value;
  };
  switch (spec.kind) {
    case Kind::HeadBottom:
      return put(reading.head_bottom);
    case Kind::UnderPlug:
      return put(reading.under_plug);
    case Kind::Barrel:
      return put(reading.barrel);
    case Kind::OilHot:
      reading.oil_hot = value;
      return;
    case Kind::OilCooled:
      reading.oil_cooled = value;
      return;
    case Kind::UpperDeckPressure:
      reading.upper_deck_pressure = value;
      return;
    case Kind::LowerDeckPressure:
      reading.lower_deck_pressure = value;
      return;
    default:
      return;
  }
}

/// Lists in which no sensor is left.
void drop_empty_lists(Reading& reading) {
  for (PerCylinder* list : {&reading.head_bottom, &reading.under_plug, &reading.barrel}) {
    bool any = false;
    for (const auto& value : *list) any = any || value.has_value();
    if (!any) list->clear();
  }
}

}  // namespace

double pressure_altitude_of(double indicated, double setting) {
  return indicated + base::pressure_altitude(setting);
}

double power_from_fuel(double fuel_flow, double specific_consumption) {
  return fuel_flow / specific_consumption;
}

Segment segment_of(const LogMap& map, const FlightLog& log, std::size_t first, std::size_t last) {
  Segment segment{.first = first, .last = last, .begin = log.time[first], .end = log.time[last - 1]};
  Reading& reading = segment.reading;
  const std::size_t n = last - first;
  const auto mean = [&](auto get) { return over_rows(map, log, first, last, get); };
  for (const Channel& channel : log.channels) {
    const Trend found =
        trend(std::span(log.time).subspan(first, n), std::span(channel.value).subspan(first, n));
    const std::optional<Measured> value = measured(found, n);
    segment.channels.push_back(value ? found : Trend{});
    if (!value) {
      segment.left_out.push_back(fmt::format("{}: {} of {} samples", channel.spec.column, found.n, n));
    }
    place(map, channel.spec, value, reading);
  }
  drop_empty_lists(reading);
  segment.pressure_altitude = mean([](const Row& row) { return row.pressure_altitude(); }).mean;
  const double temperature = mean([](const Row& row) { return row.outside_temperature(); }).mean;
  const double pressure = base::standard_air(segment.pressure_altitude).pressure;
  reading.air = {pressure, temperature, pressure / (base::air::gas_constant * temperature)};
  segment.density_altitude = temperature > 200.0 ? base::density_altitude(reading.air.density) : none;
  reading.true_airspeed = mean([](const Row& row) { return row.true_airspeed(); }).mean;
  reading.rotational_speed = mean([](const Row& row) { return row.rotational_speed(); }).mean;
  reading.incidence = map.incidence;
  const Trend fuel = mean([](const Row& row) { return row.fuel_flow(); });
  if (measured(fuel, n)) reading.fuel_flow = fuel.mean;
  reading.shaft_power =
      map.shaft_power.value_or(reading.fuel_flow && map.specific_consumption
                                   ? power_from_fuel(*reading.fuel_flow, *map.specific_consumption)
                                   : 0.0);
  reading.deck_pressure_difference = measured(mean([](const Row& row) { return row.deck_difference(); }), n);
  reading.source = map.source();
  segment.dynamic_pressure = 0.5 * reading.air.density * reading.true_airspeed * reading.true_airspeed;
  return segment;
}

SegmentVerdict judge(const Segment& segment) {
  constexpr double least_airspeed = 20.0;  // m/s
  constexpr double least_shaft = 10.5;     // rad/s, 100 rpm
  constexpr double most_power = 500e3;     // W
  const Reading& reading = segment.reading;
  if (!(reading.true_airspeed >= least_airspeed)) return SegmentVerdict::OnGround;
  if (!(reading.rotational_speed >= least_shaft) ||
      !(reading.shaft_power > 0.0 && reading.shaft_power <= most_power)) {
    return SegmentVerdict::EngineAtRest;
  }
  const bool has_any = !reading.head_bottom.empty() || !reading.under_plug.empty() ||
                       !reading.barrel.empty() || reading.oil_hot || reading.oil_cooled ||
                       reading.deck_pressure_difference || reading.upper_deck_pressure ||
                       reading.lower_deck_pressure;
  return has_any && std::isfinite(segment.density_altitude) ? SegmentVerdict::Flight
                                                            : SegmentVerdict::NothingMeasured;
}

}  // namespace cowlwright::readings
