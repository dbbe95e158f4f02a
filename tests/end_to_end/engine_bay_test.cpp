// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whatever decides whether a real engine cools, each against a plain bay of the same cowl: leaks, oil cooler,
// unequal cylinders, split deck, exit bodies, side plates, alternator, diffusers. Draft grid, one run.
#include "tests/end_to_end/study_test.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <array>
#include <cmath>
#include <string>
#include <vector>

namespace {

using namespace cowlwright::testing_support;
using nlohmann::json;

enum Variant : std::size_t { Plain, Equipped, SplitDeck, ExitBodies, Lip, SidePlates, Alternator, Diffuser };
constexpr std::size_t n_variants = 8;

/// One line of [vary]: everybody has `usual`, some variants have another value.
std::string vary(const std::string& key,
                 const std::string& usual,
                 const std::vector<std::pair<Variant, std::string>>& others) {
  std::array<std::string, n_variants> values;
  values.fill(usual);
  for (const auto& [variant, value] : others) values.at(variant) = value;
  std::string line = "\"" + key + "\" = [";
  for (const std::string& value : values) line += value + ", ";
  return line + "]\n";
}

constexpr double cooler_flow = 0.10;       // of the law's point [kg/s]
constexpr double cooler_drop = 1200.0;     // sigma*dp there [Pa]
constexpr double cooler_heat = 6.0;        // [kW]
constexpr double cooler_exponent = 1.8;    //
constexpr double open_cylinder = 1.25;     // flow of cylinder l1 over the others' at the same pressure drop
constexpr double cp = 1004.7;              // of air [J/(kg K)], ISO 2533's gas constant and 7/2
constexpr double free_temperature = 20.0;  // starter study [degC]

std::string bay_study() {
  const auto quoted = [](const std::string& text) { return "\"" + text + "\""; };
  return "mode = \"paired\"\n" +
         vary("leaks.cowl_seal_left", quoted("0 cm2"), {{Equipped, quoted("6 cm2")}}) +
         vary("leaks.rear_baffle_right", quoted("0 cm2"), {{Equipped, quoted("4 cm2")}}) +
         vary("leaks.crankcase_nose", quoted("0 cm2"), {{Equipped, quoted("3 cm2")}}) +
         vary("leaks.between_cylinders_right", quoted("0 cm2"), {{Equipped, quoted("3 cm2")}}) +
         vary("leaks.centre_wall", quoted("0 cm2"), {{SplitDeck, quoted("6 cm2")}}) +
         vary("engine.core_gap", quoted("30 mm"), {{Equipped, quoted("52 mm")}}) +
         vary("engine.head_width", quoted("0 mm"), {{Equipped, quoted("110 mm")}}) +
         vary("cylinder_l1.core_mass_flow", quoted("0.16 kg/s"), {{Equipped, quoted("0.20 kg/s")}}) +
         vary("cylinder_l1.core_pressure_drop", quoted("1200 Pa"), {}) +
         vary("cylinder_l1.core_exponent", "1.85", {}) +
         vary("plenum.rear_baffle_clearance", quoted("50 mm"), {{Equipped, quoted("80 mm")}}) +
         vary("plenum.kind", quoted("shared"), {{SplitDeck, quoted("split")}}) +
         vary("oil_cooler.place", quoted("none"), {{Equipped, quoted("rear")}}) +
         vary("oil_cooler.mass_flow", quoted("0.10 kg/s"), {}) +
         vary("oil_cooler.pressure_drop", quoted("1200 Pa"), {}) + vary("oil_cooler.exponent", "1.8", {}) +
         vary("oil_cooler.heat", quoted("6 kW"), {}) +
         vary("exit.strut_diameter", quoted("0 mm"), {{ExitBodies, quoted("40 mm")}}) +
         vary("exit.exhaust_diameter", quoted("0 mm"), {{ExitBodies, quoted("40 mm")}}) +
         vary("exit.lip_angle", quoted("0 deg"), {{Lip, quoted("45 deg")}, {SidePlates, quoted("45 deg")}}) +
         vary("exit.side_plates", "false", {{SidePlates, "true"}}) +
         vary("alternator.side", quoted("none"), {{Alternator, quoted("left")}}) +
         vary("inlets.diffuser_length", quoted("0 mm"), {{Diffuser, quoted("120 mm")}}) +
         vary("inlets.diffuser_area_ratio", "1.5", {});
}

class EngineBay : public StudyTest {
 protected:
  EngineBay() : StudyTest(n_variants) {}

