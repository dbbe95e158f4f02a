// SPDX-License-Identifier: GPL-3.0-or-later
//
// Temperatures against the published form of the correlation, flights of 1936, the rules' correction to a hot
// day, and a heat balance by hand.
#include "cases/temperature/correlation.h"
#include "cases/temperature/regulation.h"
#include "geometry/base/air.h"
#include "tests/support/validation.h"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright;
using namespace cowlwright::temperature;
using testing_support::ValidationCheck;

double kelvin(double degrees_f) {
  return (degrees_f + 459.67) / 1.8;
}
double fahrenheit(double kelvin_value) {
  return 1.8 * kelvin_value - 459.67;
}

// A head at 450 degF, a barrel at 300 degF in air of 60 degF; the carburettor at its reference, 80 degF.
constexpr CylinderCondition reference{0.015, 1000.0, 288.705556, reference_carburettor_temperature};

/// d ln(T - T_a) / d ln of what `change` scales, by a central difference of one part in a thousand.
template <typename Change>
double local_slope(Site site, double temperature, const Change& change) {
  const Numbers n = numbers(default_correlation(site));
  const double k = log_constant(n, reference, temperature);
  const double step = 1e-3;
  const auto log_rise = [&](double factor) {
    CylinderCondition condition = reference;
    change(condition, factor);
    return std::log(site_temperature(n, condition, k) - condition.air_temperature);
  };
  return (log_rise(std::exp(step)) - log_rise(std::exp(-step))) / (2.0 * step);
}

TEST(CylinderTemperature, SlopesAgreeWithTheFlightsOf1936) {
  ValidationCheck check({
      .id = "temperature.flight_slopes",
      .group = "Temperatures",
      .title = "Local exponents of the rise of head and barrel over the air",
      .source = "Schey and Pinkel, NACA TN 584 (number from memory), 1936: rise ~ bhp^0.38 at constant "
                "cooling flow, "
                "mdot^-0.39 on heads, mdot^-0.35 on barrels at constant power",
      .condition = "head 450 degF, barrel 300 degF, air 60 degF; dp ~ mdot^1.8",
      .unit = "-",
      .reason = "0.03: the default exponents are rounded (0.60, 0.33), and 1.8 is one of 1.8 to 2.0",
  });
  const auto charge = [](CylinderCondition& c, double factor) { c.charge_flow *= factor; };
  const auto cooling = [](CylinderCondition& c, double factor) {
    c.cooling_pressure *= std::pow(factor, 1.8);
  };
  check.expect_near("head, power", local_slope(Site::HeadBottom, kelvin(450.0), charge), 0.38, 0.03);
  check.expect_near("head, cooling air", local_slope(Site::HeadBottom, kelvin(450.0), cooling), -0.39, 0.03);
  check.expect_near("barrel, cooling air", local_slope(Site::Barrel, kelvin(300.0), cooling), -0.35, 0.03);
}

TEST(CylinderTemperature, SolvedFormFulfilsTheCorrelation) {
  ValidationCheck check({
      .id = "temperature.solved_form",
      .group = "Temperatures",
      .title = "(T_h - T_a) / (T_g - T_h) of the temperature that was solved for",
      .source = "Pinkel, NACA TR 612 (form from memory): equals X = K W_c^n / (sigma dp)^m",
      .condition = "head, X from 0.1 to 2",
      .unit = "-",
      .reason = "rounding of doubles",
  });
  const Numbers n = numbers(default_correlation(Site::HeadBottom));
  for (const double x : {0.1, 0.557, 2.0}) {
    const double log_k = std::log(x) - 0.60 * std::log(0.015) + 0.33 * std::log(1000.0);
    const double t = site_temperature(n, reference, log_k);
    check.expect_near("X " + std::to_string(x).substr(0, 5),
                      (t - reference.air_temperature) / (kelvin(1150.0) - t),
                      x,
                      1e-9);
  }
}

TEST(CylinderTemperature, FollowsTheAirByOneOverOnePlusX) {
  ValidationCheck check({
      .id = "temperature.air_slope",
      .group = "Temperatures",
      .title = "dT_h/dT_a of a head at 450 degF in air of 60 degF",
      .source = "solved form of the correlation: 1 / (1 + X) = 1 - y, y = 0.358",
      .condition = "same air at the carburettor and the same sigma dp",
      .unit = "-",
      .reason = "half a unit of the third digit",
  });
  const Numbers n = numbers(default_correlation(Site::HeadBottom));
  const double k = log_constant(n, reference, kelvin(450.0));
  CylinderCondition warmer = reference;
  warmer.air_temperature += 1.0;
  check.expect_near("slope", site_temperature(n, warmer, k) - kelvin(450.0), 0.642, 0.0005);
}

TEST(HotDay, CorrectsAsTheRuleDoes) {
  ValidationCheck check({
      .id = "temperature.hot_day",
      .group = "Temperatures",
      .title = "Temperatures carried to a hot day",
      .source = "14 CFR 23.1043 (2014 text); CS 22.1047",
      .condition = "measured at 5000 ft and 50 degF: head 410 degF, barrel 280 degF",
      .unit = "degF",
      .reason = "exact by the rule; rounding of doubles",
  });
  const double hot = hot_day_temperature(HotDay::Part23, 5000.0 * 0.3048);
  check.expect_near("hot day, 5000 ft", fahrenheit(hot), 82.0, 1e-9);
  check.expect_near(
      "head", fahrenheit(corrected_temperature(kelvin(410.0), kelvin(50.0), hot, Part::Other)), 442.0, 1e-9);
  check.expect_near("barrel",
                    fahrenheit(corrected_temperature(kelvin(280.0), kelvin(50.0), hot, Part::Barrel)),
                    302.4,
                    1e-9);
  check.expect_near(
      "hot day, 60,000 ft", fahrenheit(hot_day_temperature(HotDay::Part23, 60000.0 * 0.3048)), -69.7, 1e-9);
  check.expect_near("sailplane rule, 2000 m",
                    fahrenheit(hot_day_temperature(HotDay::Cs22, 2000.0)),
                    1.8 * (38.0 - 13.0) + 32.0,
                    1e-9);
}

TEST(HeatBalance, SixtyKilowattsAtSixtyFiveKelvin) {
  ValidationCheck check({
      .id = "temperature.heat_balance",
      .group = "Temperatures",
      .title = "Air that takes 60 kW at a rise of 65 K",
      .source = "Q = m cp dT with cp = 1005 J/(kg K), by hand",
      .condition = "cp of our air: 3.5 R",
      .unit = "kg/s",
      .reason = "half a unit of the third digit; 3.5 R is 1004.7",
  });
  check.expect_near("flow", 60e3 / (base::air::specific_heat * 65.0), 0.918, 0.001);
}

}  // namespace
