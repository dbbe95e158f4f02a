// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fit of a core's pressure-drop law.
#include "cases/core/spec.h"
#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace cowlwright::core {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

// With density 1.225 sigma is 1; an area of 1/1.225 makes the speed equal to the mass flow, and with
// viscosity 1 a point reads dp = a v + 1.225 b v².
constexpr double density = 1.225;
constexpr double area = 1.0 / 1.225;
constexpr double viscosity = 1.0;

TEST(FitCoreLaw, RecoversAnExactLawAtAltitude) {
  // Made with a = 2.5e5 1/m, b = 12 at rho = 0.9, mu = 1.7e-5, area 0.04 m²; the law states sigma*dp.
  std::vector<LawPoint> law;
  for (double flow : {0.05, 0.1, 0.2, 0.3}) {
    const double v = flow / (0.9 * 0.04);
    const double dp = 2.5e5 * 1.7e-5 * v + 12.0 * 0.9 * v * v;
    law.push_back({flow, dp * 0.9 / 1.225});
  }
  const CoreFit fit = fit_core_law(law, 0.04, 0.9, 1.7e-5);
  EXPECT_NEAR(fit.viscous / 2.5e5, 1.0, 1e-9);
  EXPECT_NEAR(fit.inertial / 12.0, 1.0, 1e-9);
  EXPECT_LT(fit.residual, 1e-9);
}

TEST(FitCoreLaw, MinimisesRelativeDeviationsHandCase) {
  // v = 1, 2, 3 and dp = v, 2v, 2v. Relative parts: viscous 1, 1/2, 1/2; inertial (times 1.225 b) 1, 1, 3/2.
  // Normal equations: 1.5 a + 2.25 B = 2, 2.25 a + 4.25 B = 3.5: a = 10/21, B = 4/7.
  // Deviations 1/21, -4/21, 2/21.
  const std::vector<LawPoint> law{{1, 1}, {2, 4}, {3, 6}};
  const CoreFit fit = fit_core_law(law, area, density, viscosity);
  EXPECT_NEAR(fit.viscous, 10.0 / 21.0, 1e-12);
  EXPECT_NEAR(fit.inertial * 1.225, 4.0 / 7.0, 1e-12);
  EXPECT_NEAR(fit.residual, 4.0 / 21.0, 1e-12);
}

TEST(FitCoreLaw, SteeperThanQuadraticGivesNoNegativeViscousPart) {
  // dp = v³ at v = 1, 2: B = (1 + 1/2)/(1 + 1/4) = 6/5, deviations +1/5 and -2/5.
  const std::vector<LawPoint> law{{1, 1}, {2, 8}};
  const CoreFit fit = fit_core_law(law, area, density, viscosity);
  EXPECT_EQ(fit.viscous, 0.0);
  EXPECT_NEAR(fit.inertial * 1.225, 1.2, 1e-12);
  EXPECT_NEAR(fit.residual, 0.4, 1e-12);
}

TEST(FitCoreLaw, FlatterThanLinearGivesNoNegativeInertialPart) {
  // dp = v^(1/2) at v = 1, 4: viscous parts 1 and 2: a = 3/5, deviations -2/5 and +1/5.
  const std::vector<LawPoint> law{{1, 1}, {4, 2}};
  const CoreFit fit = fit_core_law(law, area, density, viscosity);
  EXPECT_EQ(fit.inertial, 0.0);
  EXPECT_NEAR(fit.viscous, 0.6, 1e-12);
  EXPECT_NEAR(fit.residual, 0.4, 1e-12);
}

TEST(FitCoreLaw, PureLimitsAreKept) {
  const CoreFit quadratic =
      fit_core_law(std::vector<LawPoint>{{1, 3}, {2, 12}, {3, 27}}, area, density, viscosity);
  EXPECT_NEAR(quadratic.viscous, 0.0, 1e-9);
  EXPECT_NEAR(quadratic.inertial * 1.225, 3.0, 1e-9);
  const CoreFit linear =
      fit_core_law(std::vector<LawPoint>{{1, 3}, {2, 6}, {3, 9}}, area, density, viscosity);
  EXPECT_NEAR(linear.viscous, 3.0, 1e-9);
  EXPECT_NEAR(linear.inertial, 0.0, 1e-9);
}

TEST(FitCoreLaw, BeatsThePlainFitOfTheSlabPointsInItsOwnMeasure) {
  // Slab points and the plain least-squares fit of dp (not of relative deviations) worked out independently:
  // 3.2529 v + 7.03592 v². Sums of squared relative deviations must rank the other way round.
  const std::vector<LawPoint> law{{1, 9.88}, {2, 33.62}, {4, 123.33}, {8, 478.56}, {16, 1852.84}};
  const CoreFit fit = fit_core_law(law, area, density, viscosity);
  double ours = 0.0;
  double plain = 0.0;
  for (const LawPoint& point : law) {
    const double v = point.mass_flow;
    ours += std::pow((fit.viscous * v + 1.225 * fit.inertial * v * v) / point.pressure_drop - 1.0, 2);
    plain += std::pow((3.2529 * v + 7.03592 * v * v) / point.pressure_drop - 1.0, 2);
  }
  EXPECT_LT(ours, plain);
  EXPECT_LT(fit.residual, 0.042);  // the plain fit's largest deviation is 10.29/9.88 - 1 = 4.1 %
  EXPECT_NEAR(fit.inertial * 1.225, 7.036, 0.04 * 7.036);
}

