// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading [limits], [fuel] and [temperatures].
#include "cases/temperature/oil.h"
#include "cases/temperature/read.h"
#include "cases/temperature/spec.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::temperature {

namespace {

using base::Dimension;
using base::Range;

constexpr Range limit_range{323.15, 673.15, false, false, "a temperature limit of an engine"};
constexpr Range fuel_range{1e-5, 0.1, false, false, "fuel of the whole engine"};
constexpr Range consumption_range{3e-8, 3e-7, false, false, "108 to 1080 g/kWh"};
constexpr Range density_range{600.0, 1000.0, false, false, "of a fuel"};
constexpr Range fuel_air_range{0.04, 0.15, false, false, "outside it the mixture does not burn"};
constexpr Range outside_range{203.15, 333.15, false, false, "air on Earth"};
constexpr Range exponent_range{0.1, 1.0, false, false, "an exponent of the correlation"};
constexpr Range power_range{1e3, 1e6, false, false, "of the whole engine"};
constexpr Range pressure_range{10.0, 20e3, false, false, "across the fins, at sea-level density"};
constexpr Range flow_range{1e-3, 10.0, false, false, "air through the oil cooler"};
constexpr Range oil_flow_range{1e-3, 10.0, false, false, "oil through its cooler"};
constexpr Range heat_range{10.0, 200e3, false, false, "heat of the oil"};
constexpr Range difference_range{1.0, 200.0, false, false, "oil that enters less air that enters"};

constexpr double degree_f = 1.0 / 1.8;
double from_degrees_f(double value) {
  return (value + 459.67) / 1.8;
}

void read_limits(base::SectionReader& reader, TemperatureSpec& spec) {
  for (const Site site : sites) {
    spec.limits[index(site)] = reader.optional_quantity(site_key(site), Dimension::Temperature, limit_range);
  }
  spec.oil_limit = reader.optional_quantity("oil", Dimension::Temperature, limit_range);
  reader.finish();
}

void read_fuel(base::SectionReader& reader, FuelSpec& fuel) {
  fuel.density_is_stated = reader.has("density");
  fuel.density = reader.quantity_or("density", Dimension::Density, density_range, fuel.density);
  fuel.fuel_flow = read_fuel_flow(reader, "fuel_flow", fuel.density);
  fuel.specific_consumption =
      reader.optional_quantity("specific_consumption", Dimension::SpecificConsumption, consumption_range);
  if (fuel.fuel_flow && fuel.specific_consumption) {
    reader.complain("specific_consumption", "stands beside fuel_flow: give one of the two. Take one out.");
  }
  fuel.fuel_air_ratio_is_stated = reader.has("fuel_air_ratio");
  fuel.fuel_air_ratio = reader.number_or("fuel_air_ratio", fuel_air_range, fuel.fuel_air_ratio);
  fuel.carburettor_temperature =
      reader.optional_quantity("carburettor_temperature", Dimension::Temperature, outside_range);
  reader.finish();
}

void read_exponents(base::SectionReader& reader, TemperatureSpec& spec) {
  for (Correlation& correlation : spec.correlations) {
    for (const auto& [key, constant] : {std::pair{"charge_exponent", &correlation.charge_exponent},
                                        std::pair{"cooling_exponent", &correlation.cooling_exponent}}) {
      if (!reader.has(key)) continue;
      constant->value = reader.number_or(key, exponent_range, constant->value);
      constant->source = "stated in the study";
    }
  }
}

void read_cooler_point(base::SectionReader& reader, TemperatureSpec& spec) {
  const std::optional<double> heat = reader.optional_quantity("cooler_heat", Dimension::Power, heat_range);
  const std::optional<double> flow =
      reader.optional_quantity("cooler_air_flow", Dimension::MassFlow, flow_range);
  const std::optional<double> difference = reader.optional_quantity(
      "cooler_temperature_difference", Dimension::TemperatureDifference, difference_range);
  spec.oil_flow = reader.optional_quantity("oil_flow", Dimension::MassFlow, oil_flow_range);
  if (!heat && !flow && !difference) return;
  if (!heat || !flow || !difference) {
    reader.complain("",
                    "needs cooler_heat, cooler_air_flow and cooler_temperature_difference together: they are "
                    "one point of the oil cooler. Give all three or none.");
    return;
  }
  const CoolerPoint point{*heat, *flow, *difference};
  if (!(point.heat < greatest_heat(point))) {
    reader.complain(
        "cooler_heat",
        fmt::format("= {:.4g} W: must be below {:.4g} W, what cooler_air_flow takes when it comes "
                    "out as hot as the oil that enters. Check the three.",
                    point.heat,
                    greatest_heat(point)));
    return;
  }
  spec.cooler = point;
}

void read_temperatures(base::SectionReader& reader, TemperatureSpec& spec) {
  read_exponents(reader, spec);
  spec.rated_power = reader.optional_quantity("rated_power", Dimension::Power, power_range);
  spec.required_pressure_drop =
      reader.optional_quantity("required_pressure_drop", Dimension::Pressure, pressure_range);
  read_cooler_point(reader, spec);
  reader.finish();
}

}  // namespace

