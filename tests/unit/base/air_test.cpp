// SPDX-License-Identifier: GPL-3.0-or-later
//
// The contract of the standard air: inverses and refusals. Its numbers are checked in tests/verification.
#include "geometry/base/air.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

namespace {

using namespace cowlwright::base;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(StandardAir, AltitudesComeBackFromPressureAndDensityOverTheWholeRange) {
  for (double altitude = -2000.0; altitude <= 11000.0; altitude += 250.0) {
    const AirState state = standard_air(altitude);
    EXPECT_NEAR(pressure_altitude(state.pressure), altitude, 1e-6);  // rounding of two powers, in m
    EXPECT_NEAR(density_altitude(state.density), altitude, 1e-6);
  }
}

TEST(StandardAir, ObeysThePerfectGasLaw) {
  const AirState state = standard_air(4321.0);
  EXPECT_NEAR(state.pressure / (state.density * 287.05287 * state.temperature), 1.0, 1e-14);  // rounding
}

TEST(StandardAir, RefusesAltitudesOutsideTheLayerNamingValueAndBounds) {
  const double bad[] = {-2000.1, 11000.1, std::numeric_limits<double>::quiet_NaN()};
  for (const double altitude : bad) {
    EXPECT_THAT([&] { standard_air(altitude); },
                ThrowsMessage<InputError>(AllOf(HasSubstr("altitude ="), HasSubstr("-2000 m to 11000 m"))));
  }
}

TEST(PressureAltitude, RefusesPressuresOutsideTheLayer) {
  for (const double pressure : {0.0, -1.0, 22000.0, 140000.0, std::numeric_limits<double>::quiet_NaN()}) {
    EXPECT_THAT([&] { pressure_altitude(pressure); },
                ThrowsMessage<InputError>(AllOf(HasSubstr("pressure [Pa] ="), HasSubstr("11000 m"))))
        << pressure;
  }
}

TEST(DensityAltitude, RefusesDensitiesOutsideTheLayer) {
  for (const double density : {0.0, -1.0, 0.36, 1.6, std::numeric_limits<double>::quiet_NaN()}) {
    EXPECT_THAT([&] { density_altitude(density); }, ThrowsMessage<InputError>(HasSubstr("density [kg/m3] =")))
        << density;
  }
}

}  // namespace