TEST(FitCoreLaw, ShareOfEachPartDoesNotDependOnUnitsOfFlow) {
  const std::vector<LawPoint> law{{0.05, 300}, {0.1, 1000}, {0.15, 2100}};
  const CoreFit one = fit_core_law(law, 0.04, 1.0, 1.8e-5);
  const CoreFit two = fit_core_law(law, 0.08, 1.0, 1.8e-5);  // half the speed everywhere
  EXPECT_NEAR(two.viscous / one.viscous, 2.0, 1e-9);
  EXPECT_NEAR(two.inertial / one.inertial, 4.0, 1e-9);
  EXPECT_NEAR(two.residual, one.residual, 1e-12);
}

TEST(FitCoreLaw, RefusesOnePointNamingCountAndBound) {
  EXPECT_THAT(
      [] {
        fit_core_law(std::vector<LawPoint>{{1, 1}}, area, density, viscosity);
      },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr("1 point(s)"), HasSubstr("at least 2"))));
}

TEST(FitCoreLaw, RefusesNonPositivePointNamingItsNumberAndValues) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THAT(
      [&] {
        fit_core_law(std::vector<LawPoint>{{1, 1}, {2, nan}}, area, density, viscosity);
      },
      ThrowsMessage<base::InputError>(
          AllOf(HasSubstr("point 2"), HasSubstr("pressure drop = nan Pa"), HasSubstr("> 0"))));
  EXPECT_THAT(
      [&] {
        fit_core_law(std::vector<LawPoint>{{-1, 1}, {2, 4}}, area, density, viscosity);
      },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr("point 1"), HasSubstr("mass flow = -1 kg/s"))));
}

TEST(FitCoreLaw, RefusesAnAreaOfZeroNamingIt) {
  EXPECT_THAT(
      [] {
        fit_core_law(std::vector<LawPoint>{{1, 1}, {2, 4}}, 0.0, density, viscosity);
      },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr("area = 0 m2"), HasSubstr("> 0"))));
}

TEST(LeakResistance, IsWhatTheTunnelDoesNotTakeItself) {
  // A tunnel of three times the effective area: dp = 9 dynamic pressures of the tunnel's speed in all, 1.7 of
  // them its own; b = (9 - 1.7)/2.
  const CoreFit leak = leak_resistance(9e-4, 3e-4);
  EXPECT_EQ(leak.viscous, 0.0);
  EXPECT_NEAR(leak.inertial, 3.65, 1e-12);
}

TEST(LeakResistance, RefusesATunnelThatPassesTooLittleEmptyNamingBoth) {
  // 9 cm2 / sqrt(1.7) = 6.903 cm2.
  EXPECT_THAT([] { leak_resistance(9e-4, 8e-4); },
              ThrowsMessage<base::InputError>(AllOf(
                  HasSubstr("effective area = 8 cm2"), HasSubstr("at most 6.903 cm2"), HasSubstr("9 cm2"))));
  EXPECT_THAT([] { leak_resistance(9e-4, std::numeric_limits<double>::quiet_NaN()); },
              ThrowsMessage<base::InputError>(HasSubstr("> 0")));
}

TEST(ShareOfFlow, PartsAtOnePressureDropAddUpToTheWhole) {
  const Law whole{LawKind::Table, {{0.1, 500.0}, {0.2, 1800.0}}, {0.2, 1800.0}};
  const Law head = share_of_flow(whole, 0.3);
  const Law barrel = share_of_flow(whole, 0.7);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_DOUBLE_EQ(head.points[i].pressure_drop, whole.points[i].pressure_drop);
    EXPECT_DOUBLE_EQ(head.points[i].mass_flow + barrel.points[i].mass_flow, whole.points[i].mass_flow);
  }
  EXPECT_DOUBLE_EQ(head.reference.mass_flow, 0.06);
}

TEST(SinkCoefficients, TakeTheSamePressureOverTheDepth) {
  // Sink (mu D + 0.5 rho v F) v over depth L must give a mu v + b rho v²: D = a/L, F = 2b/L.
  const SinkCoefficients sink = sink_coefficients({1e5, 10.0, 0.0}, 0.1);
  EXPECT_NEAR(sink.darcy, 1e6, 1e-6);
  EXPECT_NEAR(sink.forchheimer, 200.0, 1e-10);
}

TEST(SinkCoefficients, RefuseADepthOfZeroNamingIt) {
  EXPECT_THAT(
      [] {
        sink_coefficients({1e5, 10.0, 0.0}, 0.0);
      },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr("depth = 0 m"), HasSubstr("> 0 m"))));
}

}  // namespace
}  // namespace cowlwright::core