std::string_view site_key(Site site) {
  constexpr std::array<std::string_view, n_sites> keys{"head_bottom", "under_plug", "barrel"};
  return keys[index(site)];
}

std::string_view site_name(Site site) {
  constexpr std::array<std::string_view, n_sites> names{
      "head, at its bottom", "head, under the plug", "barrel"};
  return names[index(site)];
}

Correlation default_correlation(Site site) {
  const bool is_barrel = site == Site::Barrel;
  return {
      .gas_temperature =
          {from_degrees_f(is_barrel ? 600.0 : 1150.0),
           (is_barrel ? 50.0 : 100.0) * degree_f,
           "NACA TR 612 and TR 683, at a fuel-air ratio of 0.08 and 80 degF at the carburettor "
           "(from memory); band chosen"},
      .charge_exponent = {0.60,
                          0.10,
                          "NACA TR 612 (from memory: 0.55 to 0.75); 0.59 follows from the flights of NACA TN "
                          "584; band chosen"},
      .cooling_exponent = {0.33,
                           0.05,
                           "NACA TR 612 (from memory: 0.3 to 0.4); 0.34 follows from the flights of NACA TN "
                           "584; band chosen"},
      .charge_heating = {0.45, 0.45, "from memory, hardly sure; the band goes from nothing to twice"}};
}

bool TemperatureSpec::has_limit() const {
  return oil_limit ||
         std::any_of(limits.begin(), limits.end(), [](const auto& limit) { return limit.has_value(); });
}

std::optional<double> read_fuel_flow(base::SectionReader& reader, std::string_view key, double density) {
  if (!reader.has(key)) {
    return reader.optional_quantity(key, Dimension::MassFlow, fuel_range);
  }
  const std::size_t n_before = reader.n_complaints();
  const std::string text = reader.text_or(key, "");
  if (reader.n_complaints() > n_before) return fuel_range.low;
  const bool is_volume = is_volume_flow(text);
  const Range range =
      is_volume ? Range{fuel_range.low / density, fuel_range.high / density, false, false, fuel_range.reason}
                : fuel_range;
  const std::optional<double> flow =
      reader.optional_quantity(key, is_volume ? Dimension::VolumeFlow : Dimension::MassFlow, range);
  return is_volume ? *flow * density : *flow;
}

bool is_volume_flow(std::string_view text) {
  try {
    const std::string_view unit = base::split_quantity(text).unit;
    const std::vector<std::string_view> units = base::unit_symbols(Dimension::VolumeFlow);
    return std::find(units.begin(), units.end(), unit) != units.end();
  } catch (const base::InputError&) {
    return false;  // the reader complains of it
  }
}

std::optional<double> fuel_flow_at(const FuelSpec& fuel, double study_power, double shaft_power) {
  if (fuel.specific_consumption) return *fuel.specific_consumption * shaft_power;
  if (fuel.fuel_flow && study_power > 0.0) return *fuel.fuel_flow / study_power * shaft_power;
  return std::nullopt;
}

TemperatureSpec read_temperature_spec(const base::StudyFile& file,
                                      const base::Variant& variant,
                                      const StudyPoint& study,
                                      base::Complaints& complaints) {
  TemperatureSpec spec;
  for (const Site site : sites) spec.correlations[index(site)] = default_correlation(site);
  base::SectionReader limits = file.section("limits", variant, complaints);
  base::SectionReader fuel = file.section("fuel", variant, complaints);
  base::SectionReader temperatures = file.section("temperatures", variant, complaints);
  base::SectionReader envelope = file.section("envelope", variant, complaints);
  read_limits(limits, spec);
  read_fuel(fuel, spec.fuel);
  read_temperatures(temperatures, spec);
  spec.envelope = read_envelope_spec(envelope, study, spec.fuel.density);
  return spec;
}

}  // namespace cowlwright::temperature
