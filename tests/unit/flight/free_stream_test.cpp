// SPDX-License-Identifier: GPL-3.0-or-later
//
// Any two values fix the air, and they fix the same air whichever two they are.
#include "cases/flight/free_stream.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace {

using namespace cowlwright::flight;
using cowlwright::base::AirState;
using cowlwright::base::InputError;
using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr double foot = 0.3048;

// One state of the air in all four values. By hand from ISO 2533: at 5000 ft pressure altitude the standard
// has 84307.3 Pa and 278.244 K; 20 K warmer is 298.244 K, and the density altitude is 7272 ft (a whole foot
// is 0.003 % of the density).
const AirInputs all{5000.0 * foot, 7272.0 * foot, 298.244, 20.0};
constexpr double pressure = 84307.3;
constexpr double temperature = 298.244;
constexpr double density = pressure / (287.05287 * temperature);

std::array<AirInputs, 6> pairs() {
  return {AirInputs{all.pressure_altitude, all.density_altitude, {}, {}},
          AirInputs{all.pressure_altitude, {}, all.outside_temperature, {}},
          AirInputs{all.pressure_altitude, {}, {}, all.isa_deviation},
          AirInputs{{}, all.density_altitude, all.outside_temperature, {}},
          AirInputs{{}, all.density_altitude, {}, all.isa_deviation},
          AirInputs{{}, {}, all.outside_temperature, all.isa_deviation}};
}

TEST(FreeStreamAir, IsTheSameFromEachOfTheSixPairs) {
  for (const AirInputs& pair : pairs()) {
    const AirState air = free_stream_air(pair);
    // Half a foot of density altitude moves rho by 1.5e-5 and, through a pair, p by up to 7e-5 of themselves.
    EXPECT_NEAR(air.pressure / pressure, 1.0, 1e-4);
    EXPECT_NEAR(air.temperature / temperature, 1.0, 1e-4);
    EXPECT_NEAR(air.density / density, 1.0, 1e-4);
  }
}

TEST(FreeStreamAir, KeepsTheGivenValuesExactlyAndObeysTheGasLaw) {
  for (const AirInputs& pair : pairs()) {
    const AirState air = free_stream_air(pair);
    EXPECT_NEAR(air.pressure / (air.density * 287.05287 * air.temperature), 1.0, 1e-12);  // rounding
    if (pair.pressure_altitude) {
      EXPECT_NEAR(cowlwright::base::pressure_altitude(air.pressure), *pair.pressure_altitude, 1e-5);
    }
    if (pair.density_altitude) {
      EXPECT_NEAR(cowlwright::base::density_altitude(air.density), *pair.density_altitude, 1e-5);
    }
    if (pair.outside_temperature) {
      EXPECT_DOUBLE_EQ(air.temperature, *pair.outside_temperature);
    }
  }
}

TEST(FreeStreamAir, StandardDayHasNoDeviation) {
  const AirState air = free_stream_air({1000.0, {}, {}, 0.0});
  EXPECT_NEAR(air.temperature, 281.65, 1e-9);
  const AirState same = free_stream_air({{}, 1000.0, {}, 0.0});
  EXPECT_NEAR(same.pressure, air.pressure, 1e-3);  // root solve to 1e-6 m, 12 Pa per m
}

TEST(FreeStreamAir, RefusesTooFewAndTooMany) {
  EXPECT_THAT([] { free_stream_air({}); }, ThrowsMessage<InputError>(HasSubstr("exactly 2 values, 0 given")));
  EXPECT_THAT([] { free_stream_air({0.0, {}, {}, {}}); }, ThrowsMessage<InputError>(HasSubstr("1 given")));
  EXPECT_THAT(
      [] {
        free_stream_air({0.0, 0.0, 288.15, {}});
      },
      ThrowsMessage<InputError>(HasSubstr("3 given")));
}

TEST(FreeStreamAir, RefusesPairsThatContradict) {
  // 20000 ft density altitude at sea-level pressure would be rho = 0.653: 541 K.
  EXPECT_THAT(
      [] {
        free_stream_air({0.0, 20000.0 * foot, {}, {}});
      },
      ThrowsMessage<InputError>(HasSubstr("from the standard temperature")));
  // 35 degC that is 60 K below standard needs a standard temperature of 95 degC: far below the sea.
  EXPECT_THAT(
      [] {
        free_stream_air({{}, {}, 308.15, -60.0});
      },
      ThrowsMessage<InputError>(HasSubstr("-2000 m")));
  // Density of 1000 m below the sea, 60 K too warm: no pressure altitude above -2 km is dense enough.
  EXPECT_THAT(
      [] {
        free_stream_air({{}, -1000.0, {}, 60.0});
      },
      ThrowsMessage<InputError>(HasSubstr("no pressure altitude from -2000 m")));
}

TEST(TrueFromCalibrated, IsTheSameAtSeaLevelOnAStandardDay) {
  for (const double speed : {0.0, 10.0, 55.0, 150.0}) {
    EXPECT_NEAR(true_from_calibrated(speed, AirState{}), speed, 1e-9);  // rounding of the powers
  }
}

TEST(TrueFromCalibrated, AgreesWithTheSeriesOfTheImpactPressure) {
  // Independent form: q_c = (rho V²/2)(1 + M²/4 + M⁴/40 + M⁶/1600 + ...), equal for the instrument at sea
  // level and the aeroplane aloft (series of the isentropic relation for gamma = 1.4). At M < 0.5 the first
  // term left out is below 1e-7.
  const AirState air = free_stream_air({3000.0, {}, {}, 10.0});
  const auto impact_pressure = [](double speed, double rho, double T) {
    const double m2 = speed * speed / (1.4 * 287.05287 * T);
    return 0.5 * rho * speed * speed * (1.0 + m2 / 4.0 + m2 * m2 / 40.0 + m2 * m2 * m2 / 1600.0);
  };
  for (const double calibrated : {30.0, 60.0, 120.0}) {
    const double speed = true_from_calibrated(calibrated, air);
    EXPECT_NEAR(
        impact_pressure(speed, air.density, air.temperature) / impact_pressure(calibrated, 1.225, 288.15),
        1.0,
        1e-5);  // 1.225 is rho0 rounded: 1e-6, and the series
  }
}

TEST(TrueFromCalibrated, TendsToTheRootOfTheDensityRatioAtLowSpeed) {
  const AirState air = free_stream_air({3000.0, {}, {}, 0.0});
  // ISO 2533: rho(3000 m) = 0.909122. At 1 m/s compressibility is 1e-6.
  EXPECT_NEAR(true_from_calibrated(1.0, air), std::sqrt(1.225 / 0.909122), 1e-5);
}

}  // namespace
