// SPDX-License-Identifier: GPL-3.0-or-later
//
// Child programs: started without a shell, in a folder, with an environment and a log; waited for, one or
// several at a time; stopped together with everything they started when the user presses Ctrl-C.
#pragma once

#include <sys/types.h>

#include <chrono>
#include <filesystem>
#include <functional>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

namespace cowlwright::run {

/// What to start.
struct Command {
  std::vector<std::string> words{};   ///< program (looked up on PATH when it has no slash) and its arguments
  std::filesystem::path directory{};  ///< to start it in; empty: where we are
  std::filesystem::path log{};        ///< takes stdout and stderr, created anew; empty: they go where ours go
  std::vector<std::string> environment{};  ///< "NAME=value", the whole of it
};

/// How it ended. `signal` is 0 unless a signal ended it; then `exit_code` is 128 + signal, as shells report
/// it.
struct Ending {
  int exit_code = 0;
  int signal = 0;
  double seconds = 0.0;  ///< wall time [s]
};

/// The user asked us to stop (Ctrl-C or SIGTERM) and the running child has ended. Programs end with exit code
/// 130.
class Interrupted : public std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// Exit code of a program that was interrupted (128 + SIGINT).
inline constexpr int interrupted_exit_code = 130;

/// While one lives, SIGINT and SIGTERM no longer end this process; they are noticed by interrupt_requested(),
/// wait_for_event() and run_process(). Nests. One thread only.
class InterruptHold {
 public:
  InterruptHold();
  ~InterruptHold();
  InterruptHold(const InterruptHold&) = delete;
  InterruptHold& operator=(const InterruptHold&) = delete;
};

/// True from the first SIGINT or SIGTERM that arrived under an InterruptHold until the outermost one is gone.
bool interrupt_requested();

/// @throws Interrupted  when interrupt_requested().
void throw_if_interrupted();

/// A program that runs beside us, in a process group of its own, stdin empty. If this process dies, the
/// kernel sends it SIGTERM. One thread only.
class Child {
 public:
  /// @throws ExternalError  when it cannot be started: program, folder and the system's reason.
  explicit Child(const Command& command);
  ~Child();  ///< one that still runs is killed with all it started
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  /// How it ended; nothing while it runs. Never waits.
  std::optional<Ending> poll();
  /// Sends a signal to its whole group, as long as it has not ended.
  void tell(int signal) const;
  pid_t process() const { return process_; }

 private:
  InterruptHold hold_;
  std::chrono::steady_clock::time_point begin_;
  pid_t process_ = 0;
  std::optional<Ending> ending_;
};

/// Waits until a child ends, a request to stop arrives or the time is over.
/// @return SIGINT or SIGTERM when one has arrived (interrupt_requested() is true from then on), else 0.
int wait_for_event(std::chrono::milliseconds timeout);

/// What run_process() does while it waits.
struct WaitRules {
  std::chrono::milliseconds tick{200};   ///< time between two calls of `on_tick`
  std::function<bool()> on_tick{};       ///< false: end the child now (it is told to stop, not asked)
  std::function<void()> on_interrupt{};  ///< asks the child to end by itself; absent: it is told at once
  std::chrono::seconds patience{60};     ///< how long after `on_interrupt` it is waited for before it is told
  std::chrono::seconds kill_after{10};   ///< from SIGINT/SIGTERM to SIGKILL
};

/// Runs a program to its end in a process group of its own, stdin empty. A nonzero exit code is not an error
/// here.
///
/// On SIGINT or SIGTERM to us: `on_interrupt` is called if there is one and the child gets `patience` to end;
/// without it, after that, or on a second signal, the signal goes to the child's whole group, and SIGKILL
/// after `kill_after`. If this process dies, the child is sent SIGTERM by the kernel.
///
/// @throws ExternalError  when it cannot be started: program, folder and the system's reason.
/// @throws Interrupted    when we were asked to stop; the child has ended by then.
Ending run_process(const Command& command, const WaitRules& rules = {});

/// "mpirun -np 2 rhoSimpleFoam -parallel", words with blanks or quotes in quotes.
std::string command_text(const std::vector<std::string>& words);

}  // namespace cowlwright::run
