// SPDX-License-Identifier: GPL-3.0-or-later
//
// Child programs: exit codes, signals, logs, environment, and what a request to stop does to them.
#include "cases/run/process.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <csignal>
#include <fstream>

namespace {

using namespace cowlwright;
using namespace std::chrono_literals;
using run::Command;
using run::Ending;
using run::run_process;
using run::WaitRules;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;
using testing_support::text_of;

const std::vector<std::string> plain_environment{"PATH=/usr/bin:/bin"};

Command shell(const std::string& script, const ScratchFolder& folder) {
  return {.words = {"/bin/sh", "-c", script},
          .directory = folder.path(),
          .log = folder.path() / "log",
          .environment = plain_environment};
}

bool is_alive(pid_t process) {
  // A zombie still answers kill(); its state in /proc tells it from a running process.
  std::ifstream stat("/proc/" + std::to_string(process) + "/stat");
  std::string number, name, state;
  stat >> number >> name >> state;
  return stat && state != "Z";
}

TEST(Process, ReportsTheExitCodeOfTheProgram) {
  const ScratchFolder folder;
  const Ending ending = run_process(shell("exit 7", folder));
  EXPECT_EQ(ending.exit_code, 7);
  EXPECT_EQ(ending.signal, 0);
}

TEST(Process, ReportsTheSignalThatEndedTheProgramAndTheShellsCodeForIt) {
  const ScratchFolder folder;
  const Ending ending = run_process(shell("kill -SEGV $$", folder));
  EXPECT_EQ(ending.signal, SIGSEGV);
  EXPECT_EQ(ending.exit_code, 128 + SIGSEGV);
}

TEST(Process, SendsBothOutputsToTheLogInOrder) {
  const ScratchFolder folder;
  run_process(shell("echo one; echo two >&2; echo three", folder));
  EXPECT_EQ(text_of(folder.path() / "log"), "one\ntwo\nthree\n");
}

TEST(Process, StartsInTheFolderWithThatEnvironmentOnlyAndNoInput) {
  const ScratchFolder folder;
  Command command = shell("pwd; env | grep -c . ; echo $COLOUR; cat", folder);
  command.environment.emplace_back("COLOUR=blue green");
  run_process(command);
  // The shell itself adds PWD to PATH and COLOUR; `cat` ends at once because stdin is empty.
  EXPECT_EQ(text_of(folder.path() / "log"),
            std::filesystem::canonical(folder.path()).string() + "\n3\nblue green\n");
}

TEST(Process, PassesWordsOnWithoutAShellInBetween) {
  const ScratchFolder folder;
  const Command command{.words = {"echo", "$HOME; *", "a b"},
                        .directory = folder.path(),
                        .log = folder.path() / "log",
                        .environment = plain_environment};
  run_process(command);
  EXPECT_EQ(text_of(folder.path() / "log"), "$HOME; * a b\n");
}

TEST(Process, RefusesAProgramThatIsNotThereNamingIt) {
  const ScratchFolder folder;
  const Command command{
      .words = {"no-such-program"}, .directory = folder.path(), .environment = plain_environment};
  EXPECT_THAT(
      [&] { run_process(command); },
      ThrowsMessage<base::ExternalError>(AllOf(HasSubstr("no-such-program"), HasSubstr("No such file"))));
}

TEST(Process, RefusesAFolderThatIsNotThere) {
  const Command command{.words = {"true"}, .directory = "/no/such/folder", .environment = plain_environment};
  EXPECT_THAT([&] { run_process(command); },
              ThrowsMessage<base::ExternalError>(HasSubstr("/no/such/folder")));
}

TEST(Process, CallsOnTickWhileItWaitsAndEndsTheChildWhenThatSaysSo) {
  const ScratchFolder folder;
  int n_ticks = 0;
  WaitRules rules{.tick = 20ms};
  rules.on_tick = [&] { return ++n_ticks < 3; };
  const Ending ending = run_process(shell("exec sleep 60", folder), rules);
  EXPECT_EQ(ending.signal, SIGTERM);
  EXPECT_GE(n_ticks, 3);
  EXPECT_LT(ending.seconds, 30.0);
}

TEST(Process, AStopRequestEndsTheWholeGroupAndIsReportedAsInterrupted) {
  const ScratchFolder folder;
  WaitRules rules{.tick = 20ms};
  bool is_sent = false;
  rules.on_tick = [&] {
    if (!is_sent && !text_of(folder.path() / "log").empty()) {
      is_sent = true;
      kill(getpid(), SIGINT);
    }
    return true;
  };
  // The child starts a grandchild; both must be gone afterwards.
  EXPECT_THROW(run_process(shell("sleep 61 & echo $!; wait", folder), rules), run::Interrupted);
  ASSERT_TRUE(is_sent);
  const pid_t grandchild = std::stoi(text_of(folder.path() / "log"));
  for (int i = 0; i < 100 && is_alive(grandchild); ++i) usleep(20'000);  // its new parent needs a moment
  EXPECT_FALSE(is_alive(grandchild));
}

TEST(Process, AStopRequestFirstAsksWhenThereIsAWayToAsk) {
  const ScratchFolder folder;
  WaitRules rules{.tick = 20ms};
  bool is_sent = false;
  rules.on_tick = [&] {
    if (!is_sent && text_of(folder.path() / "log") == "ready\n") {
      is_sent = true;
      kill(getpid(), SIGTERM);
    }
    return true;
  };
  rules.on_interrupt = [&] { folder.write("STOP", ""); };
  const std::string script = "echo ready; while [ ! -e STOP ]; do sleep 0.02; done; echo written";
  EXPECT_THROW(run_process(shell(script, folder), rules), run::Interrupted);
  EXPECT_EQ(text_of(folder.path() / "log"), "ready\nwritten\n");
}

TEST(Process, AChildThatIgnoresBothTheQuestionAndTheSignalIsKilled) {
  const ScratchFolder folder;
  WaitRules rules{.tick = 20ms, .patience = 0s, .kill_after = 0s};
  bool is_sent = false;
  rules.on_tick = [&] {
    if (!is_sent && text_of(folder.path() / "log") == "ready\n") {
      is_sent = true;
      kill(getpid(), SIGINT);
    }
    return true;
  };
  rules.on_interrupt = [] {};
  const std::string script = "trap '' INT TERM; echo ready; while true; do sleep 0.05; done";
  EXPECT_THROW(run_process(shell(script, folder), rules), run::Interrupted);
}

TEST(InterruptHold, KeepsASignalFromEndingUsAndForgetsItAtItsEnd) {
  {
    const run::InterruptHold hold;
    EXPECT_FALSE(run::interrupt_requested());
    kill(getpid(), SIGINT);
    EXPECT_TRUE(run::interrupt_requested());
    EXPECT_THROW(run::throw_if_interrupted(), run::Interrupted);
  }
  const run::InterruptHold hold;
  EXPECT_FALSE(run::interrupt_requested());
}

TEST(CommandText, QuotesWordsThatAShellWouldSplit) {
  EXPECT_EQ(run::command_text({"mpirun", "-np", "2", "a b", ""}), "mpirun -np 2 'a b' ''");
}

}  // namespace
