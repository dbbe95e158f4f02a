// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which way the quick estimate goes when the exit is changed, against what was found in wind tunnels. Trends
// only: none of the sources has numbers that could be compared.
#include "cases/network/model.h"
#include "cases/starter.h"
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <numbers>
#include <vector>

namespace cowlwright::network {
namespace {

using testing_support::ValidationCheck;

/// The starter with what a test changes of its shape or coefficients.
template <typename ShapeChange, typename Change>
State solved(ShapeChange change_shape, Change change) {
  VariantSpec spec = parse_study(starter_study_text(), "starter.toml").variants.front();
  change_shape(spec.shape);
  Coefficients coefficients = default_coefficients(spec);
  change(coefficients);
  return Model(spec, coefficients).solve(stated_condition(spec));
}

State at_lip_angle(double degrees) {
  return solved([degrees](shape::ShapeSpec& s) { s.exit.lip_angle = degrees * std::numbers::pi / 180.0; },
                [](Coefficients&) {});
}

State with_exit_opened(double share) {
  return solved([](shape::ShapeSpec&) {}, [share](Coefficients& c) { c.exit.area *= share; });
}

TEST(NetworkTrends, ALipBentDownLowersTheExitPressureAndDrawsMoreAir) {
  ValidationCheck check({
      .id = "network.lip_trend",
      .group = "Quick estimate",
      .title = "Trend only: a lip bent down lowers the pressure on the exit plane and draws more air",
      .source = "NACA Special Report on three exit-area control devices (bottom opening with adjustable "
                "flap); British "
                "gill study of a flying-boat model: more opening of the gills, more flow. Direction only, no "
                "numbers",
      .condition =
          "starter installation, default coefficients, lip at 15 to 60 deg over the next smaller angle",
      .unit = "exit mass flow over that of the next smaller angle",
      .reason = "more than 1; at most 1.2: pressure on the plane falls by less than half of q and slipstream",
  });
  State before = at_lip_angle(0.0);
  for (const double angle : {15.0, 30.0, 45.0, 60.0}) {
    const State state = at_lip_angle(angle);
    EXPECT_LT(state.exit_pressure, before.exit_pressure) << angle;
    EXPECT_GT(state.deck_pressure_difference(), before.deck_pressure_difference()) << angle;
    check.expect_between(
        fmt::format("{} deg", angle), state.exit_mass_flow / before.exit_mass_flow, 1.0 + 1e-6, 1.2);
    before = state;
  }
}

TEST(NetworkTrends, AnExitOpenedFurtherPassesMoreAir) {
  ValidationCheck check({
      .id = "network.opening_trend",
      .group = "Quick estimate",
      .title = "Trend only: an exit opened further passes more air, and each opening adds less",
      .source = "British gill study (opening up to 25 deg: flow rises with opening); J. W. Thorp, lecture of "
                "13 April "
                "1963 (outlet area in proportion to the air wanted). Direction only",
      .condition = "starter installation, default coefficients, exit area 0.25 to 2 times its own, each "
                   "twice the last",
      .unit = "flow over that at half of the opening",
      .reason = "between 1 and 2: an exit alone would double it, the cores in series add less",
  });
  double before = with_exit_opened(0.125).exit_mass_flow;
  double last_gain = 2.0;
  for (const double share : {0.25, 0.5, 1.0, 2.0}) {
    const double flow = with_exit_opened(share).exit_mass_flow;
    check.expect_between(fmt::format("{} of the exit", share), flow / before, 1.0, 2.0);
    EXPECT_LT(flow / before, last_gain) << share;
    last_gain = flow / before;
    before = flow;
  }
}

TEST(NetworkTrends, FlowVanishesSmoothlyAsTheExitCloses) {
  ValidationCheck check({
      .id = "network.closing_trend",
      .group = "Quick estimate",
      .title = "Trend only: flow goes to nothing in proportion to the exit as it closes",
      .source =
          "continuity: all resistance is then the exit's, so flow goes with its area [exact in the limit]",
      .condition = "starter installation, default coefficients, exit area down to a 200th of its own",
      .unit = "flow over exit area, over the same at half of the opening",
      .reason = "1 %: cores and inlets still take a share of the pressure, of the order of the opening's "
                "square, and "
                "the air's density follows its heat, which it takes up to a limit only",
  });
  for (const double share : {0.04, 0.02, 0.01}) {
    const double ratio =
        with_exit_opened(share).exit_mass_flow / (2.0 * with_exit_opened(0.5 * share).exit_mass_flow);
    check.expect_near(fmt::format("{} of the exit", share), ratio, 1.0, 0.01);
  }
  const double whole = with_exit_opened(1.0).exit_mass_flow;
  EXPECT_GT(with_exit_opened(0.005).exit_mass_flow, 0.0);
  EXPECT_LT(with_exit_opened(0.005).exit_mass_flow, 0.02 * whole);
}

}  // namespace
}  // namespace cowlwright::network
