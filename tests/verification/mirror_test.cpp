// SPDX-License-Identifier: GPL-3.0-or-later
//
// The symmetric starter installation on the draft grid with the propeller turning
// either way and without one: what a mirror must do to the inlet flows, through the whole chain from study
// file to results.
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"
#include "tests/support/validation.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>
#include <memory>
#include <string>

namespace {

using namespace cowlwright::testing_support;
using nlohmann::json;

enum class Propeller { Clockwise, Anticlockwise, None };

class Mirror : public OpenFoamTest {
 protected:
  static void SetUpTestSuite() {
    if (!why_openfoam_does_not_run().empty()) return;
    folder_ = std::make_unique<ScratchFolder>();
    turning_ = run_study("turning", "\"propeller.rotation\" = [\"clockwise\", \"anticlockwise\"]\n");
    still_ = run_study("still", "\"propeller.kind\" = [\"none\"]\n");
  }
  static void TearDownTestSuite() { folder_.reset(); }

  void SetUp() override {
    OpenFoamTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_TRUE(turning_.contains("variants")) << output_;
    ASSERT_EQ(turning_["variants"].size(), 2U) << output_;
    ASSERT_TRUE(still_.contains("variants")) << output_;
    ASSERT_EQ(still_["variants"].size(), 1U) << output_;
  }

  static double value(Propeller propeller, const std::string& id) {
    const json& variant = propeller == Propeller::None
                              ? still_["variants"][0]
                              : turning_["variants"][propeller == Propeller::Clockwise ? 0 : 1];
    return quantity_value(variant, id);
  }

 private:
  static json run_study(const std::string& name, const std::string& vary) {
    folder_->write(name + ".toml", draft_study(200, 60, vary, 1));
    output_ += run_program({program("cowlwright"), "run", "--tables-only", name + ".toml"},
                           folder_->path(),
                           {"COWLWRIGHT_CORES=1"})
                   .output;
    return read_results(folder_->path() / (name + "-study"));
  }

  static inline std::unique_ptr<ScratchFolder> folder_;
  static inline std::string output_;
  static inline json turning_;  ///< results of both rotations
  static inline json still_;    ///< results without a propeller
};

// One test, because it is one run of the solver.
TEST_F(Mirror, TurningThePropellerTheOtherWayMirrorsTheInletFlowsAndWithoutOneTheyAreEqual) {
  ValidationCheck rotation(
      {.id = "symmetry.rotation",
       .group = "Symmetry of a whole installation",
       .title = "Inlet flow on one side, propeller anticlockwise, over that on the other, clockwise",
       .source = "mirror symmetry of installation, incidence and rotation: 1",
       .condition = "starter study, draft grid, 200 iterations, means over 60",
       .unit = "-",
       .reason = "1 %: the mesher does not snap both sides alike, and what the iterations left"});
  rotation.expect_near("left against right",
                       value(Propeller::Anticlockwise, "inlet_mass_flow_left") /
                           value(Propeller::Clockwise, "inlet_mass_flow_right"),
                       1.0,
                       0.01);
  rotation.expect_near("right against left",
                       value(Propeller::Anticlockwise, "inlet_mass_flow_right") /
                           value(Propeller::Clockwise, "inlet_mass_flow_left"),
                       1.0,
                       0.01);
  ValidationCheck none({.id = "symmetry.no_propeller",
                        .group = "Symmetry of a whole installation",
                        .title = "Inlet imbalance without propeller, incidence and sideslip",
                        .source = "mirror symmetry: 0",
                        .condition = "starter study, draft grid, 200 iterations, means over 60",
                        .unit = "%",
                        .reason = "0.5 points, as for the mirrored rotation: 1 % between two flows"});
  none.expect_near("(right - left)/(right + left)", value(Propeller::None, "inlet_imbalance"), 0.0, 0.5);
  // The propeller's swirl shows well above that, or the mirrored rotation says nothing.
  EXPECT_GT(std::abs(value(Propeller::Clockwise, "inlet_imbalance")), 1.0);
}

}  // namespace
