// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study of two variants, no lip against a lip bent far out, through the real OpenFOAM on the draft grid.
// One run, many questions; and one more solve, which the quick estimate has not seen.
#include "cases/network/model.h"
#include "cases/network/solved_cases.h"
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iostream>
#include <map>
#include <memory>
#include <sstream>

namespace {

using namespace cowlwright::testing_support;
using nlohmann::json;
using testing::AllOf;
using testing::HasSubstr;

namespace fs = std::filesystem;

constexpr int iterations = 220;
constexpr int window = 70;
constexpr const char* both_shapes =
    "mode = \"paired\"\n"
    "\"exit.lip_length\" = [\"0 mm\", \"80 mm\"]\n"
    "\"exit.lip_angle\" = [\"0 deg\", \"45 deg\"]\n";
/// The first shape, slower and at less power: nothing of it goes into the coefficients.
constexpr const char* held_out =
    "mode = \"paired\"\n"
    "\"exit.lip_length\" = [\"0 mm\"]\n"
    "\"flight.true_airspeed\" = [\"80 kt\"]\n"
    "\"engine.shaft_power\" = [\"60 kW\"]\n";

/// What the network says with the coefficients of a solved_flow.json.
cowlwright::network::State estimated(const cowlwright::VariantSpec& spec,
                                     const cowlwright::base::SolvedFlow& flow,
                                     cowlwright::network::Coefficients* used = nullptr) {
  const cowlwright::network::Coefficients coefficients =
      cowlwright::network::SolvedCases(flow).put_into(cowlwright::network::default_coefficients(spec), spec);
  if (used != nullptr) *used = coefficients;
  return cowlwright::network::Model(spec, coefficients).solve(cowlwright::network::stated_condition(spec));
}

/// Quantity of results.json -> the network's value of it.
std::map<std::string, double> reported(const cowlwright::network::State& state,
                                       const cowlwright::network::Coefficients& coefficients) {
  std::map<std::string, double> values{
      {"deck_pressure_difference", state.deck_pressure_difference()},
      {"inlet_mass_flow_left", state.inlets[0].mass_flow},
      {"inlet_mass_flow_right", state.inlets[1].mass_flow},
      {"exit_mass_flow", state.exit_mass_flow},
      {"temperature_rise", state.exit_temperature - state.inlet_temperature}};
  for (std::size_t i = 0; i < state.passages.size(); ++i) {
    values["core_mass_flow_core_" + coefficients.passages[i].name] = state.passages[i].mass_flow;
  }
  return values;
}

class SolvedStudy : public OpenFoamTest {
 protected:
  static void SetUpTestSuite() {
    if (!why_openfoam_does_not_run().empty()) return;
    folder_ = std::make_unique<ScratchFolder>();
    folder_->write("lip.toml", draft_study(iterations, window, both_shapes));
    first_run_ = run_program({program("cowlwright"), "run", "lip.toml"}, folder_->path());
    results_ = read_results(study());
  }
  static void TearDownTestSuite() { folder_.reset(); }

  void SetUp() override {
    OpenFoamTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_TRUE(results_.contains("variants")) << first_run_.output;
    ASSERT_EQ(results_["variants"].size(), 2U);
  }

  static fs::path study() { return folder_->path() / "lip-study"; }
  static fs::path case_dir(std::size_t index) {
    return study() / results_["variants"][index]["case"].get<std::string>();
  }
  static double value(std::size_t index, const std::string& id) {
    return quantity_value(results_["variants"][index], id);
  }

  /// Mean of a monitor's second column over the published window, read here by the test itself.
  static double monitor_mean(std::size_t index, const std::string& function_object) {
    std::ifstream table(case_dir(index) / "postProcessing" / function_object / "0" / "surfaceFieldValue.dat");
    const json& published = results_["variants"][index]["window"];
    const double first = published["first_iteration"];
    double sum = 0.0;
    int n_rows = 0;
    for (std::string line; std::getline(table, line);) {
      std::istringstream row(line);
      double iteration = 0.0;
      double flow = 0.0;
      if (!(row >> iteration >> flow) || iteration < first) continue;
      sum += flow;
      ++n_rows;
    }
    EXPECT_EQ(n_rows, published["samples"]) << function_object;
    EXPECT_EQ(published["last_iteration"], iterations);
    EXPECT_GE(n_rows, window / 2) << function_object;  // whole periods of a swing, nearest to the window
    return sum / n_rows;
  }

  static cowlwright::base::SolvedFlow handed_over() {
    return cowlwright::base::read_solved_flow(study() / cowlwright::base::solved_flow_file_name);
  }

