// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading the sections [reading_1] to [reading_9].
#include "cases/core/spec.h"
#include "cases/flight/free_stream.h"
#include "cases/flight/spec.h"
#include "cases/readings/reading.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace cowlwright::readings {

namespace {

using base::Dimension;
using base::Range;

constexpr double degree = std::numbers::pi / 180.0;
constexpr double rpm = std::numbers::pi / 30.0;

constexpr Range metal_range{233.15, 623.15, false, false, "from a cold soak to far above any limit"};
constexpr Range oil_range{233.15, 453.15, false, false, "from a cold soak to far above any limit"};
constexpr Range air_range{213.15, 328.15, false, false, "air that is met in flight"};
constexpr Range static_range{22000.0, 110000.0, false, false, "air up to 11 km"};
constexpr Range incidence_range{-10.0 * degree, 20.0 * degree, false, false, "beyond it the wing stalls"};
constexpr Range power_range{0.0, 500e3, true, false, "one engine of a light aircraft"};
constexpr Range shaft_range{100.0 * rpm, 4000.0 * rpm, false, false, "propeller shaft"};
constexpr Range flow_range{0.0, 0.05, true, false, "one engine of a light aircraft"};
constexpr Range volume_range{0.0, 7e-5, true, false, "one engine of a light aircraft"};
constexpr Range fuel_range{600.0, 900.0, false, false, "petrol to diesel"};
constexpr Range consumption_range{4e-8, 3e-7, false, false, "piston engines: 144 to 1080 g/kWh"};
constexpr Range deck_range{-3000.0, 15000.0, false, false, "what airspeeds of light aircraft can give"};
constexpr Range deck_speed_range{0.0, 120.0, true, false, "what airspeeds of light aircraft can give"};
constexpr Range temperature_scatter{0.0, 30.0, false, false, "more is no steady moment"};
constexpr Range pressure_scatter{0.0, 1000.0, false, false, "more is no steady moment"};

constexpr std::array<std::string_view, 10> section_names{"reading_1",
                                                         "reading_2",
                                                         "reading_3",
                                                         "reading_4",
                                                         "reading_5",
                                                         "reading_6",
                                                         "reading_7",
                                                         "reading_8",
                                                         "reading_9",
                                                         "readings"};

/// Pressure and temperature are what is kept; the density follows, so that a file written from it gives it
/// back.
base::AirState read_outside_air(base::SectionReader& section) {
  if (!section.has("static_pressure")) {
    const base::AirState air = flight::read_air(section);
    return {air.pressure, air.temperature, air.pressure / (base::air::gas_constant * air.temperature)};
  }
  for (const std::string_view key : {"pressure_altitude", "density_altitude", "isa_deviation"}) {
    if (section.has(key)) {
      section.complain(
          key, "stands beside static_pressure, which with outside_temperature fixes the air. Take one out.");
      section.optional_quantity(
          key, key == "isa_deviation" ? Dimension::TemperatureDifference : Dimension::Length, {});
    }
  }
  const double pressure = section.quantity("static_pressure", Dimension::Pressure, static_range);
  const double temperature = section.quantity("outside_temperature", Dimension::Temperature, air_range);
  return {pressure, temperature, pressure / (base::air::gas_constant * temperature)};
}

/// Fuel flow as a mass, or as a volume with the fuel's density; nothing when neither is stated.
std::optional<double> read_fuel_flow(base::SectionReader& section) {
  const auto mass = section.optional_quantity("fuel_flow", Dimension::MassFlow, flow_range);
  const auto volume = section.optional_quantity("fuel_volume_flow", Dimension::VolumeFlow, volume_range);
  const auto density = section.optional_quantity("fuel_density", Dimension::Density, fuel_range);
  if (mass && volume) {
    section.complain("fuel_volume_flow",
                     "stands beside fuel_flow: give exactly one of the two. Take one out.");
  }
  if (volume && !density) {
    section.complain(
        "fuel_volume_flow",
        "needs fuel_density: power and heat go by the fuel's mass. Write fuel_density = \"6.0 lb/gal\" "
        "or what your fuel has.");
  }
  if (density && !volume) {
    section.complain("fuel_density", "belongs to fuel_volume_flow. Add that or take it out.");
  }
  if (mass) return mass;
  if (volume && density) return *volume * *density;
  return std::nullopt;
}

double read_power(base::SectionReader& section, const std::optional<double>& fuel_flow) {
  const auto power = section.optional_quantity("shaft_power", Dimension::Power, power_range);
  const auto consumption =
      section.optional_quantity("specific_consumption", Dimension::SpecificConsumption, consumption_range);
  if (power && consumption) {
    section.complain("specific_consumption",
                     "stands beside shaft_power: give exactly one of the two. Take one out.");
  }
  if (!power && !(consumption && fuel_flow)) {
    section.complain(
        "",
        "shaft_power is missing. Write shaft_power = \"80 hp\", or fuel_flow and specific_consumption "
        "(\"0.44 lb/(hp h)\", for example), from which it follows.");
  }
  return power.value_or(consumption && fuel_flow ? *fuel_flow / *consumption : 1.0);
}

std::optional<Measured> read_measured(base::SectionReader& section,
                                      std::string_view key,
                                      Dimension dimension,
                                      const Range& range) {
  const bool is_temperature = dimension == Dimension::Temperature;
  const std::string scatter_key = fmt::format("{}_scatter", key);
  const auto value = section.optional_quantity(key, dimension, range);
  const auto scatter =
      section.optional_quantity(scatter_key,
                                is_temperature ? Dimension::TemperatureDifference : dimension,
                                is_temperature ? temperature_scatter : pressure_scatter);
  if (scatter && !value) {
    section.complain(scatter_key, fmt::format("stands without {}. Add that or take it out.", key));
  }
  if (!value) return std::nullopt;
  return Measured{*value, scatter.value_or(0.0)};
}

/// One section and what its lists belong to.
class Lists {
 public:
  Lists(base::SectionReader& section, int n_cylinders)
      : section_(&section), names_(core::cylinder_names(n_cylinders)) {
    const std::vector<std::string_view> names(names_.begin(), names_.end());
    const std::size_t n_before = section.n_complaints();
    positions_ = section.choices("cylinders", names);
    is_sound_ = section.n_complaints() == n_before;
    for (std::size_t i = 0; i < positions_.size() && is_sound_; ++i) {
      const auto first = std::find(positions_.begin(), positions_.end(), positions_[i]);
      if (first != positions_.begin() + static_cast<std::ptrdiff_t>(i)) {
        section.complain("cylinders", fmt::format("names {} twice. Name each once.", names[positions_[i]]));
        is_sound_ = false;
      }
    }
  }

