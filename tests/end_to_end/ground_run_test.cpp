// SPDX-License-Identifier: GPL-3.0-or-later
//
// Full power at standstill, where engines overheat: only the propeller moves the air. Draft grid, one run.
#include "tests/end_to_end/study_test.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

namespace {

using namespace cowlwright::testing_support;
using nlohmann::json;

class GroundRun : public StudyTest {
 protected:
  GroundRun() : StudyTest(1) {}

  static void SetUpTestSuite() { run_study(draft_study(250, 60, "\"flight.true_airspeed\" = [\"0 kt\"]\n")); }

  void SetUp() override {
    StudyTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_NE(variant(0)["status"], "failed") << variant(0)["status_reason"];
  }

  static double value(const std::string& id) { return StudyTest::value(0, id); }
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
  for (const json& quantity : variant(0)["quantities"]) {
    EXPECT_NE(quantity["id"], "deck_pressure_difference_of_q");
    EXPECT_NE(quantity["id"], "inlet_velocity_ratio_left");
    EXPECT_NE(quantity["id"], "propeller_efficiency");
    EXPECT_TRUE(quantity["value"].is_number()) << quantity["id"];
  }
}

}  // namespace
