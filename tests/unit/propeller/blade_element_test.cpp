// SPDX-License-Identifier: GPL-3.0-or-later
//
// The whole propeller: loads, trim, limits.
#include "cases/propeller/blade_element.h"

#include "cases/propeller/annulus.h"
#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

namespace cowlwright::propeller {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr double pi = std::numbers::pi;

PropellerSpec sample_propeller() {
  PropellerSpec propeller;
  propeller.blade = default_blade();
  propeller.rotational_speed = 2700.0 * pi / 30.0;
  propeller.shaft_power = 110e3;
  return propeller;
}

Operating cruise() {
  return {57.0, 1.0, 2700.0 * pi / 30.0};
}

TEST(InducedVelocity, WorkedNumber) {
  // rho 1.225, D 3.048 m, V 34.2855 m/s, T 1315.74 N, worked by hand from momentum theory: 2.02689 m/s.
  EXPECT_NEAR(induced_velocity(34.2855, 1315.74, 1.225, 7.29659), 2.02689, 1e-5);
}

TEST(InducedVelocity, AtRestIsRootOfThrustOverTwiceDensityArea) {
  // T = 2 rho A v²: 2 * 1.2 * 2 * 25 = 120 N for v = 5 m/s.
  EXPECT_NEAR(induced_velocity(0.0, 120.0, 1.2, 2.0), 5.0, 1e-12);
}

TEST(InducedVelocity, RefusesNegativeThrustNamingValueAndBound) {
  EXPECT_THAT([] { induced_velocity(10.0, -1.0, 1.2, 2.0); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("thrust = -1 N"), HasSubstr(">= 0"))));
}

TEST(TrimToPower, AbsorbsTheShaftPowerAtEverySpeed) {
  for (double airspeed : {0.0, 20.0, 40.0, 57.0, 70.0, 90.0}) {
    const Performance trimmed = trim_to_power(sample_propeller(), {airspeed, 1.0, 2700.0 * pi / 30.0});
    EXPECT_NEAR(trimmed.power, 110e3, 0.1) << airspeed << " m/s";  // root found to 1e-10 rad, slope 1e6 W/rad
    EXPECT_NEAR(trimmed.power, trimmed.torque * 2700.0 * pi / 30.0, 1e-6);
  }
}

TEST(TrimToPower, NeverBeatsTheFroudeLimit) {
  for (double airspeed : {5.0, 20.0, 40.0, 57.0, 70.0, 90.0}) {
    for (double power : {20e3, 60e3, 110e3, 150e3}) {
      PropellerSpec propeller = sample_propeller();
      propeller.shaft_power = power;
      const Performance trimmed = trim_to_power(propeller, {airspeed, 1.1, 2500.0 * pi / 30.0});
      EXPECT_LT(trimmed.efficiency, trimmed.froude_limit) << airspeed << " m/s, " << power << " W";
      EXPECT_GT(trimmed.thrust, 0.0);
    }
  }
}

TEST(TrimToPower, CoarserPitchForMoreSpeed) {
  const double slow = trim_to_power(sample_propeller(), {50.0, 1.0, 2700.0 * pi / 30.0}).collective;
  const double fast = trim_to_power(sample_propeller(), {80.0, 1.0, 2700.0 * pi / 30.0}).collective;
  EXPECT_GT(fast, slow);
}

TEST(TrimToPower, RefusesPowerBeyondTheBladeNamingRangeAndPowers) {
  PropellerSpec propeller = sample_propeller();
  propeller.shaft_power = 9e6;
  EXPECT_THAT([&] { trim_to_power(propeller, cruise()); },
              ThrowsMessage<base::ResultError>(AllOf(
                  HasSubstr("shaft_power = 9000000 W"), HasSubstr("0 to 65 deg"), HasSubstr("2700 rpm"))));
}

TEST(TrimToPower, RefusesNoPower) {
  PropellerSpec propeller = sample_propeller();
  propeller.shaft_power = 0.0;
  EXPECT_THAT([&] { trim_to_power(propeller, cruise()); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("shaft_power = 0 W"), HasSubstr("> 0 W"))));
}

