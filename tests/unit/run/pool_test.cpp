// SPDX-License-Identifier: GPL-3.0-or-later
//
// The pool, with shell scripts in place of tasks.
#include "cases/run/pool.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <map>

namespace cowlwright::run {
namespace {

using namespace std::chrono_literals;
using base::TaskKind;
using testing::ElementsAre;
using testing_support::ScratchFolder;
using testing_support::text_of;

/// Tasks whose script is set_script()'s; each one's begin and end are lines of the file `trace`.
class PoolTest : public testing::Test {
 protected:
  std::size_t add(base::Task task, const std::string& body) {
    task.case_folder = "case" + std::to_string(sweep_.tasks.size());
    bodies_.push_back("echo begin " + task.case_folder + " >> trace\n" + body + "\n");
    sweep_.tasks.push_back(std::move(task));
    return sweep_.tasks.size() - 1;
  }

  std::vector<TaskEnd> run(const Machine& machine) {
    Schedule schedule;
    for (std::size_t i = 0; i < sweep_.tasks.size(); ++i) schedule.slots.push_back({.task = i});
    rules_.tick = 10ms;
    rules_.command = [&](std::size_t i) {
      return Command{.words = {"/bin/sh", "-c", bodies_[i]},
                     .directory = scratch_.path(),
                     .log = scratch_.path() / ("log" + std::to_string(i)),
                     .environment = {"PATH=/usr/bin:/bin"}};
    };
    rules_.on_end = [&](std::size_t i, const TaskEnd&) { ended_.push_back(i); };
    return run_pool(sweep_, schedule, machine, rules_);
  }
  std::string trace() const { return text_of(scratch_.path() / "trace"); }