  static inline std::unique_ptr<ScratchFolder> folder_;
  static inline ProgramRun first_run_;
  static inline json results_;
};

TEST_F(SolvedStudy, EndsWithExitCodeZeroAndShowsTheTable) {
  EXPECT_EQ(first_run_.exit_code, 0) << first_run_.output;
  EXPECT_THAT(first_run_.output, AllOf(HasSubstr("deck pressure difference"), HasSubstr("solve [s]")));
}

TEST_F(SolvedStudy, MeshesPassCheckMesh) {
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_THAT(text_of(case_dir(i) / "log.check"), HasSubstr("Mesh OK."));
  }
}

TEST_F(SolvedStudy, NoVariantFailed) {
  for (const json& variant : results_["variants"])
    EXPECT_NE(variant["status"], "failed") << variant["status_reason"];
}

TEST_F(SolvedStudy, AirThatEntersLeaves) {
  for (std::size_t i = 0; i < 2; ++i) {
    const double in = monitor_mean(i, "flow_inlet_left") + monitor_mean(i, "flow_inlet_right");
    const double out = monitor_mean(i, "flow_exit");
    EXPECT_GT(in, 0.0);
    // 1 % is the tolerance the study's own rows are judged by ([grid] closure_tolerance).
    EXPECT_NEAR((in - out) / in, 0.0, 0.01);
    const json& balances = results_["variants"][i]["balances"];
    const auto closure = std::find_if(
        balances.begin(), balances.end(), [](const json& b) { return b["id"] == "continuity_closure"; });
    ASSERT_NE(closure, balances.end());
    EXPECT_FALSE((*closure)["exceeded"]);
  }
}

TEST_F(SolvedStudy, TheTableAgreesWithTheSolversMonitors) {
  for (std::size_t i = 0; i < 2; ++i) {
    // Both are means of the same numbers; the solver prints them with 12 digits. 1e-6 as the project
    // promises.
    const double left = monitor_mean(i, "flow_inlet_left");
    const double exit = monitor_mean(i, "flow_exit");
    EXPECT_NEAR(value(i, "inlet_mass_flow_left"), left, 1e-6 * std::abs(left));
    EXPECT_NEAR(value(i, "exit_mass_flow"), exit, 1e-6 * std::abs(exit));
    const json& check = results_["variants"][i]["checks"]["face_flux_against_monitor"];
    ASSERT_TRUE(check.is_object());
    EXPECT_LE(check["relative_difference"].get<double>(), 1e-6);
  }
}

TEST_F(SolvedStudy, ALipBentOutPullsMoreAirThanNoLip) {
  EXPECT_GT(value(1, "exit_mass_flow"), value(0, "exit_mass_flow"));
  EXPECT_GT(value(1, "deck_pressure_difference"), value(0, "deck_pressure_difference"));
}

TEST_F(SolvedStudy, TheDeckPressureDifferenceIsBetweenNothingAndWhatFlightAndPropellerOffer) {
  for (std::size_t i = 0; i < 2; ++i) {
    const double share = value(i, "deck_pressure_difference_of_q");
    // Ram pressure gives at most q, the propeller T/A = 1181 N / 2.44 m2 = 484 Pa = 0.3 q more, and a lip a
    // suction of less than 1 q (base pressure behind a bluff edge, common practice, no source).
    EXPECT_GT(share, 0.0);
    EXPECT_LT(share, 2.3);
  }
}

// A flat plate of 1 m at 54 m/s has a friction speed near 2 m/s; half a cell of the skin, 5 to 40 mm, is then
// 600 to 5000 wall units, less in the slow air of corners: the order is what is checked, and that the solver
// told it.
TEST_F(SolvedStudy, CellsAtTheSkinLieWhereWallFunctionsHold) {
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_GT(value(i, "y_plus_mean_cowl"), 30.0);
    EXPECT_LT(value(i, "y_plus_mean_cowl"), 5000.0);
    EXPECT_LE(value(i, "y_plus_smallest_exit"), value(i, "y_plus_mean_exit"));
    EXPECT_LE(value(i, "y_plus_mean_inlet_rings"), value(i, "y_plus_largest_inlet_rings"));
  }
}

TEST_F(SolvedStudy, TablesOnDiskCarryUnitsAndCautions) {
  const std::string csv = text_of(study() / "summary.csv");
  EXPECT_THAT(csv, AllOf(HasSubstr("[kg/s]"), HasSubstr("[Pa]")));
  EXPECT_THAT(text_of(study() / "summary.md"), HasSubstr("flight-test"));
}

