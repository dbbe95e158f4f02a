// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whole runs with shell scripts in place of OpenFOAM: marks, skipping, failures, NaN, and Ctrl-C with a
// second run.
#include "cases/run/study_run.h"

#include "cases/run/process.h"
#include "cases/run/stages.h"
#include "geometry/base/error.h"
#include "geometry/base/manifest.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <fstream>

namespace {

using namespace cowlwright;
using run::CaseJob;
using run::CaseOutcome;
using run::Outcome;
using run::ProgressPrinter;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using testing_support::ScratchFolder;
using testing_support::text_of;

/// A study whose cases have the stages block, snap and solve. Every script adds its name to `trace` in the
/// case folder.
class StudyRun : public testing::Test {
 protected:
  void SetUp() override {
    set_stage("block", "");
    set_stage("snap", "");
    set_stage("solve", "echo 'Time = 1'; echo 'Time = 2'; echo End");
  }
  void TearDown() override { std::fclose(output_); }

  void set_stage(const std::string& name, const std::string& body) const {
    scratch_.write_program("bin/" + name, "echo " + name + " >> trace\n" + body + "\n");
  }
  std::filesystem::path folder_of(const std::string& name) const { return scratch_.path() / "study" / name; }

  CaseJob job(const std::string& name, const std::string& input_hash = "hash") const {
    CaseJob job{.name = name, .directory = folder_of(name)};
    job.input_hash = [=](int ranks) { return input_hash + std::to_string(ranks); };
    job.write = [this, name](int) {
      std::filesystem::remove_all(folder_of(name));
      std::filesystem::create_directories(folder_of(name));
      base::Manifest manifest;
      manifest.variant = name;
      manifest.last_iteration = 2;
      base::write_manifest(manifest, folder_of(name));
    };
    job.stages = [this](int) {
      std::vector<foam::Stage> stages;
      for (const std::string stage : {"block", "snap", "solve"}) {
        stages.push_back({stage, {(scratch_.path() / "bin" / stage).string()}, "log." + stage});
      }
      return stages;
    };
    return job;
  }
  std::vector<CaseOutcome> run(const std::vector<CaseJob>& jobs, bool fresh = false) {
    ProgressPrinter printer(output_, 0);
    return run_cases(jobs, {.environment = {"PATH=/usr/bin:/bin"}, .fresh = fresh}, printer);
  }
  std::string printed() const {
    std::fflush(output_);
    std::rewind(output_);
    std::string text;
    for (int c = std::fgetc(output_); c != EOF; c = std::fgetc(output_)) text += static_cast<char>(c);
    return text;
  }
  std::string trace(const std::string& name) const { return text_of(folder_of(name) / "trace"); }

