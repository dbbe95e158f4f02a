// SPDX-License-Identifier: GPL-3.0-or-later
//
// Handing in with scripts in place of Slurm's programs.
#include "cases/cluster/jobs.h"
#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using base::TaskKind;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;
using testing_support::text_of;
namespace fs = std::filesystem;

/// Scripts sbatch, squeue and scancel stand first on PATH: sbatch counts up from 101 and notes its words,
/// squeue prints the file `queue`, scancel notes its words.
class Submission : public testing::Test {
 protected:
  void SetUp() override {
    old_path_ = std::getenv("PATH");
    const std::string here = scratch_.path().string();
    scratch_.write_program("bin/sbatch",
                           "echo \"$@\" >>" + here + "/handed_in\n" + "n=$(wc -l <" + here + "/handed_in)\n" +
                               "case \"$*\" in *\"$(cat " + here + "/refused 2>/dev/null || echo none)\"*) " +
                               "echo 'sbatch: error: invented refusal' >&2; exit 1;; esac\n" +
                               "echo $((100 + n))\n");
    scratch_.write_program("bin/squeue", "cat " + here + "/queue\n");
    scratch_.write_program("bin/scancel", "echo \"$@\" >>" + here + "/cancelled\n");
    setenv("PATH", (here + "/bin:" + old_path_).c_str(), 1);
  }
  void TearDown() override { setenv("PATH", old_path_.c_str(), 1); }

  base::Sweep sweep() const {
    base::Sweep sweep{.study = "study", .study_file = "my.toml", .program_version = "0"};
    sweep.tasks = {{.case_folder = "a", .kind = TaskKind::Mesh},
                   {.case_folder = "a", .kind = TaskKind::Solve, .after = {0}}};
    return sweep;
  }
  fs::path output() const { return scratch_.path() / "out"; }
  fs::path jobs() const { return output() / "slurm" / "jobs.txt"; }
  void submit(bool write_only = false) const {
    testing::internal::CaptureStdout();
    try {
      cluster::submit(output(), sweep(), {}, {.write_only = write_only});
    } catch (...) {
      testing::internal::GetCapturedStdout();
      throw;
    }
    testing::internal::GetCapturedStdout();
  }

  ScratchFolder scratch_;

 private:
  std::string old_path_;
};

TEST_F(Submission, HandsInMeshSolverAndReportAndKeepsTheirIds) {
  submit();
  EXPECT_EQ(text_of(scratch_.path() / "handed_in"),
            "--parsable mesh.sh\n"
            "--parsable --dependency=afterany:101 solve-level-1-ranks-1.sh\n"
            "--parsable --dependency=afterany:101:102 report.sh\n");
  EXPECT_EQ(text_of(jobs()), "mesh 101\nsolve-level-1-ranks-1 102\nreport 103\n");
}

TEST_F(Submission, OnlyWritesWhenToldSo) {
  submit(true);
  EXPECT_FALSE(fs::exists(scratch_.path() / "handed_in"));
  EXPECT_TRUE(fs::exists(output() / "slurm" / "submit.sh"));
}

TEST_F(Submission, TakesBackTheJobsBeforeOneThatIsRefused) {
  scratch_.write("refused", "report.sh");
  EXPECT_THAT([&] { submit(); },
              ThrowsMessage<base::ExternalError>(
                  AllOf(HasSubstr("submit.sh"), HasSubstr("exit code 1"), HasSubstr("invented refusal"))));
  EXPECT_EQ(text_of(scratch_.path() / "cancelled"), "101 102\n");
  EXPECT_FALSE(fs::exists(jobs()));
}

TEST_F(Submission, IsRefusedWhileAJobOfTheFolderIsQueued) {
  submit();
  scratch_.write("queue", "7\n102\n");
  EXPECT_THAT([&] { cluster::require_no_jobs(output()); },
              ThrowsMessage<base::ExternalError>(
                  AllOf(HasSubstr(output().string()), HasSubstr("1 of its jobs"), HasSubstr("scancel 102"))));
  EXPECT_THROW(submit(), base::ExternalError);
}

TEST_F(Submission, IsFreeAgainWhenNoJobIsLeft) {
  submit();
  scratch_.write("queue", "7\n");
  EXPECT_NO_THROW(cluster::require_no_jobs(output()));
  EXPECT_FALSE(fs::exists(jobs()));
}

TEST_F(Submission, IsRefusedWhenNobodyKnowsWhatBecameOfTheJobs) {
  submit();
  scratch_.write_program("bin/squeue",
                         "echo 'slurm_load_jobs error: Unable to contact slurm controller'; exit 1\n");
  EXPECT_THAT([&] { cluster::require_no_jobs(output()); },
              ThrowsMessage<base::ExternalError>(
                  AllOf(HasSubstr("jobs.txt"), HasSubstr("exit code 1"), HasSubstr("Unable to contact"))));
}

TEST_F(Submission, AsksNothingOfAFolderThatWasNeverHandedIn) {
  scratch_.write_program("bin/squeue", "exit 1\n");
  EXPECT_NO_THROW(cluster::require_no_jobs(output()));
}

}  // namespace
