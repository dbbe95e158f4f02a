// SPDX-License-Identifier: GPL-3.0-or-later
//
// A case folder run by hand with its Allrun, then read by cowlpost.
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright::testing_support;
using testing::HasSubstr;

class HandRun : public OpenFoamTest {};

TEST_F(HandRun, APreparedCaseRunsWithoutOurProgramsAndIsReadAfterwards) {
  const ScratchFolder folder;
  folder.write("my.toml", draft_study(40, 20, "\"exit.lip_angle\" = [\"0 deg\"]"));
  const ProgramRun prepare =
      run_program({program("cowlwright"), "prepare", "my.toml", "-o", "d"}, folder.path());
  ASSERT_EQ(prepare.exit_code, 0) << prepare.output;
  const std::filesystem::path case_dir = folder.path() / "d" / "lip_angle_0_deg";

  const ProgramRun all = run_program({"./Allrun"}, case_dir);
  ASSERT_EQ(all.exit_code, 0) << all.output;
  EXPECT_THAT(text_of(case_dir / "log.check"), HasSubstr("Mesh OK."));

  const ProgramRun extract =
      run_program({program("cowlpost"), "extract", "d/lip_angle_0_deg"}, folder.path());
  EXPECT_EQ(extract.exit_code, 0) << extract.output;
  EXPECT_THAT(text_of(folder.path() / "d" / "summary.csv"), HasSubstr("lip_angle_0_deg"));

  const ProgramRun run =
      run_program({program("cowlwright"), "run", "--tables-only", "my.toml", "-o", "d"}, folder.path());
  EXPECT_EQ(run.exit_code, 2) << "results of a run by hand must not be replaced without --fresh";
  EXPECT_THAT(run.output, HasSubstr("--fresh"));
}

}  // namespace
