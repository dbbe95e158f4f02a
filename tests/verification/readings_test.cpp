// SPDX-License-Identifier: GPL-3.0-or-later
//
// What is reckoned from a flight log against numbers that a pilot can check by hand.
#include "cases/flight/free_stream.h"
#include "cases/readings/log_map.h"
#include "cases/readings/segment_reading.h"
#include "geometry/base/units.h"
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::readings {
namespace {

using base::Dimension;
using testing_support::ValidationCheck;

TEST(FlightReadings, AirspeedIndicatorAcrossTheDecksGivesTheHandFormula) {
  ValidationCheck check({
      .id = "readings.deck_airspeed",
      .group = "Readings of flight",
      .title = "Deck pressure difference from an airspeed indicator connected across the decks",
      .source = "by hand: 0.5 rho V² (1 + M²/4) of sea-level standard air, the first terms of the isentropic "
                "pitot relation "
                "that airspeed indicators are scaled by; the incompressible part at 60 kt is 583.56 Pa, "
                "2.343 inH2O",
      .condition = "indicated airspeed 40 to 100 kt",
      .unit = "Pa",
      .reason =
          "the next term of the series is M⁴/40, 1e-5 of the value at 100 kt; rounding of the hand values",
  });
  for (const double knots : {40.0, 60.0, 80.0, 100.0}) {
    const double speed = knots * 1852.0 / 3600.0;
    const double mach = speed / 340.294;
    const double by_hand = 0.5 * 1.225 * speed * speed * (1.0 + mach * mach / 4.0);
    check.expect_near(
        fmt::format("{:.0f} kt", knots), flight::impact_pressure(speed), by_hand, 3e-5 * by_hand);
  }
  // 583.56 Pa and 0.2056 % for compressibility at M = 0.0907.
  check.expect_near("60 kt, printed digits", flight::impact_pressure(60.0 * 1852.0 / 3600.0), 584.76, 0.02);
}

TEST(FlightReadings, PowerFromFuelFlowAgreesWithCommonPractice) {
  ValidationCheck check({
      .id = "readings.power_from_fuel",
      .group = "Readings of flight",
      .title = "Shaft power from fuel flow",
      .source = "common practice, no source: 8.1 US gal/h of 6 lb/gal at 110 hp is 0.44 lb/(hp h)",
      .condition = "8.1 gal/h, 6.0 lb/gal, 0.44 lb/(hp h)",
      .unit = "hp",
      .reason = "0.44 is rounded to two digits: 1 % of 110 hp",
  });
  const double flow = base::parse_quantity("8.1 gal/h", Dimension::VolumeFlow) *
                      base::parse_quantity("6 lb/gal", Dimension::Density);
  const double power =
      power_from_fuel(flow, base::parse_quantity("0.44 lb/(hp h)", Dimension::SpecificConsumption));
  check.expect_near("power", base::in_unit(power, "hp", Dimension::Power), 110.0, 1.1);
}

TEST(FlightReadings, AltimeterSettingAndDensityAltitudeAgreeWithTheStandardAtmosphere) {
  ValidationCheck check({
      .id = "readings.altitudes",
      .group = "Readings of flight",
      .title = "Pressure altitude from an altimeter's setting",
      .source = "ISO 2533 from its constants: 90000 Pa stands at 3243.1 ft; the altitude of an altimeter is "
                "that of the "
                "pressure less that of its setting",
      .condition = "an altimeter set to 900 hPa that shows 0; one set to 1013.25 hPa that shows 5000 ft",
      .unit = "ft",
      .reason = "printed to 0.1 ft",
  });
  check.expect_near("set to 900 hPa, 0 ft", pressure_altitude_of(0.0, 90000.0) / 0.3048, 3243.1, 0.1);
  check.expect_near(
      "set to 1013.25 hPa, 5000 ft", pressure_altitude_of(1524.0, 101325.0) / 0.3048, 5000.0, 0.1);
}

TEST(FlightReadings, StabilisedIsTheRegulationsRate) {
  ValidationCheck check({
      .id = "readings.stabilised",
      .group = "Readings of flight",
      .title = "Largest change of a temperature that counts as stabilised",
      .source = "14 CFR 25.1045: a rate of change of less than 2 degF per minute",
      .condition = "default of [steady]",
      .unit = "degF per minute",
      .reason = "exact",
  });
  check.expect_near(
      "rate",
      base::in_unit(60.0 * SteadySpec{}.temperature_rate, "degF", Dimension::TemperatureDifference),
      2.0,
      1e-12);
}

}  // namespace
}  // namespace cowlwright::readings
