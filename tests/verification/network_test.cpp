// SPDX-License-Identifier: GPL-3.0-or-later
//
// The lumped network where a hand calculation or a published figure says what it must give.
#include "cases/network/handbook.h"
#include "cases/network/model.h"
#include "cases/starter.h"
#include "tests/support/validation.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace cowlwright::network {
namespace {

using testing_support::ValidationCheck;

constexpr double density = 1.2;
constexpr double temperature = 300.0;
constexpr double gas_constant = 287.05287;
constexpr double specific_heat = 1004.685;  // 3.5 R
constexpr double speed = 50.0;
constexpr double q = 0.5 * density * speed * speed;

/// The starter's installation without its propeller.
VariantSpec bare_spec() {
  VariantSpec spec = parse_study(starter_study_text(), "starter.toml").variants.front();
  spec.propeller.present = false;
  return spec;
}

Condition condition() {
  Condition condition;
  condition.true_airspeed = speed;
  condition.air = {density * gas_constant * temperature, temperature, density};
  condition.shaft_power = 100e3;
  return condition;
}

/// Two inlets of 0.01 m² that lose one dynamic pressure, one cold quadratic passage, an exit of 0.02 m².
Coefficients simple() {
  Coefficients c;
  for (InletCoefficients& inlet : c.inlets) {
    inlet.area = 0.01;
    inlet.deck_loss.value = 1.0;
  }
  PassageCoefficients core;
  core.name = "l1";
  core.area = 0.05;
  core.inertial = 20.0;
  core.resistance.value = 1.0;
  c.passages.push_back(core);
  c.exit.area = 0.02;
  c.exit.discharge.value = 0.8;
  return c;
}

/// Total temperature, as the air in the decks has it.
double total_temperature() {
  return temperature + q / (density * specific_heat);
}

State solved(const Coefficients& coefficients, const Condition& at = condition()) {
  return Model(bare_spec(), coefficients).solve(at);
}

TEST(NetworkByHand, ColdDuctsAndLeaks) {
  ValidationCheck check({.id = "network.cold_ducts",
                         .group = "Lumped network",
                         .title = "Flow through resistances in a row, side by side, and through a leak",
                         .source = "closed form: q = Σ ΔP, each ΔP = ζ m²/(2ρA²) of its own density",
                         .condition = "no heat, no propeller, 50 m/s, 1.2 kg/m³",
                         .unit = "kg/s",
                         .reason = "rounding of the solve, 1e-10 of the flow"});
  const double warm = density * temperature / total_temperature();  // density behind the inlets
  const auto by_hand = [&](double inlet_area, double core_factor) {
    const double inlet = 1.0 / (2.0 * density * inlet_area * inlet_area);
    const double exit = 1.0 / (2.0 * warm * 0.016 * 0.016);
    return std::sqrt(q / (inlet + core_factor + exit));
  };
  const double core = 20.0 / (warm * 0.05 * 0.05);
  Coefficients both = simple();
  Coefficients single = simple();
  single.inlets[1].area = 1e-12;
  check.expect_near("one inlet", solved(single).exit_mass_flow, by_hand(0.01, core), 1e-9);
  check.expect_near("two inlets", solved(both).exit_mass_flow, by_hand(0.02, core), 1e-9);

  Coefficients leak = simple();
  leak.passages.front().kind = base::PassageKind::Leak;
  leak.passages.front().effective_area = 0.004;
  check.expect_near(
      "orifice alone", solved(leak).exit_mass_flow, by_hand(0.02, 1.0 / (2.0 * warm * 0.004 * 0.004)), 1e-9);

  Coefficients beside = simple();
  beside.passages.push_back(leak.passages.front());
  const double conductance = 1.0 / std::sqrt(core) + std::sqrt(2.0 * warm) * 0.004;
  check.expect_near("orifice beside the core",
                    solved(beside).exit_mass_flow,
                    by_hand(0.02, 1.0 / (conductance * conductance)),
                    1e-9);
}

TEST(NetworkByHand, HeatedExit) {
  ValidationCheck check(
      {.id = "network.heated_exit",
       .group = "Lumped network",
       .title = "Flow when the air that leaves is hot",
       .source = "closed form: a short orifice between the decks, exit m² T = 2 p (Cd A)² Δp / R with "
                 "m T = m T_0 + Q/c_p; solved here by halving",
       .condition = "heat of 40 kW in a passage of next to no resistance, 50 m/s, 1.2 kg/m³",
       .unit = "kg/s",
       .reason = "the passage's own resistance, 1e-6 of the whole"});
  Coefficients c = simple();
  c.passages.front().inertial = 1e-6;
  c.passages.front().stated_heat = 40e3;
  const double pressure = density * gas_constant * temperature;
  double low = 0.0, high = 10.0;
  for (int i = 0; i < 200; ++i) {
    const double m = 0.5 * (low + high);
    const double hot = total_temperature() + 40e3 / (specific_heat * m);
    const double lost =
        m * m / (2.0 * density * 0.02 * 0.02) + m * m * gas_constant * hot / (2.0 * pressure * 0.016 * 0.016);
    (lost < q ? low : high) = m;
  }
  const State state = solved(c);
  check.expect_near("flow", state.exit_mass_flow, low, 1e-5);
  EXPECT_NEAR(state.exit_temperature, total_temperature() + 40e3 / (specific_heat * low), 1e-2);
}

TEST(NetworkByHand, ThorpsSizes) {
  ValidationCheck check(
      {.id = "network.thorp_1963",
       .group = "Lumped network",
       .title = "Speed between the fins and inlet sizes of a lecture for builders",
       .source = "J. W. Thorp, Cowling and Cooling of Light Aircraft Engines, lecture of 13 April 1963: "
                 "20 ft³/min per hp through 0.325 in² per hp, about 100 mph; 32.5 in² of inlet for "
                 "100 hp at 100 mph",
       .condition = "100 hp at sea level",
       .unit = "mph, or ft³/min per hp",
       .reason = "plausibility: a lecture's round numbers; the flow within a factor of about two"});
  constexpr double square_inch = 0.0254 * 0.0254, mph = 0.44704, cubic_foot_per_minute = 4.719474432e-4;
  Coefficients c = simple();
  for (InletCoefficients& inlet : c.inlets) inlet.area = 0.5 * 32.5 * square_inch;
  c.passages.front().area = 32.5 * square_inch;
  // One dynamic pressure between the fins: what the lecture's 100 mph would take.
  c.passages.front().inertial = 0.5;
  c.exit.area = 32.5 * square_inch;
  Condition at = condition();
  at.air = {101325.0, 288.15, 1.225};
  at.true_airspeed = 100.0 * mph;
  const State state = solved(c, at);
  const double volume = state.exit_mass_flow / 1.225;
  check.expect_between("fins", volume / (32.5 * square_inch) / mph, 40.0, 100.0);
  check.expect_between("volume per hp", volume / cubic_foot_per_minute / 100.0, 8.0, 20.0);
}

TEST(NetworkByHand, HandbookAtItsNodes) {
  ValidationCheck check({.id = "network.idelchik_3_4",
                         .group = "Lumped network",
                         .title = "Entrance loss taken for an inlet in still air",
                         .source =
                             "Idelchik, Handbook of Hydraulic Resistance, 3rd ed. 1994, diagram 3-4 a and b "
                             "(second-hand)",
                         .condition = "table look-up",
                         .unit = "dynamic pressures of the throat",
                         .reason = "exact at the nodes"});
  const std::vector<std::vector<double>> rows{{0.00, 1.00, 0.50},
                                              {0.01, 0.87, 0.44},
                                              {0.02, 0.74, 0.37},
                                              {0.03, 0.61, 0.31},
                                              {0.04, 0.51, 0.26},
                                              {0.05, 0.40, 0.22},
                                              {0.06, 0.32, 0.20},
                                              {0.08, 0.20, 0.15},
                                              {0.10, 0.15, 0.12},
                                              {0.12, 0.10, 0.09},
                                              {0.16, 0.06, 0.06},
                                              {0.20, 0.03, 0.03}};
  for (const auto& row : rows) {
    check.expect_near(
        "proud, r/D " + std::to_string(row[0]).substr(0, 4), proud_entrance_loss(row[0]), row[1], 1e-12);
    check.expect_near(
        "flush, r/D " + std::to_string(row[0]).substr(0, 4), flush_entrance_loss(row[0]), row[2], 1e-12);
  }
}

TEST(NetworkLimits, SealedSplitAndMonotone) {
  ValidationCheck check(
      {.id = "network.limits",
       .group = "Lumped network",
       .title = "What must vanish, and what must get worse",
       .source = "physics: no exit no flow; sharper inlets, larger leaks, less exit and hotter air give "
                 "the cylinders less",
       .condition = "50 m/s, 1.2 kg/m³, 40 kW unless said",
       .unit = "kg/s",
       .reason = "signs only; next to nothing is 1e-6"});
  Coefficients base = simple();
  base.passages.front().stated_heat = 40e3;
  base.passages.push_back(base.passages.front());
  base.passages.back().kind = base::PassageKind::Leak;
  base.passages.back().stated_heat = 0.0;
  base.passages.back().effective_area = 1e-3;
  const auto core_flow = [](const Coefficients& c, const Condition& at = condition()) {
    return solved(c, at).passages.front().mass_flow;
  };
  Coefficients other = base;
  other.exit.area = 0.0;
  check.expect_near("sealed exit", solved(other).exit_mass_flow, 0.0, 1e-6);
  double before = 0.0;
  for (const double area : {0.002, 0.005, 0.01, 0.02, 0.05}) {
    other.exit.area = area;
    check.expect_above("more exit, " + std::to_string(area).substr(0, 5) + " m²", core_flow(other), before);
    before = core_flow(other);
  }
  other = base;
  for (InletCoefficients& inlet : other.inlets) inlet.still_loss.value = 0.5;
  Condition climb = condition();
  climb.incidence = 0.15;
  check.expect_below("sharp inlets at incidence", core_flow(other, climb), core_flow(base, climb));
  other = base;
  other.passages.back().effective_area = 5e-3;
  check.expect_below("larger leak", core_flow(other), core_flow(base));
  other = base;
  other.passages.front().stated_heat = 80e3;
  check.expect_below("hotter air", core_flow(other), core_flow(base));
}

TEST(NetworkLimits, WithoutSwirlBothSidesAreAlike) {
  VariantSpec spec = parse_study(starter_study_text(), "starter.toml").variants.front();
  const State straight = Model(spec, default_coefficients(spec)).solve(stated_condition(spec));
  EXPECT_NEAR(straight.inlets[0].mass_flow, straight.inlets[1].mass_flow, 1e-12);
  spec.flight.incidence = 0.15;  // clockwise: the blade goes down on the right
  const State climbing = Model(spec, default_coefficients(spec)).solve(stated_condition(spec));
  EXPECT_GT(climbing.inlets[1].total_pressure_ahead, climbing.inlets[0].total_pressure_ahead);
  EXPECT_GT(climbing.inlets[1].mass_flow, climbing.inlets[0].mass_flow);
}

}  // namespace
}  // namespace cowlwright::network
