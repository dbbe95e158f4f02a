// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study of two variants of one mesh through a real Slurm: handed in, preempted while the first is solved,
// with tables on the way and at the end.
#include "geometry/base/case_state.h"
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"
#include "tests/support/slurm_cluster.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <chrono>
#include <functional>
#include <numeric>
#include <sstream>
#include <thread>

namespace {

using namespace cowlwright;
using namespace cowlwright::testing_support;
using namespace std::chrono_literals;
using testing::HasSubstr;
namespace fs = std::filesystem;

constexpr int n_iterations = 30;

bool holds(const std::function<bool()>& condition) {
  const auto deadline = std::chrono::steady_clock::now() + 600s;
  while (!condition()) {
    if (std::chrono::steady_clock::now() > deadline) return false;
    std::this_thread::sleep_for(200ms);
  }
  return true;
}

/// Iterations of a monitor's tables, from all starts of the solver, in the order of the files' names.
std::vector<int> monitored_iterations(const fs::path& case_dir) {
  std::vector<int> iterations;
  for (const auto& object : fs::directory_iterator(case_dir / "postProcessing")) {
    for (const auto& start : fs::directory_iterator(object.path())) {
      for (const auto& table : fs::directory_iterator(start.path())) {
        std::istringstream lines(text_of(table.path()));
        for (std::string line; std::getline(lines, line);) {
          if (!line.empty() && line.front() != '#') iterations.push_back(std::stoi(line));
        }
      }
    }
    break;  // one monitor tells for all
  }
  std::sort(iterations.begin(), iterations.end());
  return iterations;
}

class Slurm : public OpenFoamTest {
 protected:
  void SetUp() override {
    OpenFoamTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
#ifdef COWLWRIGHT_REQUIRE_OPENFOAM
    ASSERT_EQ(why_slurm_does_not_run(), "");
#else
    if (!why_slurm_does_not_run().empty()) GTEST_SKIP() << why_slurm_does_not_run();
#endif
  }
};

TEST_F(Slurm, SolvesAStudyThatIsPreemptedAndShowsItsTablesOnTheWay) {
  const ScratchFolder folder;
  const SlurmCluster slurm(2);
  folder.write("my.toml",
               draft_study(n_iterations, 10, "\"flight.true_airspeed\" = [\"105 kt\", \"95 kt\"]"));
  folder.write("site.toml", "[slurm]\npartition = \"work\"\njobs_at_a_time = 1\n[task]\nranks = 2\n");
  const std::vector<std::string> hand_in{
      program("cowlwright"), "run", "--tables-only", "--on", "slurm", "--site", "site.toml", "my.toml"};
  const fs::path output = folder.path() / "my-study";
  const auto log = [&] {
    std::string text = slurm.log();
    for (const auto& file : fs::directory_iterator(output / "logs")) text += text_of(file.path());
    return text;
  };

  const ProgramRun first = run_program(hand_in, folder.path());
  ASSERT_EQ(first.exit_code, 0) << first.output;
  EXPECT_THAT(first.output, HasSubstr("report: job "));
  EXPECT_TRUE(fs::exists(output / "slurm" / "submit.sh"));

  // Nobody plans anew under the jobs' feet, here or there.
  const ProgramRun second = run_program(hand_in, folder.path());
  EXPECT_EQ(second.exit_code, 3);
  EXPECT_THAT(second.output, HasSubstr("scancel "));

  const fs::path solver_log = output / "true_airspeed_105_kt" / "log.solve";
  ASSERT_TRUE(holds([&] { return text_of(solver_log).find("\nTime = 5\n") != std::string::npos; })) << log();
  const fs::path urgent = folder.write_program("urgent.sh", "sleep 1\n");
  ASSERT_EQ(run_program({"sbatch", "--partition=urgent", "--nodes=2", "--output=/dev/null", urgent.string()},
                        folder.path())
                .exit_code,
            0);

  const auto state_of = [&](const std::string& name) { return base::read_case_state(output / name); };
  ASSERT_TRUE(holds([&] { return !read_results(output).is_null(); })) << log();
  const nlohmann::json partial = read_results(output);
  EXPECT_EQ(partial["variants"].size(), 1U) << partial.dump(1);
  // The preempted one waits in the queue for a while, so the other may be first.
  EXPECT_EQ(partial["variants"][0]["fields_iteration"], n_iterations);

  ASSERT_TRUE(holds([&] { return !fs::exists(output / "slurm" / "jobs.txt"); })) << log();
  EXPECT_EQ(read_results(output)["variants"].size(), 2U);
  for (const std::string name : {"true_airspeed_105_kt", "true_airspeed_95_kt"}) {
    ASSERT_TRUE(state_of(name).has_value());
    EXPECT_EQ(state_of(name)->phase, base::CasePhase::Finished) << state_of(name)->message;
    std::vector<int> all(n_iterations);
    std::iota(all.begin(), all.end(), 1);
    EXPECT_EQ(monitored_iterations(output / name), all) << name;
  }
  EXPECT_THAT(text_of(output / "logs" / "true_airspeed_105_kt.log"), HasSubstr("attempt 2"));
}

}  // namespace
