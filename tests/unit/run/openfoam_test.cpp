// SPDX-License-Identifier: GPL-3.0-or-later
//
// The environment made for OpenFOAM, and the probe, with a stand-in for OpenFOAM's program.
#include "cases/run/openfoam.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>

namespace {

using namespace cowlwright;
using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using testing::Not;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;

class OpenFoamEnvironment : public testing::Test {
 protected:
  void SetUp() override {
    unsetenv("WM_PROJECT_DIR");
    unsetenv("COWLWRIGHT_OPENFOAM");
  }
  void TearDown() override { SetUp(); }
};

TEST_F(OpenFoamEnvironment, PointsToDebiansPackageWhenNothingIsSet) {
  EXPECT_THAT(run::openfoam_environment(), Contains("WM_PROJECT_DIR=/usr/share/openfoam"));
}

TEST_F(OpenFoamEnvironment, KeepsTheUsersOwnProjectFolder) {
  setenv("WM_PROJECT_DIR", "/opt/foam", 1);
  EXPECT_THAT(run::openfoam_environment(), Contains("WM_PROJECT_DIR=/opt/foam"));
}

TEST_F(OpenFoamEnvironment, LetsOurVariableWin) {
  setenv("WM_PROJECT_DIR", "/opt/foam", 1);
  setenv("COWLWRIGHT_OPENFOAM", "/opt/other", 1);
  EXPECT_THAT(run::openfoam_environment(),
              AllOf(Contains("WM_PROJECT_DIR=/opt/other"), Not(Contains("WM_PROJECT_DIR=/opt/foam"))));
}

TEST(OpenFoamProbe, ReadsTheVersionFromTheProgramsHelp) {
  const ScratchFolder folder;
  folder.write_program("blockMesh",
                       "echo 'Usage: blockMesh [OPTIONS]'\n"
                       "echo 'Using: OpenFOAM- (1912) - visit a site'\necho 'Build:  (patch=200626)'\n");
  EXPECT_EQ(run::probe_openfoam({"PATH=" + folder.path().string() + ":/bin"}), "1912 (patch 200626)");
}

TEST(OpenFoamProbe, FailsAloudWhenTheProgramIsThereButDoesNotRun) {
  const ScratchFolder folder;
  folder.write_program("blockMesh", "echo 'Could not find mandatory etc entry'\nexit 1\n");
  EXPECT_THAT(
      [&] { run::probe_openfoam({"PATH=" + folder.path().string() + ":/bin"}); },
      ThrowsMessage<base::ExternalError>(AllOf(
          HasSubstr("exit code 1"), HasSubstr("mandatory etc entry"), HasSubstr("COWLWRIGHT_OPENFOAM"))));
}

TEST(OpenFoamProbe, SaysWhatToInstallWhenTheProgramIsNotThere) {
  const ScratchFolder folder;
  EXPECT_THAT(
      [&] { run::probe_openfoam({"PATH=" + folder.path().string()}); },
      ThrowsMessage<base::ExternalError>(AllOf(HasSubstr("blockMesh"), HasSubstr("package `openfoam`"))));
}

}  // namespace
