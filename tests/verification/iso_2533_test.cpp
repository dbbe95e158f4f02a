// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our standard atmosphere against the tables of ISO 2533:1975 (geopotential altitude), and altitudes a pilot
// computes from it.
#include "geometry/base/air.h"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright::base;

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

TEST(Iso2533, TemperaturePressureAndDensityAgreeWithTheTable) {
  for (const Row& row : table) {
    const AirState state = standard_air(row.altitude);
    EXPECT_NEAR(state.temperature / row.temperature, 1.0, printed) << row.altitude;
    EXPECT_NEAR(state.pressure / row.pressure, 1.0, printed) << row.altitude;
    EXPECT_NEAR(state.density / row.density, 1.0, printed) << row.altitude;
  }
}

TEST(Iso2533, ViscosityAndSpeedOfSoundAgreeWithTheTable) {
  for (const Row& row : table) {
    EXPECT_NEAR(dynamic_viscosity(row.temperature) / row.viscosity, 1.0, printed) << row.altitude;
    EXPECT_NEAR(speed_of_sound(row.temperature) / row.speed_of_sound, 1.0, printed) << row.altitude;
  }
}

TEST(Iso2533, PressureAltitudeOfARoundPressure) {
  // From the constants by hand: (T0/L)(1 - (90000/101325)^0.190263) = 988.5 m, to a tenth.
  EXPECT_NEAR(pressure_altitude(90000.0), 988.5, 0.05);
}

TEST(Iso2533, DensityAltitudesAPilotComputes) {
  // Worked from the standard's constants, in whole feet: 5000 ft pressure altitude at ISA + 20 K is 7272 ft;
  // sea-level pressure at 100 degF (310.928 K), dry air, is 2577 ft. Half a foot is the rounding.
  constexpr double foot = 0.3048;
  const AirState at_5000_ft = standard_air(5000.0 * foot);
  const double warm = at_5000_ft.pressure / (air::gas_constant * (at_5000_ft.temperature + 20.0));
  EXPECT_NEAR(density_altitude(warm) / foot, 7272.0, 0.5);
  const double hot = 101325.0 / (air::gas_constant * (100.0 + 459.67) / 1.8);
  EXPECT_NEAR(density_altitude(hot) / foot, 2577.0, 0.5);
}

}  // namespace