  ScratchFolder scratch_;
  base::Sweep sweep_;
  std::vector<std::string> bodies_;
  PoolRules rules_;
  std::vector<std::size_t> ended_;
};

/// Ends when another task has begun: both must run at the same time.
std::string waits_for(const std::string& other) {
  return "for i in $(seq 500); do grep -q 'begin " + other + "' trace && exit 0; sleep 0.01; done; exit 9";
}

TEST_F(PoolTest, RunsAsManyTasksAtATimeAsThereAreCores) {
  add({}, waits_for("case1"));
  add({}, waits_for("case0"));
  const auto ends = run({.cores = 2, .memory = 1e9});
  EXPECT_EQ(ends[0].outcome, TaskOutcome::Done);
  EXPECT_EQ(ends[1].outcome, TaskOutcome::Done);
}

TEST_F(PoolTest, RunsNoMoreThanCoresOrMemoryAllow) {
  const std::string alone = "mkdir only || exit 9; sleep 0.1; rmdir only";
  add({.ranks = 2}, alone);
  add({.ranks = 2}, alone);
  for (const TaskEnd& end : run({.cores = 3, .memory = 1e9})) EXPECT_EQ(end.exit_code, 0);
  for (base::Task& task : sweep_.tasks) {
    task.ranks = 1;
    task.expected_memory = 0.6e9;
  }
  for (const TaskEnd& end : run({.cores = 3, .memory = 1e9})) EXPECT_EQ(end.exit_code, 0);
}

TEST_F(PoolTest, BeginsATaskOnceThoseBeforeItHaveEnded) {
  add({.kind = TaskKind::Mesh}, "sleep 0.1; touch mesh");
  add({.after = {0}}, "test -e mesh");
  add({.after = {1}}, "");
  for (const TaskEnd& end : run({.cores = 4, .memory = 1e9})) EXPECT_EQ(end.outcome, TaskOutcome::Done);
  EXPECT_THAT(ended_, ElementsAre(0U, 1U, 2U));
}

TEST_F(PoolTest, DoesNotRunWhatWasDoneBefore) {
  add({.is_done = true}, "exit 9");
  add({.after = {0}}, "");
  const auto ends = run({.cores = 1, .memory = 1e9});
  EXPECT_EQ(ends[0].outcome, TaskOutcome::Done);
  EXPECT_EQ(trace(), "begin case1\n");
}

TEST_F(PoolTest, GoesOnWhenATaskFailsButNotWithoutAMesh) {
  add({.kind = TaskKind::Mesh}, "exit 4");
  add({.after = {0}}, "");
  add({}, "exit 3");
  add({.after = {2}}, "");
  const auto ends = run({.cores = 2, .memory = 1e9});
  EXPECT_EQ(ends[0].outcome, TaskOutcome::Failed);
  EXPECT_EQ(ends[0].exit_code, 4);
  EXPECT_EQ(ends[1].outcome, TaskOutcome::NotBegun);
  EXPECT_EQ(ends[2].outcome, TaskOutcome::Failed);
  EXPECT_EQ(ends[3].outcome, TaskOutcome::Done);
}

TEST_F(PoolTest, TriesATaskAgainThatASignalHasEnded) {
  add({}, "test -e once && exit 0; touch once; kill -KILL $$");
  const auto ends = run({.cores = 1, .memory = 1e9});
  EXPECT_EQ(ends[0].outcome, TaskOutcome::Done);
  EXPECT_EQ(trace(), "begin case0\nbegin case0\n");
}

TEST_F(PoolTest, GivesUpOnATaskThatSignalsEndEachTime) {
  add({}, "kill -KILL $$");
  const auto ends = run({.cores = 1, .memory = 1e9});
  EXPECT_EQ(ends[0].outcome, TaskOutcome::Failed);
  EXPECT_EQ(ends[0].signal, SIGKILL);
  EXPECT_EQ(trace(), "begin case0\nbegin case0\n");
}

TEST_F(PoolTest, PassesARequestToStopOnToEveryTaskAndBeginsNoMore) {
  const std::string stoppable = "trap 'exit 130' TERM; touch ready$$; while true; do sleep 0.02; done";
  add({}, stoppable);
  add({}, stoppable);
  add({}, "");
  bool is_sent = false;
  rules_.on_tick = [&](const std::vector<std::size_t>& running) {
    const auto is_ready = [](const auto& entry) {
      return entry.path().filename().string().starts_with("ready");
    };
    const auto folder = std::filesystem::directory_iterator(scratch_.path());
    if (!is_sent && running.size() == 2 && std::count_if(begin(folder), end(folder), is_ready) == 2) {
      is_sent = true;
      kill(getpid(), SIGTERM);
    }
  };
  const InterruptHold hold;
  const auto ends = run({.cores = 2, .memory = 1e9});
  EXPECT_TRUE(is_sent);
  EXPECT_TRUE(interrupt_requested());
  EXPECT_EQ(ends[0].outcome, TaskOutcome::Stopped);
  EXPECT_EQ(ends[1].outcome, TaskOutcome::Stopped);
  EXPECT_EQ(ends[2].outcome, TaskOutcome::NotBegun);
}

TEST_F(PoolTest, KillsATaskThatDoesNotHeedTheRequest) {
  add({}, "trap '' TERM; touch ready; while true; do sleep 0.02; done");
  rules_.kill_after = 0s;
  rules_.on_tick = [&](const std::vector<std::size_t>&) {
    if (std::filesystem::exists(scratch_.path() / "ready")) kill(getpid(), SIGTERM);
  };
  const InterruptHold hold;
  const auto ends = run({.cores = 1, .memory = 1e9});
  EXPECT_EQ(ends[0].outcome, TaskOutcome::Stopped);
  EXPECT_EQ(ends[0].signal, SIGKILL);
}

TEST_F(PoolTest, FailsWhenATaskCannotBeStarted) {
  add({}, "");
  Schedule schedule{.slots = {{.task = 0}}};
  rules_.command = [&](std::size_t) {
    return Command{.words = {"no-such-program"}, .directory = scratch_.path(), .environment = {"PATH=/bin"}};
  };
  EXPECT_THROW(run_pool(sweep_, schedule, {.cores = 1, .memory = 1e9}, rules_), base::ExternalError);
}

}  // namespace
}  // namespace cowlwright::run
