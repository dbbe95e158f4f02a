// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/propeller/blade_table.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace cowlwright::propeller {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

PropellerSpec blades() {
  PropellerSpec spec;
  spec.rotational_speed = 272.0;
  spec.shaft_power = 75e3;
  spec.blade = default_blade();
  return spec;
}

constexpr double radius = 0.28;

// The bounds are those that the header states.
TEST(BladeTable, GivesDiskLoadingAndAirAheadAsTheSolveDoes) {
  const BladeTable table(blades(), {radius});
  std::mt19937 generator(3);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution(low, high)(generator);
  };
  for (int i = 0; i < 6; ++i) {
    PropellerSpec spec = blades();
    const double airspeed = i < 2 ? 0.0 : between(5.0, 75.0);
    const Operating operating{airspeed, between(0.8, 1.25), between(210.0, 285.0)};
    spec.shaft_power = between(35e3, 75e3);
    const double following = between(-8.0, 8.0);
    const Performance solved = performance(spec, operating);
    const LocalAir air = local_air(spec, operating, solved.collective, {radius, following});
    const BladeTable::Loads loads = table.loads(operating, spec.shaft_power);
    const LocalAir tabulated = table.local_air(0, operating, loads.collective, following);
    EXPECT_NEAR(loads.disk_loading, solved.disk_loading, 0.005 * solved.disk_loading) << airspeed;
    EXPECT_NEAR(tabulated.pressure_rise, air.pressure_rise, 0.005 * std::abs(solved.disk_loading))
        << airspeed;
    EXPECT_NEAR(tabulated.swirl_speed, air.swirl_speed, 0.05) << airspeed;  // [m/s]
  }
}

TEST(BladeTable, TakesAFixedPitchAsItIs) {
  PropellerSpec spec = blades();
  spec.pitch_mode = PitchMode::Fixed;
  const Operating operating{40.0, 1.1, 250.0};
  const Performance solved = performance(spec, operating);
  const BladeTable::Loads loads = BladeTable(spec, {radius}).loads(operating, 75e3);
  EXPECT_DOUBLE_EQ(loads.collective, 0.0);
  EXPECT_NEAR(loads.disk_loading, solved.disk_loading, 0.005 * solved.disk_loading);
}

TEST(BladeTable, TellsAPowerThatNoSettingAbsorbs) {
  const BladeTable table(blades(), {radius});
  EXPECT_THAT(
      [&] {
        table.loads({40.0, 1.1, 270.0}, 900e3);
      },
      ThrowsMessage<base::ResultError>(
          HasSubstr("shaft_power = 900000 W: no blade setting absorbs it at 40.0 m/s and 2578 rpm")));
}

TEST(BladeTable, RefusesAConditionThatIsNone) {
  const BladeTable table(blades(), {radius});
  EXPECT_THAT(
      [&] {
        table.loads({-1.0, 1.1, 270.0}, 75e3);
      },
      ThrowsMessage<base::InputError>(HasSubstr("airspeed = -1 m/s")));
}

TEST(LocalAir, HasTheThrustOfItsAnnulusAndNoneOutsideTheBlades) {
  const PropellerSpec spec = blades();
  const Operating operating{40.0, 1.1, 270.0};
  EXPECT_GT(local_air(spec, operating, 0.0, {0.6, 0.0}).pressure_rise, 0.0);
  EXPECT_EQ(local_air(spec, operating, 0.0, {0.1, 0.0}).pressure_rise, 0.0);
  EXPECT_EQ(local_air(spec, operating, 0.0, {0.95, 0.0}).swirl_speed, 0.0);
}

// Thrust is the integral of the local rise over the disk. Midpoints of 40 rings; the 60 annuli of the solve
// are as far apart from the integral as they are: 1 % covers both.
TEST(LocalAir, AddsUpToTheThrustOverTheDisk) {
  const PropellerSpec spec = blades();
  const Operating operating{40.0, 1.1, 270.0};
  const Performance solved = performance_at(spec, operating, 0.0);
  const double hub = 0.5 * spec.hub_diameter;
  const double width = (0.5 * spec.diameter - hub) / 40.0;
  double thrust = 0.0;
  for (int i = 0; i < 40; ++i) {
    const double r = hub + (i + 0.5) * width;
    thrust += local_air(spec, operating, 0.0, {r, 0.0}).pressure_rise * 2.0 * 3.14159265 * r * width;
  }
  EXPECT_NEAR(thrust, solved.thrust, 0.01 * solved.thrust);
}

TEST(LocalAir, LoadsTheDescendingBladeMore) {
  const PropellerSpec spec = blades();
  const Operating operating{40.0, 1.1, 270.0};
  EXPECT_GT(local_air(spec, operating, 0.0, {radius, -4.0}).pressure_rise,
            local_air(spec, operating, 0.0, {radius, 4.0}).pressure_rise);
}

TEST(LocalAir, RefusesAWindFasterThanTheBlades) {
  EXPECT_THAT(
      [] {
        local_air(blades(), {40.0, 1.1, 10.0}, 0.0, {radius, 5.0});
      },
      ThrowsMessage<base::ResultError>(HasSubstr("with a following wind of 5.0 m/s")));
}

}  // namespace
}  // namespace cowlwright::propeller
