// SPDX-License-Identifier: GPL-3.0-or-later
//
// What is and what is not a fault in a log. The texts are as OpenFOAM 1912 and Open MPI 4.1 print them.
#include "cases/run/log_scan.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

namespace {

using namespace cowlwright;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;

std::optional<run::LogFault> fault_in(const std::string& text) {
  std::istringstream log(text);
  return run::find_fault(log);
}

constexpr const char* healthy_log = R"(Build  : 1912 (patch=200626)
Exec   : rhoSimpleFoam -parallel
Case   : study/nanaimo=inf
trapFpe: Floating point exception trapping enabled (FOAM_SIGFPE).
fileModificationChecking : Monitoring run-time modified files using timeStampMaster
Time = 1

smoothSolver:  Solving for Ux, Initial residual = 1, Final residual = 0.0612, No Iterations 3
GAMG:  Solving for p, Initial residual = 0.9, Final residual = 0.008, No Iterations 4
time step continuity errors : sum local = 0.0012, global = -3.1e-05, cumulative = -3.1e-05
bounding k, min: -0.002 max: 12.1 average: 0.4
ExecutionTime = 0.81 s  ClockTime = 1 s

End
)";

TEST(LogScan, FindsNoFaultInAHealthyLogThatNamesTheTrapAndACaseCalledInf) {
  EXPECT_FALSE(fault_in(healthy_log).has_value());
}

TEST(LogScan, QuotesTheExplanationThatFollowsAFatalError) {
  const auto fault = fault_in(
      "Time = 3\n\n\n--> FOAM FATAL ERROR: \nMaximum number of iterations exceeded: 100\n\n"
      "    From function Foam::scalar Foam::species::thermo::T() const\n    in file lnInclude/thermoI.H at "
      "line 66.\n\n"
      "FOAM aborting\n");
  ASSERT_TRUE(fault.has_value());
  EXPECT_EQ(fault->line, 4);
  EXPECT_EQ(fault->text, "FOAM FATAL ERROR: Maximum number of iterations exceeded: 100");
}

TEST(LogScan, KeepsTheFileThatAnInputErrorNamesAndDropsTheRankInFrontOfIt) {
  const auto fault = fault_in(
      "[1] \n[1] --> FOAM FATAL IO ERROR: \n[1] Unknown discretisation scheme upwnd\n[1] \n[1] \n"
      "[1] file: study/system/fvSchemes.divSchemes at line 20.\n[1] \n[1]     From function scheme\n");
  ASSERT_TRUE(fault.has_value());
  EXPECT_EQ(fault->line, 2);
  EXPECT_EQ(fault->text,
            "FOAM FATAL IO ERROR: Unknown discretisation scheme upwnd file: "
            "study/system/fvSchemes.divSchemes at line 20.");
}

TEST(LogScan, CutsAnEndlessExplanation) {
  std::string text = "--> FOAM FATAL ERROR: \n";
  for (int i = 0; i < 100; ++i) text += "Valid types are thisAndThat\n";
  const auto fault = fault_in(text);
  ASSERT_TRUE(fault.has_value());
  EXPECT_LT(fault->text.size(), 320U);
  EXPECT_TRUE(fault->text.ends_with(" ..."));
}

TEST(LogScan, FindsAFloatingPointExceptionThatIsNotTheBanners) {
  const auto fault = fault_in(std::string(healthy_log) + "Floating point exception (core dumped)\n");
  ASSERT_TRUE(fault.has_value());
  EXPECT_EQ(fault->line, 15);
}

TEST(LogScan, FindsASegmentationFault) {
  EXPECT_TRUE(fault_in("[host:12] Signal: Segmentation fault (11)\n").has_value());
}

TEST(LogScan, TakesNanAndInfInResidualsForFaults) {
  EXPECT_TRUE(run::reports_non_finite(
      "GAMG:  Solving for p, Initial residual = nan, Final residual = nan, No Iterations 1000"));
  EXPECT_TRUE(run::reports_non_finite(
      "smoothSolver:  Solving for Ux, Initial residual = -nan, Final residual = 1, No"));
  EXPECT_TRUE(
      run::reports_non_finite("time step continuity errors : sum local = inf, global = 0, cumulative = 0"));
  EXPECT_TRUE(run::reports_non_finite("bounding omega, min: nan max: 2 average: 1"));
}

TEST(LogScan, LeavesWordsThatOnlyContainNanAlone) {
  EXPECT_FALSE(run::reports_non_finite(
      "Selecting finite volume options model type nanocore for residual information"));
  EXPECT_FALSE(run::reports_non_finite("Case   : study/nan"));
}

class RequireSuccess : public testing::Test {
 protected:
  run::Command command(const std::string& log_text) const {
    return {.words = {"rhoSimpleFoam", "-parallel"}, .log = folder_.write("log.solve", log_text)};
  }
  ScratchFolder folder_;
};

TEST_F(RequireSuccess, AcceptsExitCodeZeroWithAHealthyLog) {
  EXPECT_NO_THROW(run::require_success(command(healthy_log), {.exit_code = 0}));
}

TEST_F(RequireSuccess, RefusesExitCodeZeroWithAFaultInTheLog) {
  const run::Command bad =
      command("Time = 1\n--> FOAM FATAL ERROR: \nno such patch\n\n    From function x\n");
  EXPECT_THAT([&] { run::require_success(bad, {.exit_code = 0, .seconds = 3.2}); },
              ThrowsMessage<base::ExternalError>(AllOf(HasSubstr("rhoSimpleFoam -parallel"),
                                                       HasSubstr("exit code 0, 3.2 s"),
                                                       HasSubstr("no such patch"),
                                                       HasSubstr("log.solve:2"),
                                                       Not(HasSubstr("From function")))));
}

TEST_F(RequireSuccess, QuotesTheLastLineWhenTheExitCodeIsAllThereIs) {
  const run::Command bad = command("one\n  the last word  \n\n");
  EXPECT_THAT([&] { run::require_success(bad, {.exit_code = 5}); },
              ThrowsMessage<base::ExternalError>(
                  AllOf(HasSubstr("exit code 5"), HasSubstr(": the last word\n"), HasSubstr("log.solve:2"))));
}

TEST_F(RequireSuccess, NamesTheSignalThatEndedTheProgram) {
  EXPECT_THAT(
      [&] { run::require_success(command(""), {.exit_code = 137, .signal = 9}); },
      ThrowsMessage<base::ExternalError>(AllOf(HasSubstr("signal 9 (Killed)"), HasSubstr("no word"))));
}

}  // namespace
