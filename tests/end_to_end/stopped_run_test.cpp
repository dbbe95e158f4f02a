// SPDX-License-Identifier: GPL-3.0-or-later
//
// Ctrl-C in the middle of the solver, then the same command again.
#include "cases/run/process.h"
#include "geometry/base/case_state.h"
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <csignal>

namespace {

using namespace cowlwright;
using namespace cowlwright::testing_support;
using namespace std::chrono_literals;
using testing::HasSubstr;

bool has_iteration(const std::filesystem::path& log, int iteration) {
  return text_of(log).find("\nTime = " + std::to_string(iteration) + "\n") != std::string::npos;
}

class StoppedRun : public OpenFoamTest {};

TEST_F(StoppedRun, GoesOnFromTheIterationThatWasWritten) {
  const ScratchFolder folder;
  folder.write("my.toml", draft_study(40, 20, "\"exit.lip_angle\" = [\"0 deg\"]"));
  const std::filesystem::path case_dir = folder.path() / "my-study" / "lip_angle_0_deg";

  // The shell tells the exit code, which is lost when our own process group is stopped.
  run::Command command{
      .words = {"/bin/sh", "-c", "trap : INT; \"$0\" run my.toml; echo exit code $?", program("cowlwright")},
      .directory = folder.path(),
      .log = folder.path() / "output"};
  for (char** entry = environ; *entry != nullptr; ++entry) command.environment.emplace_back(*entry);
  run::WaitRules rules{.tick = 50ms, .kill_after = 300s};
  bool is_sent = false;
  rules.on_tick = [&] {
    if (!is_sent && has_iteration(case_dir / "log.solve", 5)) {
      is_sent = true;
      kill(getpid(), SIGINT);
    }
    return true;
  };
  EXPECT_THROW(run::run_process(command, rules), run::Interrupted);
  ASSERT_TRUE(is_sent) << text_of(command.log);
  EXPECT_THAT(text_of(command.log), HasSubstr("stopped on request"));
  EXPECT_THAT(text_of(command.log), HasSubstr("exit code 130"));
  const auto state = base::read_case_state(case_dir);
  ASSERT_TRUE(state.has_value());
  EXPECT_EQ(state->begun, "solve");

  const ProgramRun second =
      run_program({program("cowlwright"), "run", "--tables-only", "my.toml"}, folder.path());
  EXPECT_EQ(second.exit_code, 0) << second.output;
  EXPECT_THAT(second.output, HasSubstr("goes on with solve"));
  EXPECT_TRUE(has_iteration(case_dir / "log.solve", 40));
  EXPECT_FALSE(has_iteration(case_dir / "log.solve", 5));
  EXPECT_TRUE(has_iteration(case_dir / "log.solve.1", 5));
}

}  // namespace
