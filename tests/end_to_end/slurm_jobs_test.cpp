// SPDX-License-Identifier: GPL-3.0-or-later
//
// The jobs' files in a real Slurm, with a script in place of `cowlwright`: order, time limit, preemption, and
// a node that is lost.
#include "cases/cluster/job_files.h"
#include "tests/end_to_end/program_run.h"
#include "tests/support/scratch_folder.h"
#include "tests/support/slurm_cluster.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <functional>
#include <memory>
#include <sstream>
#include <thread>

namespace {

using namespace cowlwright;
using namespace cowlwright::testing_support;
using namespace std::chrono_literals;
using base::TaskKind;
using testing::HasSubstr;
namespace fs = std::filesystem;

/// Counts up to `count` of a file that outlives it, one step in a fifth of a second, each step noted once;
/// SIGTERM ends it with 130 as `cowlwright task` ends. Notes begins and ends too.
constexpr const char* stand_in = R"sh(
output=$2
note() { echo "$*" >>"$output/trace"; }
case $1 in
  tables) note "tables $3"; exit 0;;
  task) ;;
esac
task=$3
trap 'note "stopped $task"; exit 130' TERM
note "begun $task $SLURMD_NODENAME"
steps=$(cat "$output/steps.$task")
while :; do
  done=$(cat "$output/done.$task" 2>/dev/null || echo 0)
  [ "$done" -ge "$steps" ] && break
  echo $((done + 1)) >"$output/done.$task"
  sleep 0.2
done
note "ended $task"
)sh";

/// A study's folder whose tasks the stand-in does.
class StandInStudy {
 public:
  StandInStudy() : program_(folder_.write_program("cowlwright", stand_in).string()) {
    sweep_ = {.study = "stand-in", .study_file = "my.toml", .program_version = "0"};
  }
  void add(const std::string& name, TaskKind kind, std::vector<std::size_t> after, int steps) {
    folder_.write("out/steps." + std::to_string(sweep_.tasks.size()), std::to_string(steps));
    sweep_.tasks.push_back({.case_folder = name, .kind = kind, .after = std::move(after)});
  }
  /// @return what went wrong; empty: nothing.
  std::string hand_in(const cluster::Site& site = {}) const {
    cluster::write_job_files(output(), sweep_, site, {.program = program_});
    const ProgramRun run = run_program({"bash", (output() / "slurm" / "submit.sh").string()}, output());
    return run.exit_code == 0 ? "" : run.output;
  }
  fs::path output() const { return folder_.path() / "out"; }
  std::string trace() const { return text_of(output() / "trace"); }
  std::string log_of(const std::string& task) const { return text_of(output() / "logs" / (task + ".log")); }

  /// Waits until the trace has a line; the time it may take is far above what it does.
  bool comes(const std::string& line) const {
    return holds([&] { return ("\n" + trace()).find("\n" + line) != std::string::npos; });
  }
  /// The last job has ended, and with it the list of jobs.
  bool has_ended() const {
    return comes("tables --report") &&
           holds([&] { return !fs::exists(output() / "slurm" / "jobs.txt"); });
  }
  static bool holds(const std::function<bool()>& condition) {
    const auto deadline = std::chrono::steady_clock::now() + 120s;
    while (!condition()) {
      if (std::chrono::steady_clock::now() > deadline) return false;
      std::this_thread::sleep_for(100ms);
    }
    return true;
  }
  std::string node_of(const std::string& task) const {
    const std::string text = trace();
    const std::string key = "begun " + task + " ";
    const std::size_t at = text.rfind(key);
    return at == std::string::npos ? "" : text.substr(at + key.size(), 5);
  }

 private:
  ScratchFolder folder_;
  base::Sweep sweep_;
  std::string program_;
};

int count(const std::string& text, const std::string& part) {
  int n = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++n;
  return n;
}

class SlurmJobs : public testing::Test {
 protected:
  /// What needs a minute runs on node3 meanwhile.
  static void SetUpTestSuite() {
    if (!why_slurm_does_not_run().empty()) return;
    cluster_ = std::make_unique<SlurmCluster>(1);
    limited_ = std::make_unique<StandInStudy>();
    limited_->add("long", TaskKind::Solve, {}, 170);  // 34 s and more; Slurm looks at limits twice a minute
    EXPECT_EQ(limited_->hand_in({.partition = "other", .time_limit = "1", .stop_before = 55}), "");
  }
  static void TearDownTestSuite() {
    cluster_.reset();
    limited_.reset();
  }
  void SetUp() override {
#ifdef COWLWRIGHT_REQUIRE_OPENFOAM
    ASSERT_EQ(why_slurm_does_not_run(), "");
#else
    if (!why_slurm_does_not_run().empty()) GTEST_SKIP() << why_slurm_does_not_run();
#endif
  }
  static inline std::unique_ptr<SlurmCluster> cluster_;
  static inline std::unique_ptr<StandInStudy> limited_;
};