  PerCylinder read(std::string_view key) {
    const std::string scatter_key = fmt::format("{}_scatter", key);
    const auto values = section_->optional_quantities(key, Dimension::Temperature, metal_range);
    const auto scatter =
        section_->optional_quantities(scatter_key, Dimension::TemperatureDifference, temperature_scatter);
    if (!section_->has(key)) {
      if (section_->has(scatter_key)) {
        section_->complain(scatter_key, fmt::format("stands without {}. Add that or take it out.", key));
      }
      return {};
    }
    any_ = true;
    const bool fits = has_fitting_size(key, values.size()) &&
                      (scatter.empty() || has_fitting_size(scatter_key, scatter.size()));
    if (std::none_of(values.begin(), values.end(), [](const auto& v) { return v.has_value(); }) &&
        !values.empty()) {
      section_->complain(key, "holds nothing but \"none\". Leave the key out.");
    }
    if (!fits || !is_sound_) return {};
    PerCylinder placed(names_.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
      const double spread = scatter.empty() ? 0.0 : scatter[i].value_or(0.0);
      if (values[i]) placed[positions_[i]] = Measured{*values[i], spread};
    }
    return placed;
  }

  /// Engine makers number cylinders differently, so the file has to say it.
  void finish() {
    if (any_ && !section_->has("cylinders")) {
      std::vector<std::string> quoted;
      for (const std::string& name : names_) quoted.push_back(fmt::format("\"{}\"", name));
      section_->complain(
          "",
          fmt::format("cylinders is missing: which cylinder each value of a list belongs to, because "
                      "engine makers number them differently. l1 is the front left one as the pilot "
                      "sees it. Write cylinders = [{}] in the order of your lists.",
                      fmt::join(quoted, ", ")));
    }
    if (!any_ && section_->has("cylinders")) {
      section_->complain("cylinders", "stands without a list of temperatures. Add one or take it out.");
    }
  }