TEST_F(SolvedStudy, ThePageHoldsTheResultsAndEveryPictureOfEveryVariant) {
  const std::string page = text_of(study() / "report.html");
  const auto element = [&page](const std::string& id) {
    const std::size_t from = page.find(">", page.find("id=\"" + id + "\"")) + 1;
    return nlohmann::json::parse(page.substr(from, page.find("</script>", from) - from));
  };
  EXPECT_EQ(element("results")["variants"], results_["variants"]);
  const nlohmann::json pictures = element("pictures");
  ASSERT_EQ(pictures.size(), 2U);
  for (const auto& variant : pictures) {
    EXPECT_EQ(variant["views"].size(), 10U);
    EXPECT_TRUE(variant["missing"].empty()) << variant["missing"];
    EXPECT_TRUE(fs::exists(study() / "pictures" / variant["variant"].get<std::string>() /
                           "streamlines_temperature.png"));
  }
  EXPECT_EQ(element("scenes").size(), 2U);
  EXPECT_LT(page.size(), 2U * 15'000'000U / 8U + 2'000'000U);  // 15 MB for eight variants, the bundle aside
}

TEST_F(SolvedStudy, KeepsTheStudyFileBesideTheCasesAndInTheResults) {
  EXPECT_EQ(text_of(study() / "lip.toml"), text_of(folder_->path() / "lip.toml"));
  EXPECT_EQ(results_["study_text"], text_of(folder_->path() / "lip.toml"));
}

TEST_F(SolvedStudy, ASecondRunSolvesNothingAgainAndComesToTheSameResult) {
  const auto solved_at = fs::last_write_time(case_dir(0) / "log.solve");
  const ProgramRun second =
      run_program({program("cowlwright"), "run", "--tables-only", "lip.toml"}, folder_->path());
  EXPECT_EQ(second.exit_code, 0) << second.output;
  EXPECT_THAT(second.output, HasSubstr("all done before"));
  EXPECT_EQ(fs::last_write_time(case_dir(0) / "log.solve"), solved_at);
  EXPECT_EQ(read_results(study())["variants"], results_["variants"]);
}

// 3 %: flows and deck pressures of the file are means over a window, planes and survey discs of the last
// iteration.
TEST_F(SolvedStudy, TheQuickEstimateGivesBackTheCasesItsCoefficientsAreFrom) {
  const cowlwright::base::SolvedFlow flow = handed_over();
  ASSERT_EQ(flow.cases.size(), 2U) << first_run_.output;
  const auto variants = cowlwright::parse_study(flow.study_text, "lip.toml").variants;
  for (std::size_t i = 0; i < 2; ++i) {
    cowlwright::network::Coefficients used;
    const auto state = estimated(variants[i], flow, &used);
    for (const auto& [id, computed] : reported(state, used)) {
      const double solved = value(i, id);
      std::cout << flow.cases[i].folder << " " << id << ": solved " << solved << ", estimated " << computed
                << "\n";
      EXPECT_NEAR(computed / solved, 1.0, 0.03) << flow.cases[i].folder << " " << id;
    }
    EXPECT_THAT(used.exit.pressure.source,
                HasSubstr("from CFD: case " + flow.cases[i].folder + ", draft grid"));
  }
}

// The two cases were solved at 105 kt and 75 kW. Held out: 80 kt and 60 kW. On the same installation at 3 deg
// of incidence, settled, deck difference, exit, cores and rise were met within 0.5 %, the inlets' flows
// within 8.6 % left and 5.2 % right, because swirl over flight speed changes with power (DEVELOPERS.md). Here
// all three are stopped at 220 iterations, before they settle: the deck difference was met within 4.7 %,
// flows of the whole within 1.3 %. So 8 % for the whole, 12 % for the split between the inlets.
TEST_F(SolvedStudy, TheQuickEstimateForeseesASpeedAndPowerItHasNotSeen) {
  folder_->write("held_out.toml", draft_study(iterations, window, held_out));
  const ProgramRun run =
      run_program({program("cowlwright"), "run", "--tables-only", "held_out.toml"}, folder_->path());
  ASSERT_EQ(run.exit_code, 0) << run.output;
  const json solved = read_results(folder_->path() / "held_out-study")["variants"].at(0);
  const auto spec = cowlwright::parse_study(text_of(folder_->path() / "held_out.toml"), "held_out.toml");
  cowlwright::network::Coefficients used;
  const auto state = estimated(spec.variants.front(), handed_over(), &used);
  for (const auto& [id, computed] : reported(state, used)) {
    const double found = quantity_value(solved, id);
    std::cout << "held out " << id << ": solved " << found << ", estimated " << computed << "\n";
    EXPECT_NEAR(computed / found, 1.0, id.starts_with("inlet_") ? 0.12 : 0.08) << id;
  }
}
}  // namespace
