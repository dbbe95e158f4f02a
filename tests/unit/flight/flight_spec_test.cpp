// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading [flight], and what follows from it.
#include "cases/flight/spec.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace {

using namespace cowlwright;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

constexpr double degree = std::numbers::pi / 180.0;

struct Result {
  flight::FlightSpec spec;
  std::vector<std::string> complaints;
};

Result read(const std::string& lines) {
  const base::StudyFile file = base::StudyFile::parse("[flight]\n" + lines, "a.toml");
  const base::Variant variant{"base", {}};
  base::Complaints complaints;
  Result result;
  result.spec = flight::read_flight_spec(file, variant, complaints);
  result.complaints = complaints.messages();
  return result;
}

const std::string air = "pressure_altitude = \"0 ft\"\nisa_deviation = \"0 K\"\n";

TEST(FlightSpec, ReadsSpeedAirAndAttitude) {
  const Result result =
      read("true_airspeed = \"100 kt\"\nincidence = \"3 deg\"\nsideslip = \"-2 deg\"\n" + air);
  EXPECT_THAT(result.complaints, IsEmpty());
  EXPECT_NEAR(result.spec.true_airspeed, 51.44444, 1e-5);  // 100 kt by definition, printed digits
  EXPECT_NEAR(result.spec.air.density, 1.225, 5e-6);       // ISO 2533, printed digits
  EXPECT_DOUBLE_EQ(result.spec.incidence, 3.0 * degree);
  EXPECT_DOUBLE_EQ(result.spec.sideslip, -2.0 * degree);
}

