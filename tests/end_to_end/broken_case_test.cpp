// SPDX-License-Identifier: GPL-3.0-or-later
//
// One case broken on purpose in each of the ways that give a confident wrong number, through the real
// OpenFOAM: each is caught, and named in what the user reads.
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace {

using namespace cowlwright::testing_support;
using testing::AllOf;
using testing::AnyOf;
using testing::HasSubstr;

class BrokenCase : public OpenFoamTest {
 protected:
  /// Runs a draft study in which `damage`, a shell command, is done in the case folder just before a program
  /// starts.
  ProgramRun run_damaged(int iterations,
                         int window,
                         const std::string& before_program = {},
                         const std::string& damage = {}) const {
    folder_.write("my.toml", draft_study(iterations, window, "\"exit.lip_angle\" = [\"30 deg\"]"));
    std::vector<std::string> environment;
    if (!before_program.empty()) environment.push_back(script_before(before_program, damage, folder_));
    // A program of the mesh is to run: no mesh of another suite.
    if (!before_program.empty() && before_program != "setFields")
      environment.push_back("COWLWRIGHT_MESHES=" + (folder_.path() / "meshes").string());
    return run_program(
        {program("cowlwright"), "run", "--tables-only", "my.toml"}, folder_.path(), environment);
  }

  /// The only row of the study's results.
  nlohmann::json row() const { return read_results(folder_.path() / "my-study")["variants"][0]; }

  ScratchFolder folder_;
};

TEST_F(BrokenCase, ARunThatHasNotSettledSaysSoInItsRow) {
  const ProgramRun run = run_damaged(40, 20);
  ASSERT_EQ(run.exit_code, 0) << run.output;
  EXPECT_THAT(run.output, HasSubstr("not settled"));
  EXPECT_EQ(row()["status"], "not settled");
  EXPECT_THAT(text_of(folder_.path() / "my-study" / "summary.md"), HasSubstr("not settled"));
  EXPECT_THAT(text_of(folder_.path() / "my-study" / "summary.csv"), HasSubstr("not settled"));
}

// A hole in the fuselage's skin: the mesher fills the solid with cells and checkMesh finds nothing wrong with
// them.
TEST_F(BrokenCase, AMeshThatHasLeakedThroughAHoleIsRefusedByItsVolume) {
  const std::string hole =
      "awk '/^solid/{fuselage = /fuselage/} /facet normal/{text = \"\"; far = 0; vertices = 0}"
      " /facet normal|outer loop|vertex|endloop|endfacet/{text = text $0 \"\\n\";"
      " if ($1 == \"vertex\") {++vertices; if (fuselage && $2 > 1.6 && $2 < 3.2) ++far}"
      " if ($1 == \"endfacet\" && !(vertices == 3 && far == 3)) printf \"%s\", text; next} {print}'"
      " constant/triSurface/wetted.stl > open.stl && mv open.stl constant/triSurface/wetted.stl";
  const ProgramRun run = run_damaged(40, 20, "blockMesh", hole);
  EXPECT_EQ(run.exit_code, 4) << run.output;
  EXPECT_THAT(run.output, HasSubstr("The mesh has leaked into the solid"));
}

// Relaxation beyond one in the momentum equation takes it apart within some iterations.
TEST_F(BrokenCase, ASolverThatDivergesIsAFailedRowWithItsReason) {
  const ProgramRun run =
      run_damaged(60,
                  20,
                  "setFields",
                  "sed -i 's/^\\( *U\\) 0.9;/\\1 1.95;/; s/^\\( *p\\) 1;/\\1 1.9;/' system/fvSolution");
  EXPECT_EQ(run.exit_code, 3) << run.output;
  EXPECT_THAT(run.output, HasSubstr("FAILED"));
  EXPECT_THAT(
      run.output,
      AnyOf(HasSubstr("loating point exception"), HasSubstr("not a finite number"), HasSubstr("nan")));
}

// A surface whose patch has another name than the study's: the lip would be a wall without a name.
TEST_F(BrokenCase, APatchOfAnotherNameIsRefusedByName) {
  const ProgramRun run =
      run_damaged(40,
                  20,
                  "surfaceFeatureExtract",
                  "sed -i 's/solid exit_lip/solid exit_lap/' constant/triSurface/wetted.stl");
  EXPECT_NE(run.exit_code, 0) << run.output;
  EXPECT_THAT(run.output, AllOf(HasSubstr("FAILED"), AnyOf(HasSubstr("exit_lip"), HasSubstr("exit_lap"))));
}

}  // namespace
