// SPDX-License-Identifier: GPL-3.0-or-later
//
// The whole chain from the air ahead of the inlets to the margin, on one reading of a six-cylinder
// installation. The reading is common practice without a source, so what is checked is arithmetic, order and
// size.
#include "cases/envelope/grid.h"
#include "geometry/base/units.h"
#include "tests/support/validation.h"
#include "tests/unit/envelope/studies.h"

#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using namespace cowlwright::envelope;
using namespace cowlwright::testing_support;
using temperature::index;

constexpr double degree_f = 1.0 / 1.8;

/// Calibrated in the installation as it is.
struct Chain {
  DisturbedModel model = disturbed(six_cylinders());
  EngineTemperatures engine{model};
};

/// Hottest bottom of a head [K] at a hot-day climb, 3000 ft, 90 mph true.
double climbing_head(const EngineTemperatures& engine, const DisturbedModel& model, double horsepower) {
  network::Condition condition;
  condition.air = air_of({temperature::DayKind::Hot, 0.0, "hot day"}, temperature::HotDay::Part23, 914.4);
  condition.true_airspeed = 90.0 * 0.44704;
  condition.incidence = base::parse_quantity("5 deg", base::Dimension::Angle);
  condition.shaft_power = horsepower * 745.69987;
  condition.rotational_speed = base::parse_quantity("3230 rpm", base::Dimension::RotationalSpeed);
  const Temperatures t = engine.at(model.model(), model.solve(condition, network::Route::Solved));
  const SiteTemperatures& head = t.sites[index(Site::HeadBottom)];
  return *head.cylinders[head.hottest()].value;
}

TEST(InstallationTemperature, StatedNumbersFitEachOther) {
  ValidationCheck check({
      .id = "installation_temperature.numbers",
      .group = "Temperatures",
      .title = "A six-cylinder installation's stated numbers",
      .source = "common practice, no source: 8.1 US gal/h at 110 hp is about 0.44 lb/(hp h); exit 1.45 times "
                "the inlets",
      .condition = "two inlets of 5.25 in, exit 21 in x 3 in; fuel of 6 lb/US gal",
      .unit = "lb/(hp h); -",
      .reason = "as many digits as are stated",
  });
  const Chain chain;
  const VariantSpec& spec = chain.model.model().spec();
  check.expect_near("specific consumption",
                    base::in_unit(*spec.temperatures.fuel.fuel_flow / spec.propeller.shaft_power,
                                  "lb/(hp h)",
                                  base::Dimension::SpecificConsumption),
                    0.44,
                    0.005);
  const network::Coefficients& c = chain.model.model().coefficients();
  check.expect_near("exit over inlets", c.exit.area / (c.inlets[0].area + c.inlets[1].area), 1.45, 0.01);
}

TEST(InstallationTemperature, HotDayClimbHasASaneMarginThatTurnsTheRightWay) {
  ValidationCheck check({
      .id = "installation_temperature.climb",
      .group = "Temperatures",
      .title = "Bottom of the hottest head in a hot-day climb, calibrated on one reading at cruise",
      .source = "common practice, no source: 274 degF at 110 hp, 127 mph, 5300 ft density altitude, 58 degF; "
                "sustained "
                "limit 420 degF",
      .condition = "125 hp, 90 mph true, 3000 ft, hot day (14 CFR 23.1043), 5 deg nose up",
      .unit = "degF",
      .reason = "hotter than at cruise by the day's 31 degF at least, and below the limit: climbs of such "
                "engines are "
                "flown",
  });
  const Chain chain;
  const double climb = climbing_head(chain.engine, chain.model, 125.0);
  check.expect_between("head", base::in_unit(climb, "degF", base::Dimension::Temperature), 305.0, 420.0);
  double before = climb;
  for (const double horsepower : {110.0, 90.0, 70.0}) {
    const double here = climbing_head(chain.engine, chain.model, horsepower);
    check.expect_above("cooler with " + std::to_string(static_cast<int>(horsepower)) + " hp by",
                       (before - here) / degree_f,
                       5.0);
    before = here;
  }
}

TEST(InstallationTemperature, SharpInletsAndLeaksAreHotter) {
  ValidationCheck check({
      .id = "installation_temperature.worse",
      .group = "Temperatures",
      .title = "Bottom of the hottest head with a worse installation of the same engine",
      .source = "common practice, no source: sharp inlets and leaks cost cooling",
      .condition =
          "125 hp, 90 mph true, 3000 ft, hot day; constants of the engine from the good installation",
      .unit = "degF hotter",
      .reason = "the sign is what is checked; 0.1 degF is beyond rounding",
  });
  const Chain chain;
  const double good = climbing_head(chain.engine, chain.model, 125.0);
  const auto hotter = [&](const Changes& changes) {
    return (climbing_head(chain.engine, disturbed(six_cylinders(changes)), 125.0) - good) / degree_f;
  };
  check.expect_above(
      "sharp inlets", hotter({{"ring = \"flush\"\nlip_radius = \"20 mm\"", "ring = \"none\""}}), 0.1);
  check.expect_above("leaks",
                     hotter({{"[exit]",
                              "[leaks]\ncowl_seal_left = \"30 cm2\"\ncowl_seal_right = \"30 cm2\"\n"
                              "rear_baffle_left = \"15 cm2\"\nrear_baffle_right = \"15 cm2\"\n[exit]"}}),
                     0.1);
}

}  // namespace
