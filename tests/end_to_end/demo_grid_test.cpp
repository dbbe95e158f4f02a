// SPDX-License-Identifier: GPL-3.0-or-later
//
// One variant of the demo study on its own coarse grid, stopped early: what its numbers are read from must
// agree, whether or not the flow has settled.
#include "geometry/base/text_file.h"
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <memory>

namespace {

using namespace cowlwright;
using namespace cowlwright::testing_support;
using nlohmann::json;

class DemoGrid : public OpenFoamTest {
 protected:
  static void SetUpTestSuite() {
    if (!why_openfoam_does_not_run().empty()) return;
    folder_ = std::make_unique<ScratchFolder>();
    std::string text = base::read_text(std::filesystem::path(COWLWRIGHT_STUDIES) / "exit_lip.toml");
    const std::string grid = "level = \"medium\"\ncompare = 3\n";
    text.replace(text.find(grid), grid.size(), "level = \"coarse\"\niterations = 120\nwindow = 40\n");
    folder_->write("demo.toml", text);
    run_ = run_program(
        {program("cowlwright"), "run", "--tables-only", "demo.toml", "--variant", "lip_angle_45_deg"},
        folder_->path());
    results_ = read_results(folder_->path() / "demo-study");
  }
  static void TearDownTestSuite() { folder_.reset(); }

  void SetUp() override {
    OpenFoamTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_TRUE(results_.contains("variants")) << run_.output;
    ASSERT_EQ(results_["variants"].size(), 1U);
  }

  static std::unique_ptr<ScratchFolder> folder_;
  static ProgramRun run_;
  static json results_;
};

std::unique_ptr<ScratchFolder> DemoGrid::folder_;
ProgramRun DemoGrid::run_;
json DemoGrid::results_;

TEST_F(DemoGrid, PassesTheMeshGateWithEveryAreaKept) {
  EXPECT_EQ(run_.exit_code, 0) << run_.output;
  EXPECT_THAT(run_.output, testing::HasSubstr("Mesh OK"));
}

// Our reader of the solver's face fluxes against the solver's own sums: the same numbers, so six digits are
// due.
TEST_F(DemoGrid, FaceFluxesAreTheSolversOwnToSixDigits) {
  const json& check = results_["variants"][0]["checks"]["face_flux_against_monitor"];
  EXPECT_LT(check["relative_difference"].get<double>(), 1e-6) << check;
}

// The fields, sampled on the same planes, against the face fluxes: 1 %, what linear sampling across a cell
// may cost.
TEST_F(DemoGrid, FlowsFromFieldsAgreeWithFaceFluxesWithinOnePercent) {
  const json& check = results_["variants"][0]["checks"]["fields_against_face_flux"];
  EXPECT_LT(check["relative_difference"].get<double>(), 0.01) << check;
}

}  // namespace
