// SPDX-License-Identifier: GPL-3.0-or-later
//
// fork, exec and a wait that hears signals: SIGCHLD, SIGINT and SIGTERM are blocked and taken one by one with
// sigtimedwait(), so no handler runs and nothing is polled in a tight loop.
#include "cases/run/process.h"

#include "geometry/base/error.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <fmt/std.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstring>

namespace cowlwright::run {
namespace {

using Clock = std::chrono::steady_clock;

int hold_depth = 0;
bool was_interrupted = false;
sigset_t mask_outside;

sigset_t stop_signals() {
  sigset_t set;
  sigemptyset(&set);
  sigaddset(&set, SIGINT);
  sigaddset(&set, SIGTERM);
  return set;
}

/// Waits up to `timeout` for a stop signal or a child's end; the stop signal, or 0.
int next_stop_signal(std::chrono::nanoseconds timeout, bool wake_on_child) {
  sigset_t set = stop_signals();
  if (wake_on_child) sigaddset(&set, SIGCHLD);
  const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(timeout);
  const timespec wait{static_cast<time_t>(seconds.count()), static_cast<long>((timeout - seconds).count())};
  const int signal = sigtimedwait(&set, nullptr, &wait);
  if (signal != SIGINT && signal != SIGTERM) return 0;
  was_interrupted = true;
  return signal;
}

/// SIGCHLD is blocked only while children run, so that a test framework's own children are not disturbed.
int n_children = 0;
bool was_child_signal_blocked = false;

void hold_child_signal() {
  if (n_children++ > 0) return;
  sigset_t set;
  sigset_t before;
  sigemptyset(&set);
  sigaddset(&set, SIGCHLD);
  sigprocmask(SIG_BLOCK, &set, &before);
  was_child_signal_blocked = sigismember(&before, SIGCHLD) == 1;
}

void release_child_signal() {
  if (--n_children > 0 || was_child_signal_blocked) return;
  sigset_t set;
  sigemptyset(&set);
  sigaddset(&set, SIGCHLD);
  sigprocmask(SIG_UNBLOCK, &set, nullptr);
}

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }
  int release() {
    const int number = number_;
    number_ = -1;
    return number;
  }

 private:
  int number_;
};

std::vector<char*> pointers(const std::vector<std::string>& words) {
  std::vector<char*> result;
  result.reserve(words.size() + 1);
  for (const std::string& word : words) result.push_back(const_cast<char*>(word.c_str()));
  result.push_back(nullptr);
  return result;
}

[[noreturn]] void fail_to_start(const Command& command, std::string_view step, int error) {
  throw base::ExternalError(fmt::format("{}: cannot be started in {} ({}: {}). Is it installed and on PATH?",
                                        command.words.front(),
                                        command.directory.empty() ? "." : command.directory.string(),
                                        step,
                                        std::strerror(error)));
}

/// Everything the child needs, made before fork() so that only async-signal-safe calls follow it.
struct Launch {
  char* const* words = nullptr;
  char** environment = nullptr;
  const char* directory = nullptr;
  int in = -1;
  int out = -1;     ///< -1: keep ours
  int report = -1;  ///< write end of a close-on-exec pipe; takes errno when exec fails
  sigset_t mask{};  ///< of the child
  pid_t parent = 0;
};

[[noreturn]] void become(const Launch& launch) {
  setpgid(0, 0);
  prctl(PR_SET_PDEATHSIG, SIGTERM);
  bool is_ready = getppid() == launch.parent && dup2(launch.in, STDIN_FILENO) >= 0;
  if (is_ready && launch.out >= 0)
    is_ready = dup2(launch.out, STDOUT_FILENO) >= 0 && dup2(launch.out, STDERR_FILENO) >= 0;
  if (is_ready && launch.directory) is_ready = chdir(launch.directory) == 0;
  if (is_ready) {
    sigprocmask(SIG_SETMASK, &launch.mask, nullptr);
    environ = launch.environment;  // before the search, so that the child's own PATH counts
    execvp(launch.words[0], launch.words);
  }
  const int error = errno;
  [[maybe_unused]] const ssize_t written = write(launch.report, &error, sizeof error);
  _exit(127);
}

