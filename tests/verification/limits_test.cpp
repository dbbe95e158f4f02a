// SPDX-License-Identifier: GPL-3.0-or-later
//
// Formulas at their limits and under scaling, where the exact answer is known without a table.
#include "cases/core/spec.h"
#include "cases/propeller/blade_element.h"
#include "geometry/base/air.h"
#include "tests/support/validation.h"

#include <gtest/gtest.h>

#include <cmath>
#include <utility>
#include <vector>

namespace cowlwright {
namespace {

using testing_support::ValidationCheck;

TEST(InducedVelocityLimits, AtRestAndAtALightLoad) {
  ValidationCheck check(
      {.id = "limits.induced_velocity",
       .group = "Limits and scaling",
       .title = "Induced velocity over its limit",
       .source = "momentum theory, exact: √(T/(2ρA)) at rest, T/(2ρAV) when lightly loaded",
       .condition = "ρ 1.2 kg/m³, A 2 m²",
       .unit = "-",
       .reason = "at rest: rounding; light: the next term of the series, T/(2ρAV²) = 8.7e-6"});
  constexpr double density = 1.2, area = 2.0;
  check.expect_near(
      "at rest, 120 N", propeller::induced_velocity(0.0, 120.0, density, area) / 5.0, 1.0, 1e-12);
  const double light = 0.15 / (2.0 * density * area * 60.0);
  check.expect_near(
      "60 m/s, 0.15 N", propeller::induced_velocity(60.0, 0.15, density, area) / light, 1.0, 1e-5);
}

TEST(PropellerScaling, CoefficientsDependOnTheAdvanceRatioAlone) {
  ValidationCheck check(
      {.id = "limits.propeller_scaling",
       .group = "Limits and scaling",
       .title = "Loads of a propeller of another size, speed and air, over the scaled ones",
       .source = "exact: at one advance ratio thrust goes with ρn²D⁴, torque with ρn²D⁵ (no "
                 "Reynolds or Mach number in the section data)",
       .condition = "default blade, advance ratio 0.56; 1.7 times the diameter, 0.8 times the rate, "
                    "0.6 times the density",
       .unit = "-",
       .reason = "roots of the inflow found to 1e-10"});
  propeller::PropellerSpec spec;
  spec.blade = propeller::default_blade();
  propeller::PropellerSpec large = spec;
  constexpr double size = 1.7, rate = 0.8, air = 0.6;
  large.diameter *= size;
  large.hub_diameter *= size;
  const propeller::Performance one = propeller::performance_at(spec, {40.0, 1.2, 250.0}, 0.02);
  const propeller::Performance other =
      propeller::performance_at(large, {40.0 * size * rate, 1.2 * air, 250.0 * rate}, 0.02);
  const double pressure = air * rate * rate * std::pow(size, 4);
  check.expect_near("thrust", other.thrust / (one.thrust * pressure), 1.0, 1e-8);
  check.expect_near("torque", other.torque / (one.torque * pressure * size), 1.0, 1e-8);
  check.expect_near("efficiency", other.efficiency / one.efficiency, 1.0, 1e-8);
}

/// A law's drop at 0.04 to 0.15 kg/s, `at_one_tenth` at 0.1 kg/s, going with the mass flow to a power.
std::vector<core::LawPoint> power_law(double at_one_tenth, double exponent) {
  std::vector<core::LawPoint> law;
  for (int i = 4; i <= 15; ++i) {
    law.push_back({0.01 * i, at_one_tenth * std::pow(0.1 * i, exponent)});
  }
  return law;
}

TEST(CoreLawLimits, PureLawsGiveOneCoefficientEach) {
  // sigma dp = 1500 Pa at 0.1 kg/s through 0.02 m², depth 0.15 m, at density rho: v = 0.1/(0.02 rho).
  // Quadratic: dp = F L rho v²/2 = F L G²/(2 rho), G = 5 kg/(s m²); dp = 1500 * 1.225/rho, so
  // F = 2 * 1500 * 1.225/(0.15 * 25) = 980 1/m. Linear: dp = mu D v L = mu D L G/rho, so
  // D = 1500 * 1.225/(mu * 0.15 * 5) = 2450/mu 1/m².
  ValidationCheck check(
      {.id = "limits.core_law",
       .group = "Limits and scaling",
       .title = "Coefficients of the solver's sink over the exact ones",
       .source = "exact, by hand: F = 980 1/m of a quadratic law, D = 2450/µ of a linear one",
       .condition = "σΔp 1500 Pa at 0.1 kg/s, 0.02 m², 0.15 m deep, air of 90 kPa and 285 K",
       .unit = "-",
       .reason = "rounding of the least squares"});
  const double density = 90000.0 / (base::air::gas_constant * 285.0);
  const double viscosity = base::dynamic_viscosity(285.0);
  const auto sink = [&](double exponent) {
    return core::sink_coefficients(core::fit_core_law(power_law(1500.0, exponent), 0.02, density, viscosity),
                                   0.15);
  };
  check.expect_near("F, quadratic law", sink(2.0).forchheimer / 980.0, 1.0, 1e-9);
  check.expect_near("D, quadratic law, over 2450/µ", sink(2.0).darcy / (2450.0 / viscosity), 0.0, 1e-9);
  check.expect_near("D, linear law", sink(1.0).darcy / (2450.0 / viscosity), 1.0, 1e-9);
  check.expect_near("F, linear law, over 980 1/m", sink(1.0).forchheimer / 980.0, 0.0, 1e-9);
}

TEST(PropellerLimits, IdealEfficiencyGoesToOneWithTheLoad) {
  // 1 - eta_i = (1 - eta_i) of 2/(1 + sqrt(1 + c)), c = 8 CT/(pi J²): c/4 for small c.
  ValidationCheck check({.id = "limits.no_load",
                         .group = "Limits and scaling",
                         .title = "Loss of ideal efficiency over its limit for no load",
                         .source = "momentum theory, exact: 1 − V/(V + v) → T/(2ρAV²)",
                         .condition = "60 m/s, ρ 1.2 kg/m³, A 2 m²",
                         .unit = "-",
                         .reason = "the next term of the series, twice T/(2ρAV²) at most"});
  for (const auto& [thrust, name] : {std::pair{170.0, "170 N"}, {17.0, "17 N"}, {1.7, "1.7 N"}}) {
    const double small = thrust / (2.0 * 1.2 * 2.0 * 3600.0);
    const double induced = propeller::induced_velocity(60.0, thrust, 1.2, 2.0);
    check.expect_near(name, induced / (60.0 + induced) / small, 1.0, 2.0 * small);
  }
}

}  // namespace
}  // namespace cowlwright
