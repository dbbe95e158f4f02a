// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/network/model.h"

#include "cases/starter.h"
#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace cowlwright::network {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

const VariantSpec& starter() {
  static const VariantSpec spec = parse_study(starter_study_text(), "starter.toml").variants.front();
  return spec;
}

TEST(NetworkModel, IsSymmetricForASymmetricInstallation) {
  const Model model(starter(), default_coefficients(starter()));
  const State state = model.solve(stated_condition(starter()));
  EXPECT_DOUBLE_EQ(state.inlets[0].mass_flow, state.inlets[1].mass_flow);
  EXPECT_NEAR(state.inlets[0].mass_flow, 2.0 * state.passages[0].mass_flow, 1e-12);
  EXPECT_EQ(state.passages.size(), 4u);
}

TEST(NetworkModel, FlowVanishesWithTheExitInAnyStep) {
  double before = 1.0;
  for (const double share : {1.0, 0.1, 1e-2, 1e-3, 1e-4, 1e-6, 0.0}) {
    Coefficients coefficients = default_coefficients(starter());
    coefficients.exit.area *= share;
    const State state = Model(starter(), coefficients).solve(stated_condition(starter()), Route::Tabulated);
    EXPECT_LT(state.exit_mass_flow, before) << share;
    EXPECT_LE(state.exit_mass_flow, 2.0 * share) << share;
    EXPECT_NEAR(state.inlets[0].mass_flow + state.inlets[1].mass_flow, state.exit_mass_flow, 1e-11) << share;
    before = state.exit_mass_flow + 1e-9;
  }
}

TEST(NetworkModel, TellsAConditionInWhichNothingMovesTheAir) {
  const Model model(starter(), default_coefficients(starter()));
  Condition condition = stated_condition(starter());
  condition.true_airspeed = 0.0;
  condition.shaft_power = 0.0;
  EXPECT_THAT([&] { model.solve(condition); },
              ThrowsMessage<base::InputError>(HasSubstr("true airspeed = 0 m/s with a shaft power of 0 W")));
}

/// A sane installation and condition by chance: the starter's with its coefficients spread over decades.
struct Chance {
  std::mt19937 generator;
  double between(double low, double high) { return std::uniform_real_distribution(low, high)(generator); }
  double spread(double value, double factor) {
    return value * std::exp(between(-std::log(factor), std::log(factor)));
  }

  Coefficients coefficients() {
    Coefficients c = default_coefficients(starter());
    for (InletCoefficients& inlet : c.inlets) {
      inlet.area = spread(inlet.area, 3.0);
      inlet.still_loss.value = between(0.03, 1.0);
      inlet.deck_loss.value = between(0.2, 1.2);
      inlet.propeller_rise.value = between(-0.5, 1.5);
    }
    for (PassageCoefficients& passage : c.passages) {
      passage.viscous = between(0.0, 1.0) < 0.3 ? 0.0 : spread(passage.viscous + 1000.0, 10.0);
      passage.inertial = spread(passage.inertial, 3.0);
      passage.heat_share = between(0.0, 0.3);
    }
    const auto leak = [&](base::Side side, bool joins) {
      PassageCoefficients passage{
          .name = "leak", .kind = base::PassageKind::Leak, .side = side, .joins_decks = joins};
      passage.effective_area = spread(1e-3, 10.0);
      passage.resistance.value = 1.0;
      return passage;
    };
    c.passages.push_back(leak(base::Side::Left, true));
    c.passages.push_back(leak(base::Side::Right, true));
    c.is_split = between(0.0, 1.0) < 0.5;
    if (c.is_split) c.passages.push_back(leak(base::Side::Left, false));
    c.exit.area = spread(c.exit.area, 30.0);
    c.exit.pressure.value = between(-0.6, 1.2);
    return c;
  }

  Condition condition() {
    Condition condition = stated_condition(starter());
    const double speed = between(0.0, 1.0);
    condition.true_airspeed = speed < 0.2 ? 0.0 : 100.0 * speed;
    condition.incidence = speed < 0.2 ? 0.0 : between(-0.1, 0.3);
    return condition;
  }
};

TEST(NetworkModel, ClosesMassAndEnergyForAnySaneInstallation) {
  Chance chance{std::mt19937(7)};
  const Model model(starter(), default_coefficients(starter()));
  int n_backflow = 0;
  for (int i = 0; i < 8; ++i) {
    const Model other = model.with(chance.coefficients());
    const State state = other.solve(chance.condition());
    EXPECT_LE(std::abs(state.mass_closure), 1e-10) << i;
    EXPECT_LE(std::abs(state.energy_closure), 1e-10) << i;
    const bool is_back =
        state.exit_mass_flow < 0.0 || state.inlets[0].mass_flow < 0.0 || state.inlets[1].mass_flow < 0.0;
    n_backflow += is_back ? 1 : 0;
  }
  EXPECT_GT(n_backflow, 0);  // so that reversed flow is among them
}

}  // namespace
}  // namespace cowlwright::network
