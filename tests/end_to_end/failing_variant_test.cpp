// SPDX-License-Identifier: GPL-3.0-or-later
//
// A variant whose first command fails, in a study whose other variant is sound.
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace {

using namespace cowlwright::testing_support;
using testing::AllOf;
using testing::HasSubstr;

class FailingVariant : public OpenFoamTest {};

TEST_F(FailingVariant, IsReportedWithTheLogsLineWhileTheOtherIsSolved) {
  const ScratchFolder folder;
  folder.write("my.toml", draft_study(40, 20, "\"exit.lip_angle\" = [\"20 deg\", \"0 deg\"]", 1));
  const std::string path = script_before(
      "blockMesh",
      "case $PWD in *lip_angle_20_deg) echo '--> FOAM FATAL ERROR:'; echo 'invented failure'; exit 1;; esac",
      folder);
  const ProgramRun run =
      run_program({program("cowlwright"), "run", "--tables-only", "my.toml"}, folder.path(), {path});
  EXPECT_EQ(run.exit_code, 3) << run.output;
  EXPECT_THAT(
      run.output,
      AllOf(HasSubstr("lip_angle_20_deg: FAILED"), HasSubstr("invented failure"), HasSubstr("log.block:1")));

  const nlohmann::json results = read_results(folder.path() / "my-study");
  ASSERT_TRUE(results.contains("variants")) << run.output;
  const nlohmann::json& variants = results["variants"];
  ASSERT_EQ(variants.size(), 2U);
  EXPECT_EQ(variants[0]["status"], "failed");
  EXPECT_NE(variants[1]["status"], "failed");
}

}  // namespace