pid_t start(const Command& command) {
  const Descriptor in(open("/dev/null", O_RDONLY | O_CLOEXEC));
  constexpr int mode = O_WRONLY | O_CREAT | O_CLOEXEC | O_TRUNC;
  const Descriptor out(command.log.empty() ? -1 : open(command.log.c_str(), mode, 0666));
  if (!command.log.empty() && out.number() < 0)
    fail_to_start(command, "opening its log " + command.log.string(), errno);
  std::array<int, 2> ends{};
  if (pipe2(ends.data(), O_CLOEXEC) != 0) fail_to_start(command, "pipe", errno);
  const Descriptor read_end(ends[0]);
  Descriptor write_end(ends[1]);

  const std::vector<char*> words = pointers(command.words);
  std::vector<char*> environment = pointers(command.environment);
  Launch launch;
  launch.words = words.data();
  launch.environment = environment.data();
  if (!command.directory.empty()) launch.directory = command.directory.c_str();
  launch.in = in.number();
  launch.out = out.number();
  launch.report = write_end.number();
  launch.mask = mask_outside;
  launch.parent = getpid();
  const pid_t child = fork();
  if (child < 0) fail_to_start(command, "fork", errno);
  if (child == 0) become(launch);
  setpgid(child, child);  // also here: whoever comes first, the group exists before a signal is sent to it
  close(write_end.release());
  int error = 0;
  if (read(read_end.number(), &error, sizeof error) == sizeof error) {
    waitpid(child, nullptr, 0);
    fail_to_start(command, "exec", error);
  }
  return child;
}

/// When the child has to be pushed harder, and how hard.
class Stopper {
 public:
  Stopper(const Child& child, const WaitRules& rules) : child_(child), rules_(rules) {}

  void on_signal(int signal) {
    if (rules_.on_interrupt && !asked_) {
      asked_ = true;
      rules_.on_interrupt();
      deadline_ = Clock::now() + rules_.patience;
    } else if (!told_) {
      tell(signal);
    }
  }
  void tell(int signal) {
    told_ = true;
    child_.tell(signal);
    deadline_ = Clock::now() + rules_.kill_after;
  }
  void on_tick() {
    if (Clock::now() < deadline_) return;
    if (told_) {
      child_.tell(SIGKILL);
      deadline_ = Clock::time_point::max();
    } else {
      tell(SIGTERM);
    }
  }
  bool is_stopping() const { return asked_ || told_; }

 private:
  const Child& child_;
  const WaitRules& rules_;
  bool asked_ = false;
  bool told_ = false;
  Clock::time_point deadline_ = Clock::time_point::max();
};

Ending wait_for(Child& child, const WaitRules& rules) {
  Stopper stopper(child, rules);
  Clock::time_point next_tick = Clock::now() + rules.tick;
  for (;;) {
    if (const std::optional<Ending> ending = child.poll()) {
      if (stopper.is_stopping()) kill(-child.process(), SIGKILL);  // whatever of its group outlived it
      return *ending;
    }
    if (const int signal = wait_for_event(rules.tick); signal != 0) stopper.on_signal(signal);
    if (Clock::now() >= next_tick) {
      next_tick = Clock::now() + rules.tick;
      stopper.on_tick();
      if (rules.on_tick && !rules.on_tick() && !stopper.is_stopping()) stopper.tell(SIGTERM);
    }
  }
}

}  // namespace

InterruptHold::InterruptHold() {
  if (hold_depth++ > 0) return;
  was_interrupted = false;
  const sigset_t set = stop_signals();
  sigprocmask(SIG_BLOCK, &set, &mask_outside);
}

InterruptHold::~InterruptHold() {
  if (--hold_depth > 0) return;
  while (next_stop_signal(std::chrono::nanoseconds(0), false) != 0) {
  }
  was_interrupted = false;
  sigprocmask(SIG_SETMASK, &mask_outside, nullptr);
}

bool interrupt_requested() {
  if (hold_depth > 0) next_stop_signal(std::chrono::nanoseconds(0), false);
  return was_interrupted;
}

void throw_if_interrupted() {
  if (interrupt_requested()) throw Interrupted("stopped on request");
}

int wait_for_event(std::chrono::milliseconds timeout) {
  return next_stop_signal(timeout, true);
}

Child::Child(const Command& command) : begin_(Clock::now()) {
  hold_child_signal();
  try {
    process_ = start(command);
  } catch (...) {
    release_child_signal();
    throw;
  }
}

Child::~Child() {
  if (!ending_) {
    kill(-process_, SIGKILL);
    waitpid(process_, nullptr, 0);
  }
  release_child_signal();
}

std::optional<Ending> Child::poll() {
  int status = 0;
  if (ending_ || waitpid(process_, &status, WNOHANG) != process_) return ending_;
  Ending ending;
  ending.seconds = std::chrono::duration<double>(Clock::now() - begin_).count();
  ending.signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0;
  ending.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + ending.signal;
  ending_ = ending;
  return ending_;
}

void Child::tell(int signal) const {
  if (!ending_) kill(-process_, signal);
}

Ending run_process(const Command& command, const WaitRules& rules) {
  const InterruptHold hold;
  throw_if_interrupted();
  Child child(command);
  const Ending ending = wait_for(child, rules);
  throw_if_interrupted();
  return ending;
}

std::string command_text(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) {
    const bool is_plain = !word.empty() && word.find_first_of(" \t\n'\"\\$`") == std::string::npos;
    text += (text.empty() ? "" : " ") + (is_plain ? word : "'" + word + "'");
  }
  return text;
}

}  // namespace cowlwright::run