TEST_F(SlurmJobs, RunLevelByLevelAndTheReportComesLast) {
  StandInStudy study;
  study.add("a", TaskKind::Mesh, {}, 3);
  study.add("b", TaskKind::Mesh, {}, 1);
  study.add("a", TaskKind::Solve, {0}, 2);
  study.add("b", TaskKind::Solve, {1, 2}, 1);
  ASSERT_EQ(study.hand_in(), "");
  ASSERT_TRUE(study.has_ended()) << study.trace() << cluster_->log();
  const std::string text = study.trace();
  EXPECT_LT(text.find("ended 0\n"), text.find("begun 2")) << text;
  EXPECT_LT(text.find("ended 1\n"), text.find("begun 2")) << text;
  EXPECT_LT(text.find("ended 2\n"), text.find("begun 3")) << text;
  EXPECT_LT(text.find("ended 3\n"), text.find("tables --report")) << text;
  EXPECT_EQ(count(text, "tables --turn"), 2) << text;  // one after each solver
  EXPECT_THAT(study.log_of("a.mesh"), HasSubstr("a.mesh: job "));
}

TEST_F(SlurmJobs, ArePreemptedAndGoOn) {
  StandInStudy study;
  study.add("a", TaskKind::Solve, {}, 30);
  study.add("b", TaskKind::Solve, {}, 30);
  ASSERT_EQ(study.hand_in(), "");
  ASSERT_TRUE(study.comes("begun 0") && study.comes("begun 1")) << study.trace() << cluster_->log();
  const ScratchFolder folder;
  const fs::path urgent = folder.write_program("urgent.sh", "sleep 1\n");
  const ProgramRun run = run_program(
      {"sbatch", "--partition=urgent", "--nodes=2", "--output=/dev/null", urgent.string()}, folder.path());
  ASSERT_EQ(run.exit_code, 0) << run.output;
  ASSERT_TRUE(study.has_ended()) << study.trace() << cluster_->log();
  const std::string text = study.trace();
  EXPECT_EQ(count(text, "begun "), 4) << text;
  EXPECT_EQ(count(text, "stopped "), 2) << text;
  EXPECT_EQ(count(text, "ended "), 2) << text;
}

TEST_F(SlurmJobs, ThatAreTakenBackDoNotComeAgain) {
  StandInStudy study;
  study.add("a", TaskKind::Solve, {}, 600);
  ASSERT_EQ(study.hand_in(), "");
  ASSERT_TRUE(study.comes("begun 0")) << study.trace() << cluster_->log();
  std::istringstream jobs(text_of(study.output() / "slurm" / "jobs.txt"));
  for (std::string name, id; jobs >> name >> id;) run_program({"scancel", id}, study.output());
  ASSERT_TRUE(study.comes("stopped 0")) << study.trace() << cluster_->log();
  EXPECT_TRUE(StandInStudy::holds([&] {
    return run_program({"squeue", "--noheader", "--partition=work"}, study.output()).output.empty();
  }));
  EXPECT_EQ(count(study.trace(), "begun "), 1) << study.trace();
}

// A node stays lost: after those that need both.
TEST_F(SlurmJobs, OfALostNodeGoOnOnAnother) {
  StandInStudy study;
  study.add("a", TaskKind::Solve, {}, 50);
  ASSERT_EQ(study.hand_in(), "");
  ASSERT_TRUE(study.comes("begun 0")) << study.trace() << cluster_->log();
  const std::string node = study.node_of("0");
  cluster_->lose(node);
  ASSERT_TRUE(study.has_ended()) << study.trace() << cluster_->log();
  EXPECT_EQ(count(study.trace(), "begun 0"), 2) << study.trace();
  EXPECT_NE(study.node_of("0"), node);
  EXPECT_EQ(count(study.trace(), "ended 0"), 1) << study.trace();
}

TEST_F(SlurmJobs, AtTheirTimeLimitGoOnInAnotherJob) {
  ASSERT_TRUE(limited_->has_ended()) << limited_->trace() << cluster_->log();
  const std::string text = limited_->trace();
  EXPECT_GE(count(text, "begun 0"), 2) << text;
  EXPECT_EQ(count(text, "begun 0"), count(text, "stopped 0") + 1) << text;
  EXPECT_EQ(count(text, "ended 0"), 1) << text;
  EXPECT_THAT(limited_->log_of("long"), HasSubstr("long: goes on in another job."));
}

}  // namespace