TEST(PerformanceAt, GrowsWithDensityAlone) {
  // At the same speeds every coefficient is the same, so all loads go with the density.
  const Performance thin = performance_at(sample_propeller(), {57.0, 0.6, 250.0}, 0.02);
  const Performance dense = performance_at(sample_propeller(), {57.0, 1.2, 250.0}, 0.02);
  EXPECT_NEAR(dense.thrust / thin.thrust, 2.0, 1e-9);
  EXPECT_NEAR(dense.torque / thin.torque, 2.0, 1e-9);
  EXPECT_NEAR(dense.efficiency, thin.efficiency, 1e-12);
}

TEST(PerformanceAt, KeepsCoefficientsWhenEverythingIsTwiceTheSize) {
  // Same advance ratio at twice the diameter and airspeed: T goes with D² V², Q with D³ V².
  PropellerSpec large = sample_propeller();
  large.diameter *= 2.0;
  large.hub_diameter *= 2.0;
  const Performance one = performance_at(sample_propeller(), {40.0, 1.0, 250.0}, 0.0);
  const Performance two = performance_at(large, {80.0, 1.0, 250.0}, 0.0);
  EXPECT_NEAR(two.thrust / one.thrust, 16.0, 1e-8);
  EXPECT_NEAR(two.torque / one.torque, 32.0, 1e-8);
}

TEST(PerformanceAt, SwirlIsThatOfTheTorque) {
  // Order of magnitude by hand: free-vortex swirl Q/(mass flow) over r, at 3/4 R. A factor of two for the
  // real distribution over the radius.
  const Performance p = trim_to_power(sample_propeller(), cruise());
  const double area = pi * 0.9 * 0.9;
  const double through = 57.0 + induced_velocity(57.0, p.thrust, 1.0, area);
  const double swirl = p.torque / (1.0 * through * area) / (0.75 * 0.9) / through;
  EXPECT_GT(p.mean_swirl, 0.5 * swirl);
  EXPECT_LT(p.mean_swirl, 2.0 * swirl);
}

TEST(PerformanceAt, AtRestEfficiencyIsZeroAndThrustBelowTheIdealRotor) {
  // Ideal static thrust of a power P: T³ = 2 rho A P².
  const Performance p = trim_to_power(sample_propeller(), {0.0, 1.225, 2700.0 * pi / 30.0});
  EXPECT_EQ(p.efficiency, 0.0);
  EXPECT_EQ(p.froude_limit, 0.0);
  EXPECT_GT(p.thrust, 0.0);
  EXPECT_LT(p.thrust, std::cbrt(2.0 * 1.225 * pi * 0.81 * p.power * p.power));
}

TEST(PerformanceAt, RefusesImpossibleOperatingPointNamingValues) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THAT(
      [&] {
        performance_at(sample_propeller(), {nan, 1.0, 250.0}, 0.0);
      },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr("airspeed = nan m/s"), HasSubstr(">= 0"))));
  EXPECT_THAT(
      [&] {
        performance_at(sample_propeller(), {50.0, 1.0, 0.0}, 0.0);
      },
      ThrowsMessage<base::InputError>(HasSubstr("speed = 0 rad/s")));
}

TEST(PerformanceAt, RefusesHubWiderThanBladeNamingBothDiameters) {
  PropellerSpec propeller = sample_propeller();
  propeller.hub_diameter = 2.0;
  EXPECT_THAT(
      [&] { performance_at(propeller, cruise(), 0.0); },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr("diameter = 1.8 m"), HasSubstr("hub_diameter = 2 m"))));
}

TEST(FixedPitch, IsTakenAsGivenWhateverPowerItAbsorbs) {
  PropellerSpec propeller = sample_propeller();
  propeller.pitch_mode = PitchMode::Fixed;
  const Performance fixed = performance(propeller, cruise());
  EXPECT_EQ(fixed.collective, 0.0);
  EXPECT_EQ(fixed.power, performance_at(propeller, cruise(), 0.0).power);
  EXPECT_GT(std::abs(fixed.power - propeller.shaft_power), 1e3);  // or the test would say nothing
  propeller.pitch_mode = PitchMode::ToPower;
  EXPECT_NEAR(performance(propeller, cruise()).power, propeller.shaft_power, 0.1);
}