 private:
  bool has_fitting_size(std::string_view key, std::size_t size) {
    if (positions_.empty() || size == positions_.size()) return !positions_.empty();
    section_->complain(
        key,
        fmt::format("has {} values: must have {}, one for each entry of cylinders. Write \"none\" for "
                    "a missing sensor.",
                    size,
                    positions_.size()));
    return false;
  }

  base::SectionReader* section_;
  std::vector<std::string> names_;
  std::vector<std::size_t> positions_;  ///< of the lists' entries in the order of names_
  bool is_sound_ = true;
  bool any_ = false;
};

void read_deck(base::SectionReader& section, Reading& reading) {
  reading.deck_pressure_difference =
      read_measured(section, "deck_pressure_difference", Dimension::Pressure, deck_range);
  reading.upper_deck_pressure =
      read_measured(section, "upper_deck_pressure", Dimension::Pressure, deck_range);
  reading.lower_deck_pressure =
      read_measured(section, "lower_deck_pressure", Dimension::Pressure, deck_range);
  const auto shown =
      section.optional_quantity("deck_difference_as_airspeed", Dimension::Speed, deck_speed_range);
  if (shown && reading.deck_pressure_difference) {
    section.complain("deck_difference_as_airspeed",
                     "stands beside deck_pressure_difference: give exactly one of the two. Take one out.");
  }
  if (shown) reading.deck_pressure_difference = Measured{flight::impact_pressure(*shown), 0.0};
  if (!reading.upper_deck_pressure || !reading.lower_deck_pressure) return;
  const double of_taps = reading.upper_deck_pressure->value - reading.lower_deck_pressure->value;
  if (!reading.deck_pressure_difference) {
    reading.deck_pressure_difference = Measured{
        of_taps, std::hypot(reading.upper_deck_pressure->scatter, reading.lower_deck_pressure->scatter)};
    return;
  }
  const double stated = reading.deck_pressure_difference->value;
  const double allowed = std::max(25.0, 0.05 * std::abs(of_taps));  // Pa; a tenth of an inch of water
  if (!(std::abs(stated - of_taps) <= allowed)) {
    section.complain(
        section.has("deck_pressure_difference") ? "deck_pressure_difference" : "deck_difference_as_airspeed",
        fmt::format("= {:.4g} Pa contradicts upper_deck_pressure - lower_deck_pressure = {:.4g} Pa: must "
                    "agree within {:.3g} Pa. Check the taps and their units.",
                    stated,
                    of_taps,
                    allowed));
  }
}

/// Heat flows from the engine into the air, and the cooler cools.
void check_temperatures(base::SectionReader& section, const Reading& reading) {
  const auto check = [&](std::string_view key, const std::optional<Measured>& measured) {
    if (measured && !(measured->value > reading.air.temperature)) {
      section.complain(
          key,
          fmt::format("= {:.1f} degC: must be above the outside air ({:.1f} degC). Check both and their "
                      "units.",
                      base::celsius(measured->value),
                      base::celsius(reading.air.temperature)));
    }
  };
  for (const auto& measured : reading.head_bottom) check("head_bottom", measured);
  for (const auto& measured : reading.under_plug) check("under_plug", measured);
  for (const auto& measured : reading.barrel) check("barrel", measured);
  check("oil_hot", reading.oil_hot);
  check("oil_cooled", reading.oil_cooled);
  if (reading.oil_hot && reading.oil_cooled && !(reading.oil_cooled->value < reading.oil_hot->value)) {
    section.complain(
        "oil_cooled",
        fmt::format("= {:.1f} degC: must be below oil_hot ({:.1f} degC): the cooler cools. Check which is "
                    "which.",
                    base::celsius(reading.oil_cooled->value),
                    base::celsius(reading.oil_hot->value)));
  }
}

Reading read_one(base::SectionReader& section, std::string name, int n_cylinders) {
  Reading reading;
  reading.name = std::move(name);
  reading.source = section.text_or("source", "");
  if (reading.source.empty()) {
    section.complain("source",
                     "is missing: a reading is worth what its source is. Write source = \"who, when, which "
                     "instrument\".");
  }
  reading.air = read_outside_air(section);
  reading.true_airspeed = flight::read_true_airspeed(section, reading.air, section.n_complaints() == 0);
  reading.incidence = section.quantity_or("incidence", Dimension::Angle, incidence_range, 0.0);
  reading.fuel_flow = read_fuel_flow(section);
  reading.shaft_power = read_power(section, reading.fuel_flow);
  reading.rotational_speed = section.quantity("rotational_speed", Dimension::RotationalSpeed, shaft_range);
  Lists lists(section, n_cylinders);
  reading.head_bottom = lists.read("head_bottom");
  reading.under_plug = lists.read("under_plug");
  reading.barrel = lists.read("barrel");
  lists.finish();
  reading.oil_hot = read_measured(section, "oil_hot", Dimension::Temperature, oil_range);
  reading.oil_cooled = read_measured(section, "oil_cooled", Dimension::Temperature, oil_range);
  read_deck(section, reading);
  if (section.n_complaints() == 0) check_temperatures(section, reading);
  const bool has_any = !reading.head_bottom.empty() || !reading.under_plug.empty() ||
                       !reading.barrel.empty() || reading.oil_hot || reading.oil_cooled ||
                       reading.deck_pressure_difference || reading.upper_deck_pressure ||
                       reading.lower_deck_pressure;
  if (section.n_complaints() == 0 && !has_any) {
    section.complain(
        "",
        "holds nothing measured. Add head_bottom, under_plug, barrel, oil_hot, oil_cooled or a deck "
        "pressure.");
  }
  section.finish();
  return reading;
}

std::vector<Reading> read_sections(const base::StudyFile& file,
                                   const base::Variant& variant,
                                   int n_cylinders,
                                   base::Complaints& complaints) {
  std::vector<Reading> readings;
  for (const std::string_view name : std::span(section_names).first<9>()) {
    base::SectionReader section = file.section(name, variant, complaints);
    if (section.section_present()) readings.push_back(read_one(section, std::string(name), n_cylinders));
  }
  return readings;
}

/// Readings of a file of their own.
std::vector<Reading> read_other_file(const std::filesystem::path& path,
                                     int n_cylinders,
                                     base::Complaints& complaints) {
  const base::StudyFile file = base::StudyFile::read(path);
  file.check_section_names(std::span(section_names).first<9>(), complaints);
  const base::Variant as_written{"base", {}};
  std::vector<Reading> readings = read_sections(file, as_written, n_cylinders, complaints);
  if (readings.empty() && complaints.empty()) {
    complaints.add(
        file.name(), {}, "holds no section [reading_1] to [reading_9]. Write one for each steady moment.");
  }
  return readings;
}

}  // namespace

