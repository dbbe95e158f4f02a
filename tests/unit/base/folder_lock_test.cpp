// SPDX-License-Identifier: GPL-3.0-or-later
//
// Locks of folders, between processes and within one.
#include "geometry/base/folder_lock.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <thread>

namespace {

using namespace cowlwright::base;
using cowlwright::testing_support::ScratchFolder;
using namespace std::chrono_literals;
using testing::AllOf;
using testing::HasSubstr;
using testing::MatchesRegex;
using testing::ThrowsMessage;

/// Another process that holds a lock until it is killed.
class Holder {
 public:
  Holder(const std::filesystem::path& folder, const std::string& purpose) {
    std::array<int, 2> ends{};
    if (pipe2(ends.data(), O_CLOEXEC) != 0) throw std::runtime_error("pipe");
    child_ = fork();
    if (child_ == 0) {
      const FolderLock lock(folder, driver_lock_name, purpose);
      if (write(ends[1], "x", 1) != 1) _exit(1);
      for (;;) pause();
    }
    close(ends[1]);
    char letter = 0;
    if (read(ends[0], &letter, 1) != 1) throw std::runtime_error("the holder has not got its lock");
    close(ends[0]);
  }
  ~Holder() { kill_now(); }
  Holder(const Holder&) = delete;
  Holder& operator=(const Holder&) = delete;

  void kill_now() {
    if (child_ <= 0) return;
    kill(child_, SIGKILL);
    waitpid(child_, nullptr, 0);
    child_ = -1;
  }
  pid_t process() const { return child_; }

 private:
  pid_t child_ = -1;
};

std::string this_host() {
  std::array<char, 256> name{};
  gethostname(name.data(), name.size() - 1);
  return name.data();
}

TEST(FolderLock, RefusesASecondProcessByPurposeProcessHostAndTime) {
  const ScratchFolder folder;
  const Holder holder(folder.path(), "cowlwright run my.toml");
  EXPECT_THAT([&] { FolderLock(folder.path(), driver_lock_name, "second"); },
              ThrowsMessage<ExternalError>(
                  AllOf(HasSubstr(folder.path().string() + ": in use by cowlwright run my.toml, process " +
                                  std::to_string(holder.process()) + " on " + this_host() + ", since 2"),
                        HasSubstr(" UTC. Wait until"))));
  EXPECT_THAT(lock_holder(folder.path(), driver_lock_name),
              MatchesRegex("cowlwright run my.toml, process [0-9]+ on .+, since ....-..-.. ..:..:.. UTC"));
}

TEST(FolderLock, EndsWithItsHolderHoweverThatEnds) {
  const ScratchFolder folder;
  Holder holder(folder.path(), "a driver");
  holder.kill_now();
  EXPECT_EQ(lock_holder(folder.path(), driver_lock_name), "");
  EXPECT_NO_THROW(FolderLock(folder.path(), driver_lock_name, "the next"));
}

TEST(FolderLock, ShutsOutASecondOneOfTheSameProcessAndOtherNamesAreFree) {
  const ScratchFolder folder;
  const FolderLock first(folder.path(), driver_lock_name, "first");
  EXPECT_THAT([&] { FolderLock(folder.path(), driver_lock_name, "second"); },
              ThrowsMessage<ExternalError>(HasSubstr("in use by first, process")));
  EXPECT_NO_THROW(FolderLock(folder.path(), tables_lock_name, "tables"));
}

TEST(FolderLock, MovesAndIsFreedOnce) {
  const ScratchFolder folder;
  {
    FolderLock first(folder.path(), case_lock_name, "first");
    const FolderLock second(std::move(first));
    EXPECT_NE(lock_holder(folder.path(), case_lock_name), "");
  }
  EXPECT_EQ(lock_holder(folder.path(), case_lock_name), "");
}

TEST(FolderLock, WaitsItsPatienceForAHolderThatEnds) {
  const ScratchFolder folder;
  Holder holder(folder.path(), "a task that stops its solver");
  std::thread end([&] {
    std::this_thread::sleep_for(100ms);
    holder.kill_now();
  });
  EXPECT_NO_THROW(FolderLock(folder.path(), driver_lock_name, "patient", 10s));
  end.join();
}

TEST(FolderLock, ShorterPurposeLeavesNothingOfALongerOne) {
  const ScratchFolder folder;
  { const FolderLock first(folder.path(), case_lock_name, "a purpose in very many words"); }
  const FolderLock second(folder.path(), case_lock_name, "b");
  EXPECT_THAT(lock_holder(folder.path(), case_lock_name), MatchesRegex("b, process [0-9]+ on .+ UTC"));
}

TEST(FolderLock, HoldsTheFileOfTheNameAndNotOneThatWasRemoved) {
  const ScratchFolder folder;
  const FolderLock first(folder.path(), case_lock_name, "first");
  std::filesystem::remove(folder.path() / case_lock_name);
  const FolderLock second(folder.path(), case_lock_name, "second");
  EXPECT_THAT(lock_holder(folder.path(), case_lock_name), HasSubstr("second"));
}

TEST(FolderLock, MissingFolderIsNamedAndHasNoHolder) {
  EXPECT_THAT([] { FolderLock("no/such/folder", driver_lock_name, "x"); },
              ThrowsMessage<ExternalError>(AllOf(HasSubstr("no/such/folder/driver.lock: cannot be locked"),
                                                 HasSubstr("No such file"))));
  EXPECT_EQ(lock_holder("no/such/folder", driver_lock_name), "");
}

}  // namespace
