// SPDX-License-Identifier: GPL-3.0-or-later
//
// Full power at standstill, where engines overheat: only the propeller moves the air. Draft grid, one run.
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <memory>

namespace {

using namespace cowlwright::testing_support;
using nlohmann::json;

class GroundRun : public OpenFoamTest {
 protected:
  static void SetUpTestSuite() {
    if (!why_openfoam_does_not_run().empty()) return;
    folder_ = std::make_unique<ScratchFolder>();
    folder_->write("ground.toml", draft_study(250, 60, "\"flight.true_airspeed\" = [\"0 kt\"]\n"));
    output_ = run_program({program("cowlwright"), "run", "ground.toml"}, folder_->path()).output;
    results_ = read_results(folder_->path() / "ground-study");
  }
  static void TearDownTestSuite() { folder_.reset(); }

  void SetUp() override {
    OpenFoamTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_TRUE(results_.contains("variants")) << output_;
    ASSERT_EQ(results_["variants"].size(), 1U) << output_;
    ASSERT_NE(results_["variants"][0]["status"], "failed") << results_["variants"][0]["status_reason"];
  }

  static const json& quantities() { return results_["variants"][0]["quantities"]; }
  static double value(const std::string& id) { return quantity_value(results_["variants"][0], id); }

 private:
  static inline std::unique_ptr<ScratchFolder> folder_;
  static inline std::string output_;
  static inline json results_;
};

TEST_F(GroundRun, AirAndHeatAreAccountedFor) {
  EXPECT_NEAR(value("continuity_closure"), 0.0, 1.0);  // %; [grid] closure_tolerance
  EXPECT_NEAR(value("energy_closure"), 0.0, 3.0);      // %; energy_tolerance and what 250 iterations leave
}

TEST_F(GroundRun, ThePropellerAlonePushesAirThroughTheCylinders) {
  EXPECT_GT(value("exit_mass_flow"), 0.0);
  const double share = value("deck_pressure_difference_of_loading");
  // Momentum theory: the slipstream's total pressure is the disk loading above the still air's. A deck cannot
  // get more than that from the mean of it; the blades' outer half, before the inlets, carries up to twice
  // the mean.
  EXPECT_GT(share, 0.1);
  EXPECT_LT(share, 2.0);
}

// Q = m cp dT by hand: half of 75 kW. 10 %: the rise is of the last iteration, the flow, which still changes
// at rest, a mean over 60; the same at one iteration is the energy closure above.
TEST_F(GroundRun, TheAirTakesTheHeatAway) {
  EXPECT_NEAR(value("temperature_rise") * value("exit_mass_flow") * 1004.7, 37.5e3, 0.10 * 37.5e3);
}

TEST_F(GroundRun, ThrustAndTorqueStayNearTheBladeElementSolveAtRest) {
  EXPECT_NEAR(value("propeller_thrust_deviation"), 0.0, 15.0);  // %; the cowl slows the inflow
  EXPECT_NEAR(value("propeller_torque_deviation"), 0.0, 15.0);
}

TEST_F(GroundRun, WhatNeedsAnAirspeedIsLeftOut) {
  for (const json& quantity : quantities()) {
    EXPECT_NE(quantity["id"], "deck_pressure_difference_of_q");
    EXPECT_NE(quantity["id"], "inlet_velocity_ratio_left");
    EXPECT_NE(quantity["id"], "propeller_efficiency");
    EXPECT_TRUE(quantity["value"].is_number()) << quantity["id"];
  }
}

}  // namespace