std::vector<Reading> read_readings(const base::StudyFile& file,
                                   const base::Variant& variant,
                                   int n_cylinders,
                                   base::Complaints& complaints) {
  base::SectionReader section = file.section("readings", variant, complaints);
  const std::string name = section.text_or("file", "");
  std::vector<Reading> readings = read_sections(file, variant, n_cylinders, complaints);
  if (section.section_present() && name.empty()) {
    section.complain(
        "file", "is missing. Write file = \"my-readings.toml\", beside the study, or take the section out.");
  }
  section.finish();
  if (name.empty()) return readings;
  if (!readings.empty()) {
    section.complain(
        "file",
        fmt::format("= \"{}\" stands beside [{}]: readings come from one place. Move the sections into that "
                    "file or take this out.",
                    name,
                    readings.front().name));
    return readings;
  }
  try {
    return read_other_file(std::filesystem::path(file.name()).parent_path() / name, n_cylinders, complaints);
  } catch (const base::InputError& error) {
    section.complain("file", fmt::format("= \"{}\": {}", name, error.what()));
    return {};
  }
}

std::vector<Reading> read_readings_file(const std::filesystem::path& file, int n_cylinders) {
  base::Complaints complaints;
  std::vector<Reading> readings = read_other_file(file, n_cylinders, complaints);
  complaints.throw_if_any();
  return readings;
}

std::span<const std::string_view> reading_section_names() {
  return section_names;
}

}  // namespace cowlwright::readings
