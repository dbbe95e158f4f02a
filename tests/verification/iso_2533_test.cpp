// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our standard atmosphere against the tables of ISO 2533:1975 (geopotential altitude), altitudes a pilot
// computes from it, and the dynamic pressure of round airspeeds.
#include "cases/flight/spec.h"
#include "geometry/base/air.h"
#include "geometry/base/units.h"
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <functional>
#include <string>
#include <vector>

namespace cowlwright {
namespace {

using base::AirState;
using base::standard_air;
using testing_support::CheckSubject;
using testing_support::SeriesKind;
using testing_support::ValidationCheck;

struct Row {
  double altitude;     // geopotential [m]
  double temperature;  // K
  double pressure;     // Pa
  double density;      // kg/m³
  double speed_of_sound;
  double viscosity;  // Pa s
};

// Source: ISO 2533:1975 tables 1 and 2, reproduced from the standard's constants; T and p cross-checked with
// the functions stdatmTH and stdatmPH of the program units 2.22.
constexpr Row table[] = {
    {0.0, 288.150, 101325.0, 1.22500, 340.294, 1.78938e-5},
    {500.0, 284.900, 95460.8, 1.16727, 338.369, 1.77366e-5},
    {1000.0, 281.650, 89874.6, 1.11164, 336.434, 1.75785e-5},
    {2000.0, 275.150, 79495.2, 1.00649, 332.529, 1.72596e-5},
    {3000.0, 268.650, 70108.5, 0.909122, 328.578, 1.69372e-5},
    {4000.0, 262.150, 61640.2, 0.819129, 324.579, 1.66111e-5},
    {5000.0, 255.650, 54019.9, 0.736116, 320.529, 1.62812e-5},
};

// The table prints six digits: half a unit in the last place is at most 5e-6 of the value.
constexpr double printed = 5e-6;

/// The other texts are the same for the five columns.
CheckSubject column(CheckSubject subject) {
  subject.group = "Air";
  subject.source = "ISO 2533:1975, tables 1 and 2, reproduced from the standard's constants";
  subject.condition = "geopotential altitude 0 to 5000 m";
  subject.reason = "the table prints six digits: half a unit in the last place is at most 5e-6 of a value";
  return subject;
}

void compare(ValidationCheck& check,
             double Row::*expected,
             const std::function<double(const AirState&)>& value) {
  for (const Row& row : table) {
    check.expect_near(fmt::format("{} m", row.altitude),
                      value(standard_air(row.altitude)),
                      row.*expected,
                      printed * row.*expected);
  }
}

TEST(Iso2533, TemperatureAgreesWithTheTable) {
  ValidationCheck check(column({.id = "air.temperature", .title = "Standard temperature", .unit = "K"}));
  compare(check, &Row::temperature, [](const AirState& air) { return air.temperature; });
}

TEST(Iso2533, PressureAgreesWithTheTable) {
  ValidationCheck check(column({.id = "air.pressure", .title = "Standard pressure", .unit = "Pa"}));
  compare(check, &Row::pressure, [](const AirState& air) { return air.pressure; });
}

TEST(Iso2533, DensityAgreesWithTheTable) {
  ValidationCheck check(column({.id = "air.density", .title = "Standard density", .unit = "kg/m³"}));
  compare(check, &Row::density, [](const AirState& air) { return air.density; });
  std::vector<double> altitude, density, line, computed;
  for (const Row& row : table) {
    altitude.push_back(row.altitude);
    density.push_back(row.density);
  }
  for (double at = 0.0; at < 5001.0; at += 100.0) {
    line.push_back(at);
    computed.push_back(standard_air(at).density);
  }
  check.add_curve({.file = "air.density",
                   .title = "Density of the standard atmosphere",
                   .x_axis = "geopotential altitude [m]",
                   .y_axis = "density [kg/m³]",
                   .series = {{.name = "ISO 2533", .kind = SeriesKind::Expected, .x = altitude, .y = density},
                              {.name = "computed", .kind = SeriesKind::Computed, .x = line, .y = computed}}});
}

TEST(Iso2533, SpeedOfSoundAgreesWithTheTable) {
  ValidationCheck check(column({.id = "air.speed_of_sound", .title = "Speed of sound", .unit = "m/s"}));
  compare(
      check, &Row::speed_of_sound, [](const AirState& air) { return base::speed_of_sound(air.temperature); });
}

TEST(Iso2533, ViscosityAgreesWithTheTable) {
  ValidationCheck check(column({.id = "air.viscosity", .title = "Dynamic viscosity", .unit = "Pa s"}));
  compare(
      check, &Row::viscosity, [](const AirState& air) { return base::dynamic_viscosity(air.temperature); });
}

TEST(Iso2533, PressureAltitudeOfARoundPressure) {
  ValidationCheck check({.id = "air.pressure_altitude",
                         .group = "Air",
                         .title = "Pressure altitude of 90000 Pa",
                         .source = "by hand from ISO 2533's constants: (T0/L)(1 − (90000/101325)^0.190263)",
                         .condition = "still air",
                         .unit = "m",
                         .reason = "rounding of the hand calculation to a tenth of a metre"});
  check.expect_near("", base::pressure_altitude(90000.0), 988.5, 0.05);
}

TEST(Iso2533, DensityAltitudesAPilotComputes) {
  ValidationCheck check({.id = "air.density_altitude",
                         .group = "Air",
                         .title = "Density altitude",
                         .source = "by hand from ISO 2533's constants: (T0/L)(1 − (ρ/ρ0)^0.234969)",
                         .condition = "dry air",
                         .unit = "ft",
                         .reason = "rounding of the hand calculation to whole feet"});
  constexpr double foot = 0.3048;
  const AirState at_5000_ft = standard_air(5000.0 * foot);
  const double warm = at_5000_ft.pressure / (base::air::gas_constant * (at_5000_ft.temperature + 20.0));
  check.expect_near(
      "pressure altitude 5000 ft, ISA + 20 K", base::density_altitude(warm) / foot, 7272.0, 0.5);
  const double hot = 101325.0 / (base::air::gas_constant * (100.0 + 459.67) / 1.8);
  check.expect_near("sea-level pressure, 100 °F", base::density_altitude(hot) / foot, 2577.0, 0.5);
}

TEST(DynamicPressure, OfRoundAirspeedsInInchesOfWater) {
  // 0.5 * 1.225 (V * 1852/3600)² / 249.08891, to the thousandth printed.
  ValidationCheck check(
      {.id = "air.dynamic_pressure",
       .group = "Air",
       .title = "Dynamic pressure of a true airspeed",
       .source = "by hand, ρV²/2, with the knot and the conventional inch of water of NIST SP 811",
       .condition = "sea level, 1.225 kg/m³",
       .unit = "inH2O",
       .reason = "rounding of the hand calculation to the thousandth"});
  constexpr double expected[][2] = {{60.0, 2.343}, {100.0, 6.508}, {140.0, 12.755}};
  for (const auto& [knots, inches] : expected) {
    flight::FlightSpec flight;
    flight.true_airspeed = base::parse_quantity(fmt::format("{} kt", knots), base::Dimension::Speed);
    const double found = base::in_unit(flight::dynamic_pressure(flight), "inH2O", base::Dimension::Pressure);
    check.expect_near(fmt::format("{} kt", knots), found, inches, 5e-4);
  }
}

}  // namespace
}  // namespace cowlwright
