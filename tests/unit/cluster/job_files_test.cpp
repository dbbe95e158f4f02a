// SPDX-License-Identifier: GPL-3.0-or-later
//
// The shell files that Slurm and the site read.
#include "cases/cluster/job_files.h"

#include "cases/run/process.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using base::Sweep;
using base::TaskKind;
using cluster::shell_word;
using cluster::Site;
using testing::AllOf;
using testing::HasSubstr;
using testing::MatchesRegex;
using testing::Not;
using testing_support::ScratchFolder;
using testing_support::text_of;

Sweep two_cases() {
  Sweep sweep{.study = "It's a \"study\" with $(false)", .study_file = "my.toml", .program_version = "0"};
  sweep.tasks = {
      {.case_folder = "a", .kind = TaskKind::Mesh, .expected_memory = 1024.0 * 1024.0 * 1024.0},
      {.case_folder = "a", .kind = TaskKind::Solve, .after = {0}, .ranks = 2},
      {.case_folder = "b", .kind = TaskKind::Solve, .after = {0, 1}, .ranks = 2, .start_from = "a"}};
  return sweep;
}

class JobFiles : public testing::Test {
 protected:
  void write(const Site& site = {}) const {
    cluster::write_job_files(scratch_.path(), two_cases(), site, {.program = "/opt/cowl wright/cowlwright"});
  }
  std::string text(const std::string& name) const { return text_of(scratch_.path() / "slurm" / name); }
  ScratchFolder scratch_;
};

TEST_F(JobFiles, AreSoundShell) {
  write({.modules = {"open foam/1912"}, .setup = {"export A=1"}});
  for (const auto& file : std::filesystem::directory_iterator(scratch_.path() / "slurm")) {
    if (file.path().extension() != ".sh") continue;
    const run::Ending ending = run::run_process(
        {.words = {"bash", "-n", file.path().string()}, .environment = {"PATH=/usr/bin:/bin"}});
    EXPECT_EQ(ending.exit_code, 0) << file.path();
  }
}

TEST_F(JobFiles, AskForWhatTheSiteAndTheTasksWant) {
  write({.partition = "compute",
         .account = "cooling",
         .time_limit = "12:00:00",
         .stop_before = 90,
         .directives = {"--qos=long"},
         .jobs_at_a_time = 5});
  EXPECT_THAT(text("mesh.sh"),
              AllOf(HasSubstr("#SBATCH --partition=compute\n"),
                    HasSubstr("#SBATCH --account=cooling\n"),
                    HasSubstr("#SBATCH --time=12:00:00\n"),
                    HasSubstr("#SBATCH --signal=B:TERM@90\n"),
                    HasSubstr("#SBATCH --requeue\n"),
                    HasSubstr("#SBATCH --ntasks=1\n"),
                    HasSubstr("#SBATCH --array=0-0%5\n"),
                    HasSubstr("#SBATCH --mem=2048M\n"),  // twice the expected GiB
                    HasSubstr("#SBATCH --qos=long\ncd ")));
  EXPECT_THAT(text("solve-level-1-ranks-2.sh"),
              AllOf(HasSubstr("#SBATCH --ntasks=2\n"), Not(HasSubstr("--mem"))));  // not known: not asked for
}

TEST_F(JobFiles, OfAnEmptyProfileLeaveSlurmItsDefaults) {
  write();
  EXPECT_THAT(text("mesh.sh"),
              AllOf(Not(HasSubstr("--partition")), Not(HasSubstr("--account")), Not(HasSubstr("--time"))));
}

TEST_F(JobFiles, LoadModulesBeforeTheTask) {
  write({.modules = {"openfoam/1912"}, .setup = {"export A=1"}});
  EXPECT_THAT(text("task.sh"),
              HasSubstr("module load 'openfoam/1912' || exit 3\nexport A=1\n\ncowlwright='/opt/cowl "
                        "wright/cowlwright'\n"));
}

TEST_F(JobFiles, ListTasksByTheirNumberInTheSweep) {
  write();
  EXPECT_EQ(text("mesh.tasks"), "0 a.mesh\n");
  EXPECT_EQ(text("solve-level-2-ranks-2.tasks"), "2 b\n");
}

TEST_F(JobFiles, HandInEachArrayBehindThoseItWaitsFor) {
  write();
  EXPECT_THAT(text("submit.sh"),
              HasSubstr("hand_in mesh \nid_0=$id\n"
                        "hand_in solve-level-1-ranks-2 --dependency=afterany:$id_0 \nid_1=$id\n"
                        "hand_in solve-level-2-ranks-2 --dependency=afterany:$id_0:$id_1 \nid_2=$id\n"
                        "hand_in report --dependency=afterany:$id_0:$id_1:$id_2 \n"));
}

TEST(ShellWord, KeepsWhatTheShellWouldTakeApart) {
  EXPECT_EQ(shell_word("a b"), "'a b'");
  EXPECT_EQ(shell_word("it's $x"), R"('it'\''s $x')");
}

}  // namespace