  ScratchFolder scratch_;
  std::FILE* output_ = std::tmpfile();
};

TEST_F(StudyRun, RunsEveryStageOfEveryVariantInOrder) {
  const auto outcomes = run({job("a"), job("b")});
  ASSERT_EQ(outcomes.size(), 2U);
  EXPECT_EQ(outcomes[1].outcome, Outcome::Finished);
  EXPECT_EQ(trace("a"), "block\nsnap\nsolve\n");
  EXPECT_EQ(trace("b"), "block\nsnap\nsolve\n");
  EXPECT_EQ(exit_code_of(outcomes), 0);
}

TEST_F(StudyRun, DoesNotRunWhatStartsFromAFailedCase) {
  CaseJob finer = job("a-coarse");
  finer.start_from = "a-draft";
  set_stage("snap", "exit 1");
  const auto outcomes = run({job("a-draft"), finer});
  EXPECT_EQ(outcomes[1].outcome, Outcome::Failed);
  EXPECT_THAT(outcomes[1].message, HasSubstr("starts from a-draft, which has failed"));
  EXPECT_FALSE(std::filesystem::exists(folder_of("a-coarse")));
}

TEST_F(StudyRun, SkipsWhatAnEarlierRunFinished) {
  run({job("a")});
  const auto outcomes = run({job("a")});
  EXPECT_EQ(outcomes[0].outcome, Outcome::Finished);
  EXPECT_EQ(outcomes[0].stages.size(), 3U);
  EXPECT_EQ(trace("a"), "block\nsnap\nsolve\n");
}

TEST_F(StudyRun, StartsOverWhenAskedForAFreshRun) {
  run({job("a")});

  std::ofstream(folder_of("a") / "left-over") << "x";
  run({job("a")}, true);
  EXPECT_FALSE(std::filesystem::exists(folder_of("a") / "left-over"));
}

TEST_F(StudyRun, RewritesACaseWhoseInputsHaveChangedAndSaysSo) {
  run({job("a")});
  std::ofstream(folder_of("a") / "left-over") << "x";
  run({job("a", "other")});
  EXPECT_FALSE(std::filesystem::exists(folder_of("a") / "left-over"));
  EXPECT_THAT(printed(), HasSubstr("a: its inputs have changed, starts over"));
}

TEST_F(StudyRun, AFailedVariantIsRecordedWithTheLogsLineAndTheOthersGoOn) {
  set_stage("snap",
            "if [ $(basename $PWD) = a ]; then echo x; echo '--> FOAM FATAL ERROR:'; echo no surface; fi");
  const auto outcomes = run({job("a"), job("b")});
  EXPECT_EQ(outcomes[0].outcome, Outcome::Failed);
  EXPECT_THAT(outcomes[0].message, AllOf(HasSubstr("no surface"), HasSubstr("log.snap:2")));
  EXPECT_EQ(outcomes[1].outcome, Outcome::Finished);
  EXPECT_EQ(exit_code_of(outcomes), 3);
  EXPECT_EQ(trace("a"), "block\nsnap\n");
  const auto state = base::read_case_state(folder_of("a"));
  ASSERT_TRUE(state.has_value());
  EXPECT_EQ(state->phase, base::CasePhase::Failed);
  EXPECT_EQ(state->begun, "snap");
  EXPECT_THAT(state->message, HasSubstr("no surface"));
}

TEST_F(StudyRun, AVariantThatFailedBeforeStartsOver) {
  set_stage("solve", "exit 1");
  run({job("a")});
  set_stage("solve", "");
  const auto outcomes = run({job("a")});
  EXPECT_EQ(outcomes[0].outcome, Outcome::Finished);
  EXPECT_EQ(trace("a"), "block\nsnap\nsolve\n");
}

TEST_F(StudyRun, AnExitCodeThatIsNotZeroFailsTheVariant) {
  set_stage("block", "echo boo; exit 9");
  const auto outcomes = run({job("a")});
  EXPECT_EQ(outcomes[0].outcome, Outcome::Failed);
  EXPECT_THAT(outcomes[0].message, AllOf(HasSubstr("exit code 9"), HasSubstr("boo")));
}

TEST_F(StudyRun, AResidualThatIsNotANumberEndsTheSolverAtOnce) {
  set_stage("solve",
            "echo 'Time = 1'; echo 'GAMG:  Solving for p, Initial residual = nan, Final residual = nan'\n"
            "exec sleep 60");
  const auto begin = std::chrono::steady_clock::now();
  const auto outcomes = run({job("a")});
  EXPECT_LT(std::chrono::steady_clock::now() - begin, std::chrono::seconds(30));  // not the script's 60 s
  EXPECT_EQ(outcomes[0].outcome, Outcome::Failed);
  EXPECT_THAT(outcomes[0].message, AllOf(HasSubstr("residual = nan"), HasSubstr("log.solve:2")));
}

TEST_F(StudyRun, AResultThatIsNotAcceptedFailsTheVariantWithItsOwnExitCode) {
  CaseJob bad = job("a");
  bad.accept = [](const foam::Stage& stage) {
    if (stage.name == "snap") throw base::ResultError("patch exit_lip has lost area");
  };
  const auto outcomes = run({bad, job("b")});
  EXPECT_EQ(outcomes[0].exit_code, 4);
  EXPECT_THAT(outcomes[0].message, HasSubstr("exit_lip"));
  EXPECT_EQ(trace("a"), "block\nsnap\n");
  EXPECT_EQ(exit_code_of(outcomes), 4);
}

TEST_F(StudyRun, ACaseThatCannotBeWrittenFailsAloneWithItsOwnExitCode) {
  CaseJob bad = job("a");
  bad.write = [](int) { throw base::InputError("[exit] gap = 0.9 m: too tall"); };
  const auto outcomes = run({bad, job("b")});
  EXPECT_EQ(outcomes[0].exit_code, 2);
  EXPECT_THAT(outcomes[0].message, HasSubstr("too tall"));
  EXPECT_EQ(outcomes[1].outcome, Outcome::Finished);
}

TEST_F(StudyRun, CtrlCAsksTheSolverToWriteAndTheNextRunGoesOnWithItOnly) {
  // The stand-in solver sends us the signal a user's Ctrl-C would, then waits to be asked, as the real one
  // does.
  set_stage("solve",
            "if [ -e resumed ]; then exit 0; fi; touch resumed\n"
            "kill -INT $PPID; while [ ! -e STOP ]; do sleep 0.02; done; echo written");
  const auto first = run({job("a"), job("b")});
  EXPECT_EQ(first[0].outcome, Outcome::Stopped);
  EXPECT_EQ(first[1].outcome, Outcome::NotBegun);
  EXPECT_EQ(exit_code_of(first), 130);
  EXPECT_EQ(text_of(folder_of("a") / "log.solve"), "written\n");

  const auto second = run({job("a")});
  EXPECT_EQ(second[0].outcome, Outcome::Finished);
  EXPECT_EQ(trace("a"), "block\nsnap\nsolve\nsolve\n");
  EXPECT_FALSE(std::filesystem::exists(folder_of("a") / "STOP"));
  EXPECT_EQ(text_of(folder_of("a") / "log.solve.1"), "written\n");  // the first part's log is kept
}

TEST_F(StudyRun, CtrlCInTheMeshMakesTheNextRunStartOver) {
  set_stage("snap", "if [ ! -e ../second ]; then touch ../second; kill -INT $PPID; sleep 60; fi");
  const auto first = run({job("a")});
  EXPECT_EQ(first[0].outcome, Outcome::Stopped);
  const auto second = run({job("a")});
  EXPECT_EQ(second[0].outcome, Outcome::Finished);
  EXPECT_EQ(trace("a"), "block\nsnap\nsolve\n");
  EXPECT_THAT(printed(), HasSubstr("stopped while its mesh was made, starts over"));
}

TEST_F(StudyRun, AnUnfinishedCaseKeepsTheRanksItWasBegunWith) {
  set_stage("solve", "if [ -e resumed ]; then exit 0; fi; touch resumed STOP; kill -INT $PPID; sleep 0.5");
  CaseJob two = job("a");
  two.ranks = 2;
  run({two});
  CaseJob four = job("a");
  four.ranks = 4;
  const auto outcomes = run({four});
  EXPECT_EQ(outcomes[0].outcome, Outcome::Finished);
  EXPECT_EQ(trace("a"), "block\nsnap\nsolve\nsolve\n");
  EXPECT_THAT(printed(), HasSubstr("2 ranks it was begun with"));
}

TEST(TimeTable, AddsUpTheStagesOfTheMeshAndAlignsTheColumns) {
  const std::vector<CaseOutcome> outcomes{
      {.name = "base",
       .stages = {{"block", 1.0}, {"snap", 20.3}, {"split", 1.5}, {"solve", 100.0}, {"join", 2.0}}},
      {.name = "exit.gap=90_mm", .stages = {}}};
  EXPECT_EQ(run::time_table(outcomes),
            "variant          mesh [s]  solve [s]  other [s]\n"
            "base                 21.3      100.0        3.5\n"
            "exit.gap=90_mm        0.0        0.0        0.0\n");
}

}  // namespace