  static void SetUpTestSuite() { run_study(draft_study(120, 40, bay_study(), 1)); }

  static double change(Variant variant, Variant baseline, const std::string& id) {
    return value(variant, id) / value(baseline, id) - 1.0;
  }
};

TEST_F(EngineBay, EveryVariantIsSolvedAndItsAirAndHeatAreAccountedFor) {
  for (const json& variant : results_["variants"]) {
    EXPECT_NE(variant["status"], "failed") << variant["name"] << ": " << variant["status_reason"];
    // 1 % and 3 %: what a study's own rows are judged by, [grid] closure_tolerance, and energy_tolerance with
    // what 120 iterations leave.
    EXPECT_NEAR(quantity_value(variant, "continuity_closure"), 0.0, 1.0) << variant["name"];
    EXPECT_NEAR(quantity_value(variant, "core_closure"), 0.0, 1.0) << variant["name"];
    EXPECT_NEAR(quantity_value(variant, "energy_closure"), 0.0, 3.0) << variant["name"];
  }
}

// m = Cd A sqrt(2 rho dp) with the stated effective areas.
TEST_F(EngineBay, LeaksPassWhatTheirEffectiveAreaSays) {
  for (const std::string leak :
       {"cowl_seal_left", "rear_baffle_right", "crankcase_nose", "between_cylinders_right"}) {
    // 10 %: the pressure at the mouth is not the deck's mean, and the tunnel is two or three draft cells
    // wide.
    EXPECT_NEAR(value(Equipped, "leak_flow_ratio_" + leak), 1.0, 0.10) << leak;
  }
  const double difference = value(Equipped, "deck_pressure_difference");
  // By hand for the whole of 16 cm2: rho of the starter's free stream is 1.088 kg/m3.
  EXPECT_NEAR(value(Equipped, "leak_mass_flow_all"), 16e-4 * std::sqrt(2.0 * 1.088 * difference), 0.008);
}

TEST_F(EngineBay, LeaksAndCoolerTakeAirAndPressureFromTheCores) {
  EXPECT_LT(value(Equipped, "deck_pressure_difference"), value(Plain, "deck_pressure_difference"));
  EXPECT_GT(value(Equipped, "inlet_mass_flow"), value(Plain, "inlet_mass_flow"));
}

TEST_F(EngineBay, TheOilCoolerPassesWhatItsLawSaysAndWarmsItsAirByItsHeat) {
  const double flow = value(Equipped, "cooler_mass_flow");
  const double rise = value(Equipped, "cooler_temperature_rise");
  // The law stands for the density it works at: in the middle the air has half its rise.
  const double density = 1.088 * (273.15 + free_temperature) / (273.15 + free_temperature + 0.5 * rise);
  const double sigma_drop = density / 1.225 * value(Equipped, "deck_pressure_difference");
  // 15 %: entry, exit and the chamber behind the cooler take their part of the difference between the decks.
  EXPECT_NEAR(flow / (cooler_flow * std::pow(sigma_drop / cooler_drop, 1.0 / cooler_exponent)), 1.0, 0.15);
  EXPECT_NEAR(value(Equipped, "heat_closure_oil_cooler"), 0.0, 3.0);  // as above
  // The rise is of the last iteration, the flow a mean over 40: 6 % more.
  EXPECT_NEAR(rise * flow * cp / (1e3 * cooler_heat), 1.0, 0.06);
}

TEST_F(EngineBay, AMoreOpenCylinderPassesMoreAndItsAirLeavesCooler) {
  const double flow = value(Equipped, "cylinder_mass_flow_l1");
  // 5 %: the decks are not at one pressure over all cylinders (spread of the plain bay: 2 %).
  EXPECT_NEAR(flow / value(Equipped, "cylinder_mass_flow_r1"), open_cylinder, 0.05 * open_cylinder);
  const double rise = 0.25 * 37.5e3 / (flow * cp);  // a quarter of half of 75 kW
  // The air also brings its speed to rest: V²/2cp = 1.5 K, less where the propeller has warmed it.
  EXPECT_NEAR(value(Equipped, "cylinder_outlet_temperature_l1"), free_temperature + rise + 1.5, 0.06 * rise);
  EXPECT_LT(value(Equipped, "cylinder_outlet_temperature_l1"),
            value(Equipped, "cylinder_outlet_temperature_r1"));
}

TEST_F(EngineBay, ALeakInTheCentreWallFlowsFromTheFullerHalf) {
  const double difference =
      value(SplitDeck, "deck_pressure_difference_right") - value(SplitDeck, "deck_pressure_difference_left");
  const double flow = value(SplitDeck, "leak_mass_flow_centre_wall");
  EXPECT_GT(std::abs(difference), 0.0);
  // Its positive sense is to the right.
  EXPECT_LT(flow * difference, 0.0);
}

TEST_F(EngineBay, ASplitDeckLeavesTheCylindersLessAlike) {
  EXPECT_GT(value(SplitDeck, "core_mass_flow_spread"), value(Plain, "core_mass_flow_spread"));
}

// A strut of 40 mm (7.5 %) and two pipes of 40 mm (6.3 %) stand in 75 mm by 530 mm: 14 % of the exit's area.
TEST_F(EngineBay, StrutAndPipesInTheExitChokeIt) {
  EXPECT_LT(change(ExitBodies, Plain, "exit_mass_flow"), 0.0);
  EXPECT_GT(value(ExitBodies, "lower_deck_pressure"), value(Plain, "lower_deck_pressure"));
  // By hand: cores and exit in series, the exit's part of the whole drop below a third, so 14 % less area
  // costs less than 14 % of the flow.
  EXPECT_GT(change(ExitBodies, Plain, "exit_mass_flow"), -0.14);
}

TEST_F(EngineBay, ALipBentDownPullsMoreAirWithAndWithoutSidePlates) {
  EXPECT_GT(change(Lip, Plain, "exit_mass_flow"), 0.0);
  EXPECT_GT(change(SidePlates, Plain, "exit_mass_flow"), 0.0);
}

// A widening duct turns speed into pressure; at this flow the throat's dynamic pressure is a fifth of q.
TEST_F(EngineBay, DiffusersRaiseTheRecovery) {
  EXPECT_GT(value(Diffuser, "inlet_recovery_left") + value(Diffuser, "inlet_recovery_right"),
            value(Plain, "inlet_recovery_left") + value(Plain, "inlet_recovery_right"));
}

// Common practice, no source: an alternator behind an inlet does not measurably impede the cooling. Here,
// close behind its inlet, it costs that inlet a tenth of its air and the deck 3 %, which the other inlet
// makes good but for 1 % of the flow.
TEST_F(EngineBay, AnAlternatorBehindAnInletCostsLittle) {
  EXPECT_LT(value(Alternator, "inlet_mass_flow_left"), value(Plain, "inlet_mass_flow_left"));
  EXPECT_NEAR(change(Alternator, Plain, "deck_pressure_difference"), 0.0, 0.05);
  EXPECT_NEAR(change(Alternator, Plain, "exit_mass_flow"), 0.0, 0.03);
}

}  // namespace