TEST(FlightSpec, CalibratedAirspeedIsFasterAloft) {
  const Result result =
      read("calibrated_airspeed = \"100 kt\"\npressure_altitude = \"3000 m\"\nisa_deviation = \"0 K\"\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  // Incompressible: 51.4444 * sqrt(1.225/0.909122) = 59.717 m/s; compressibility takes 0.2 % off at this
  // speed: (M² - M0²)/8 = (0.182² - 0.151²)/8 = 0.0013.
  EXPECT_NEAR(result.spec.true_airspeed, 59.717 * (1.0 - 0.0013), 0.02);
}

TEST(FlightSpec, WantsExactlyOneSpeed) {
  EXPECT_THAT(
      read(air).complaints,
      ElementsAre(AllOf(StartsWith("a.toml:1:1: [flight] true_airspeed or calibrated_airspeed is missing"),
                        HasSubstr("\"105 kt\""))));
  EXPECT_THAT(
      read("true_airspeed = \"100 kt\"\ncalibrated_airspeed = \"90 kt\"\n" + air).complaints,
      ElementsAre(AllOf(StartsWith("a.toml:3:23: [flight] calibrated_airspeed"), HasSubstr("exactly one"))));
}

TEST(FlightSpec, StandsStillOnTheGround) {
  for (const char* key : {"true_airspeed", "calibrated_airspeed"}) {
    const Result result = read(std::string(key) + " = \"0 kt\"\n" + air);
    EXPECT_THAT(result.complaints, IsEmpty());
    EXPECT_EQ(result.spec.true_airspeed, 0.0);
  }
}

TEST(FlightSpec, RefusesADirectionOfStillAir) {
  EXPECT_THAT(
      read("true_airspeed = \"0 kt\"\nincidence = \"8 deg\"\nsideslip = \"-2 deg\"\n" + air).complaints,
      ElementsAre(AllOf(StartsWith("a.toml:3:13: [flight] incidence = 8 deg"), HasSubstr("airspeed of 0")),
                  AllOf(StartsWith("a.toml:4:12: [flight] sideslip = -2 deg"), HasSubstr("0 deg"))));
}

TEST(FlightSpec, RefusesNegativeAirspeedNamingTheBound) {
  EXPECT_THAT(read("true_airspeed = \"-5 kt\"\n" + air).complaints,
              ElementsAre(AllOf(HasSubstr("true_airspeed = \"-5 kt\""), HasSubstr("at least 0 kt"))));
}

TEST(ReferencePressure, IsQInFlightAndThrustPerDiskAreaNearStandstill) {
  flight::FlightSpec spec;
  spec.air.density = 1.2;
  spec.true_airspeed = 10.0;  // q = 60 Pa
  const flight::ReferencePressure flying = flight::reference_pressure(spec, 900.0);
  EXPECT_TRUE(flying.is_in_flight);
  EXPECT_DOUBLE_EQ(flying.value, 60.0);
  EXPECT_EQ(flying.name, "q");
  EXPECT_DOUBLE_EQ(flying.speed, 10.0);
  spec.true_airspeed = 2.0;  // 2.4 Pa, 0.3 %
  const flight::ReferencePressure rolling = flight::reference_pressure(spec, 900.0);
  EXPECT_FALSE(rolling.is_in_flight);
  EXPECT_DOUBLE_EQ(rolling.value, 900.0);
  EXPECT_EQ(rolling.name, "thrust per disk area");
  // Far behind: V + 2 v with v = 0.5 (-2 + sqrt(4 + 2 * 900 / 1.2)) = 18.3907, so 38.7814 m/s.
  EXPECT_NEAR(rolling.speed, 38.7814, 1e-4);
}

TEST(ReferencePressure, IsQWithoutAPropeller) {
  flight::FlightSpec spec;
  spec.true_airspeed = 0.5;
  EXPECT_EQ(flight::reference_pressure(spec, 0.0).name, "q");
}

TEST(FlightSpec, RefusesACalibratedAirspeedThatIsTooFastInThisAir) {
  EXPECT_THAT(
      read("calibrated_airspeed = \"140 m/s\"\npressure_altitude = \"5000 m\"\nisa_deviation = \"0 K\"\n")
          .complaints,
      ElementsAre(AllOf(HasSubstr("means a true airspeed of 17"), HasSubstr("at most 150 m/s"))));
}

TEST(FlightSpec, WantsExactlyTwoValuesOfTheAir) {
  const std::string speed = "true_airspeed = \"100 kt\"\n";
  EXPECT_THAT(read(speed).complaints, ElementsAre(HasSubstr("0 are given. Add what is missing")));
  EXPECT_THAT(read(speed + "pressure_altitude = \"0 ft\"\n").complaints,
              ElementsAre(HasSubstr("1 is given: pressure_altitude. Add what is missing")));
  EXPECT_THAT(read(speed + air + "density_altitude = \"0 ft\"\n").complaints,
              ElementsAre(AllOf(HasSubstr("is one too many"),
                                HasSubstr("3 are given: pressure_altitude, density_altitude, isa_deviation"),
                                HasSubstr("Take out the rest"))));
}

TEST(FlightSpec, RefusesContradictingAirNamingBothKeys) {
  EXPECT_THAT(
      read("true_airspeed = \"100 kt\"\npressure_altitude = \"0 ft\"\ndensity_altitude = \"20000 ft\"\n")
          .complaints,
      ElementsAre(AllOf(StartsWith("a.toml:4:20: [flight] density_altitude contradicts pressure_altitude"),
                        HasSubstr("at most 60 K"))));
}

TEST(DynamicPressure, IsHalfRhoVSquared) {
  flight::FlightSpec spec;
  spec.true_airspeed = 50.0;
  spec.air.density = 1.2;
  EXPECT_DOUBLE_EQ(flight::dynamic_pressure(spec), 1500.0);
}

TEST(Wind, PointsAftUpWithNoseUpAndToTheLeftWithWindFromTheRight) {
  flight::FlightSpec spec;
  spec.true_airspeed = 50.0;
  EXPECT_EQ(flight::wind(spec), (base::Vec3{50.0, -0.0, 0.0}));
  spec.incidence = 5.0 * degree;
  EXPECT_GT(flight::wind(spec).z, 0.0);
  EXPECT_DOUBLE_EQ(std::atan2(flight::wind(spec).z, flight::wind(spec).x), 5.0 * degree);
  spec.sideslip = 4.0 * degree;
  EXPECT_LT(flight::wind(spec).y, 0.0);
  EXPECT_DOUBLE_EQ(std::atan2(flight::wind(spec).z, flight::wind(spec).x), 5.0 * degree);
  EXPECT_NEAR(base::norm(flight::wind(spec)), 50.0, 1e-12);  // rounding
}

// By hand, 50 m/s, k0 = 1.5 * 0.5² = 0.375 m²/s², omega0 = k0 / (10 * 1.5e-5) = 2500 1/s: after 4 m
// 1 + 0.0828 * 2500 * 4 / 50 = 17.56, to the power of -0.09 / 0.0828 0.04439, its root 0.2107.
TEST(FlightSpec, TurbulenceDecaysOnItsWayFromTheFarField) {
  flight::FlightSpec spec;
  spec.true_airspeed = 50.0;
  spec.air.temperature = 288.15;
  spec.air.density = base::dynamic_viscosity(288.15) / 1.5e-5;
  spec.turbulence_intensity = 0.01;
  spec.eddy_viscosity_ratio = 10.0;
  EXPECT_DOUBLE_EQ(flight::decayed_intensity(spec, 0.0), 0.01);
  EXPECT_NEAR(flight::decayed_intensity(spec, 4.0), 0.002107, 1e-6);  // digits given
  spec.eddy_viscosity_ratio = 1000.0;
  EXPECT_NEAR(flight::decayed_intensity(spec, 4.0), 0.009201, 1e-6);  // 1.1656 instead of 17.56
}

}  // namespace