TEST(FixedPitch, AtTheTrimmedBladeAnglesAbsorbsTheShaftPower) {
  // The trimmed blade written as a pitch table: p/D = pi r/R tan(blade angle).
  PropellerSpec propeller = sample_propeller();
  const Performance trimmed = performance(propeller, cruise());
  std::vector<BladeStation> table;
  for (double ratio = 0.2; ratio < 1.005; ratio += 0.01) {
    const Annulus annulus = annulus_at(propeller, 0.9 * ratio, trimmed.collective);
    table.push_back({ratio, annulus.chord / 1.8, pi * ratio * std::tan(annulus.blade_angle)});
  }
  propeller.blade = table;
  propeller.pitch_mode = PitchMode::Fixed;
  const Performance fixed = performance(propeller, cruise());
  // 0.1 %: straight lines between angles in one case, between pitches in the other.
  EXPECT_NEAR(fixed.power / propeller.shaft_power, 1.0, 1e-3);
  EXPECT_NEAR(fixed.thrust / trimmed.thrust, 1.0, 1e-3);
}

TEST(FixedPitch, AbsorbsMoreWhenSlowerAndWindmillsWhenFast) {
  PropellerSpec propeller = sample_propeller();
  propeller.pitch_mode = PitchMode::Fixed;
  const double speed = 2700.0 * pi / 30.0;
  EXPECT_GT(performance(propeller, {40.0, 1.0, speed}).power,
            performance(propeller, {57.0, 1.0, speed}).power);
  // Pitch of 0.9 D at 45 turns a second advances 73 m/s; the flat face's zero lift adds some.
  EXPECT_LT(performance(propeller, {110.0, 1.0, speed}).power, 0.0);
}

TEST(OwnPolar, OfTheDefaultSectionGivesTheDefaultLoads) {
  PropellerSpec propeller = sample_propeller();
  const Performance loads = performance(propeller, cruise());
  for (double a = -20.0; a <= 40.0; a += 0.5) {
    const SectionForce force = section_force(a * pi / 180.0);
    propeller.polar.push_back({a * pi / 180.0, force.lift, force.drag});
  }
  const Performance own = performance(propeller, cruise());
  // 0.1 %: straight lines between half degrees.
  EXPECT_NEAR(own.thrust / loads.thrust, 1.0, 1e-3);
  EXPECT_NEAR(own.collective, loads.collective, 1e-3);
}

TEST(OwnPolar, OfADraggySectionCostsThrust) {
  PropellerSpec propeller = sample_propeller();
  const Performance loads = performance(propeller, cruise());
  for (double a = -20.0; a <= 40.0; a += 0.5) {
    const SectionForce force = section_force(a * pi / 180.0);
    propeller.polar.push_back({a * pi / 180.0, force.lift, force.drag + 0.02});
  }
  const Performance own = performance(propeller, cruise());
  EXPECT_NEAR(own.power, loads.power, 0.2);
  EXPECT_LT(own.thrust, 0.97 * loads.thrust);
}

TEST(PerformanceAt, FigureOfMeritAndDiskLoadingFollowFromThrustAndPower) {
  // Momentum theory at rest: ideal power T sqrt(T/(2 rho A)).
  const Performance p = trim_to_power(sample_propeller(), {0.0, 1.225, 2700.0 * pi / 30.0});
  const double area = pi * 0.81;
  EXPECT_NEAR(p.disk_loading, p.thrust / area, 1e-9);
  EXPECT_NEAR(p.figure_of_merit, p.thrust * std::sqrt(p.thrust / (2.0 * 1.225 * area)) / p.power, 1e-9);
  EXPECT_LT(p.figure_of_merit, 1.0);
  EXPECT_GT(p.figure_of_merit, 0.4);
}

}  // namespace
}  // namespace cowlwright::propeller
