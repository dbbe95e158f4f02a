// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a user sees of a fault, through the program itself. No solver.
#include "tests/end_to_end/program_run.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright::testing_support;
using testing::AllOf;
using testing::HasSubstr;

TEST(BadInput, AStarterStudyPassesItsCheck) {
  const ScratchFolder folder;
  EXPECT_EQ(run_program({program("cowlwright"), "new", "my.toml"}, folder.path()).exit_code, 0);
  const ProgramRun check = run_program({program("cowlwright"), "check", "my.toml"}, folder.path());
  EXPECT_EQ(check.exit_code, 0) << check.output;
  EXPECT_THAT(check.output,
              AllOf(HasSubstr("dynamic pressure q"), HasSubstr("inlet ring r/D"), HasSubstr("closed")));
}

TEST(BadInput, AnExistingFileIsLeftAlone) {
  const ScratchFolder folder;
  folder.write("my.toml", "mine");
  EXPECT_EQ(run_program({program("cowlwright"), "new", "my.toml"}, folder.path()).exit_code, 2);
  EXPECT_EQ(text_of(folder.path() / "my.toml"), "mine");
}

TEST(BadInput, EveryFaultOfAStudyIsToldAtOnceWithItsPlaceAndExitCodeTwo) {
  const ScratchFolder folder;
  std::string text = draft_study(40, 20, "\"exit.lip_angle\" = [\"0 deg\"]");
  text.replace(text.find("\"75 mm\""), 7, "75");             // [exit] gap without a unit
  text.replace(text.find("\"133 mm\""), 8, "\"133 kg/s\"");  // [inlets] diameter in a unit of mass flow
  folder.write("bad.toml", text);
  const ProgramRun run =
      run_program({program("cowlwright"), "run", "--tables-only", "bad.toml"}, folder.path());
  EXPECT_EQ(run.exit_code, 2);
  EXPECT_THAT(run.output,
              AllOf(HasSubstr("bad.toml:"), HasSubstr("gap"), HasSubstr("diameter"), HasSubstr("kg/s")));
  EXPECT_FALSE(std::filesystem::exists(folder.path() / "bad-study"));
}

TEST(BadInput, AMissingStudyAndAnUnknownVerbEndWithExitCodeTwo) {
  const ScratchFolder folder;
  const ProgramRun missing = run_program({program("cowlwright"), "check", "nowhere.toml"}, folder.path());
  EXPECT_EQ(missing.exit_code, 2);
  EXPECT_THAT(missing.output, HasSubstr("nowhere.toml"));
  EXPECT_EQ(run_program({program("cowlwright"), "sove", "x.toml"}, folder.path()).exit_code, 2);
  EXPECT_EQ(run_program({program("cowlwright")}, folder.path()).exit_code, 2);
}

TEST(BadInput, WithoutOpenFoamTheRunEndsWithExitCodeThreeAndARemedy) {
  const ScratchFolder folder;
  folder.write("my.toml", draft_study(40, 20, "\"exit.lip_angle\" = [\"0 deg\"]"));
  const ProgramRun run = run_program(
      {program("cowlwright"), "run", "--tables-only", "my.toml"}, folder.path(), {"PATH=/nowhere"});
  EXPECT_EQ(run.exit_code, 3);
  EXPECT_THAT(run.output, AllOf(HasSubstr("blockMesh"), HasSubstr("COWLWRIGHT_OPENFOAM")));
}

}  // namespace
