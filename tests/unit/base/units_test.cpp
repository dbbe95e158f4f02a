// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading and writing quantities.
#include "geometry/base/units.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numbers>
#include <set>

namespace {

using cowlwright::base::Dimension;
using cowlwright::base::in_unit;
using cowlwright::base::InputError;
using cowlwright::base::parse_quantity;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

struct Known {
  const char* text;
  Dimension dimension;
  double si;
};

// Source: NIST SP 811 (2008), app. B.8 and B.9, there to 7 digits unless exact: hence a relative tolerance of
// 1e-6. Degrees: definition of the turn. PS and slug: NIST SP 811 too ("horsepower, metric", "slug").
const Known known[] = {
    {"1 m", Dimension::Length, 1.0},
    {"125 mm", Dimension::Length, 0.125},
    {"12.5 cm", Dimension::Length, 0.125},
    {"1.5 km", Dimension::Length, 1500.0},
    {"5.25 in", Dimension::Length, 0.13335},
    {"1 ft", Dimension::Length, 0.3048},
    {"1 m2", Dimension::Area, 1.0},
    {"100 mm2", Dimension::Area, 1e-4},
    {"100 cm2", Dimension::Area, 0.01},
    {"1 in2", Dimension::Area, 6.4516e-4},
    {"1 ft2", Dimension::Area, 9.290304e-2},
    {"1 rad", Dimension::Angle, 1.0},
    {"180 deg", Dimension::Angle, std::numbers::pi},
    {"1 m/s", Dimension::Speed, 1.0},
    {"36 km/h", Dimension::Speed, 10.0},
    {"1 kt", Dimension::Speed, 0.5144444},
    {"1 mph", Dimension::Speed, 0.44704},
    {"1 ft/s", Dimension::Speed, 0.3048},
    {"2 rad/s", Dimension::RotationalSpeed, 2.0},
    {"1 rpm", Dimension::RotationalSpeed, 0.1047198},
    {"1 rev/s", Dimension::RotationalSpeed, 2.0 * std::numbers::pi},
    {"300 K", Dimension::Temperature, 300.0},
    {"12 degC", Dimension::Temperature, 285.15},
    {"59 degF", Dimension::Temperature, 288.15},
    {"518.67 degR", Dimension::Temperature, 288.15},
    {"12 K", Dimension::TemperatureDifference, 12.0},
    {"12 degC", Dimension::TemperatureDifference, 12.0},
    {"18 degF", Dimension::TemperatureDifference, 10.0},
    {"18 degR", Dimension::TemperatureDifference, 10.0},
    {"1 Pa", Dimension::Pressure, 1.0},
    {"1013.25 hPa", Dimension::Pressure, 101325.0},
    {"1 kPa", Dimension::Pressure, 1000.0},
    {"1 mbar", Dimension::Pressure, 100.0},
    {"1 bar", Dimension::Pressure, 1e5},
    {"1 inH2O", Dimension::Pressure, 249.0889},
    {"1 mmH2O", Dimension::Pressure, 9.80665},
    {"1 cmH2O", Dimension::Pressure, 98.0665},
    {"1 inHg", Dimension::Pressure, 3386.389},
    {"1 psi", Dimension::Pressure, 6894.757},
    {"1 psf", Dimension::Pressure, 47.88026},
    {"1 kg/m3", Dimension::Density, 1.0},
    {"0.72 kg/L", Dimension::Density, 720.0},
    {"1 lb/gal", Dimension::Density, 119.8264},
    {"1 lb/ft3", Dimension::Density, 16.01846},
    {"1 slug/ft3", Dimension::Density, 515.3788},
    {"1 W", Dimension::Power, 1.0},
    {"85 kW", Dimension::Power, 85000.0},
    {"1 hp", Dimension::Power, 745.6999},
    {"1 PS", Dimension::Power, 735.4988},
    {"1 kg/s", Dimension::MassFlow, 1.0},
    {"1 g/s", Dimension::MassFlow, 1e-3},
    {"60 kg/min", Dimension::MassFlow, 1.0},
    {"3600 kg/h", Dimension::MassFlow, 1.0},
    {"1 lb/s", Dimension::MassFlow, 0.4535924},
    {"1 lb/min", Dimension::MassFlow, 7.559873e-3},
    {"1 lb/h", Dimension::MassFlow, 1.259979e-4},
    {"1 m3/s", Dimension::VolumeFlow, 1.0},
    {"3600 m3/h", Dimension::VolumeFlow, 1.0},
    {"1 L/s", Dimension::VolumeFlow, 1e-3},
    {"60 L/min", Dimension::VolumeFlow, 1e-3},
    {"3600 L/h", Dimension::VolumeFlow, 1e-3},
    {"1 gal/h", Dimension::VolumeFlow, 1.0515033e-6},  // 3.785412e-3 m3 in an hour
    {"1 cfm", Dimension::VolumeFlow, 4.719474e-4},
    {"2 kg/J", Dimension::SpecificConsumption, 2.0},
    {"360 g/kWh", Dimension::SpecificConsumption, 1e-7},
    {"1 lb/(hp h)", Dimension::SpecificConsumption, 1.6896594e-7},  // 0.45359237 kg / 2.6845195 MJ
    {"45 %", Dimension::Share, 0.45},
};

TEST(ParseQuantity, AgreesWithPublishedFactorsForEveryUnit) {
  std::set<std::pair<Dimension, std::string>> tested;
  for (const Known& entry : known) {
    EXPECT_NEAR(parse_quantity(entry.text, entry.dimension) / entry.si, 1.0, 1e-6) << entry.text;
    const std::string text = entry.text;
    tested.emplace(entry.dimension, text.substr(text.find(' ') + 1));
  }
  for (int d = 0; d <= static_cast<int>(Dimension::Share); ++d) {
    for (const auto symbol : unit_symbols(static_cast<Dimension>(d))) {
      EXPECT_TRUE(tested.count({static_cast<Dimension>(d), std::string(symbol)}))
          << symbol << " is not in the list";
    }
  }
}

TEST(ParseQuantity, AcceptsSignsExponentsAndSpareBlanks) {
  EXPECT_DOUBLE_EQ(parse_quantity("-40 degC", Dimension::Temperature), 233.15);
  EXPECT_DOUBLE_EQ(parse_quantity("-40 degF", Dimension::Temperature), 233.15);  // the scales meet at -40
  EXPECT_DOUBLE_EQ(parse_quantity("+5 K", Dimension::TemperatureDifference), 5.0);
  EXPECT_DOUBLE_EQ(parse_quantity("1.2e3 mm", Dimension::Length), 1.2);
  EXPECT_DOUBLE_EQ(parse_quantity("  75mm ", Dimension::Length), 0.075);
}

TEST(ParseQuantity, RefusesTextWithoutUnitAndListsTheUnits) {
  EXPECT_THAT([] { parse_quantity("75", Dimension::Length); },
              ThrowsMessage<InputError>(AllOf(HasSubstr("\"75\""),
                                              HasSubstr("unit is missing"),
                                              HasSubstr("a length in one of: m, mm, cm, km, in, ft"))));
}

TEST(ParseQuantity, RefusesUnitOfAnotherDimensionAndNamesBoth) {
  EXPECT_THAT([] { parse_quantity("75 kt", Dimension::Length); },
              ThrowsMessage<InputError>(HasSubstr("kt is a unit of speed, but a length is wanted")));
  EXPECT_THAT([] { parse_quantity("30 mm", Dimension::Angle); },
              ThrowsMessage<InputError>(HasSubstr("mm is a unit of length, but an angle is wanted")));
}

TEST(ParseQuantity, RefusesUnknownUnitAlsoWhenOnlyTheCaseDiffers) {
  EXPECT_THAT([] { parse_quantity("75 MM", Dimension::Length); },
              ThrowsMessage<InputError>(AllOf(HasSubstr("unknown unit MM"), HasSubstr("m, mm, cm"))));
}

TEST(ParseQuantity, RefusesDecimalCommaByName) {
  EXPECT_THAT([] { parse_quantity("5,25 in", Dimension::Length); },
              ThrowsMessage<InputError>(HasSubstr("a point, not a comma")));
}

TEST(ParseQuantity, RefusesTextsThatAreNoFiniteNumber) {
  for (const char* text : {"", "mm", "five mm", "+-5 mm", "+ 5 mm", "--5 mm"}) {
    EXPECT_THAT([&] { parse_quantity(text, Dimension::Length); },
                ThrowsMessage<InputError>(HasSubstr("does not begin with a number")))
        << text;
  }
  for (const char* text : {"nan mm", "inf mm", "-inf mm", "1e999 mm", "1e308 km"}) {
    EXPECT_THAT([&] { parse_quantity(text, Dimension::Length); },
                ThrowsMessage<InputError>(HasSubstr("not a finite number")))
        << text;
  }
}

TEST(InUnit, UndoesParseQuantityForEveryUnit) {
  for (int d = 0; d <= static_cast<int>(Dimension::Share); ++d) {
    for (const auto symbol : unit_symbols(static_cast<Dimension>(d))) {
      const auto dimension = static_cast<Dimension>(d);
      const double si = parse_quantity("37.5 " + std::string(symbol), dimension);
      EXPECT_NEAR(in_unit(si, symbol, dimension), 37.5, 1e-10) << symbol;  // rounding of two operations
    }
  }
}

TEST(InUnit, RefusesUnknownUnit) {
  EXPECT_THAT([] { in_unit(1.0, "furlong", Dimension::Length); },
              ThrowsMessage<InputError>(AllOf(HasSubstr("unknown unit furlong"), HasSubstr("m, mm"))));
}

}  // namespace
