// SPDX-License-Identifier: GPL-3.0-or-later
//
// Child programs, by Boost.Process.
#include "post/report/children.h"

#include "geometry/base/text_file.h"

#include <boost/process.hpp>
#include <fmt/format.h>
#include <sys/wait.h>

#include <algorithm>
#include <system_error>

namespace cowlwright::post {

namespace {

namespace process = boost::process;

constexpr int timed_out = 124;  // exit code of `timeout`, coreutils

/// The last line of a log that says something.
std::string last_words(const std::filesystem::path& log) {
  std::error_code error;
  if (!std::filesystem::exists(log, error)) {
    return "it left no log";
  }
  const std::string text = base::read_text(log);
  const std::size_t end = text.find_last_not_of(" \n\r\t");
  if (end == std::string::npos) {
    return "it said nothing";
  }
  const std::size_t start = text.find_last_of('\n', end);
  return text.substr(start == std::string::npos ? 0 : start + 1,
                     end - (start == std::string::npos ? 0 : start + 1) + 1);
}

struct Started {
  process::child child;
  std::string failure;  ///< it could not be started
};

Started start(const Child& child, std::chrono::seconds patience) {
  Started started;
  std::vector<std::string> words{"--kill-after=5", std::to_string(patience.count())};
  words.insert(words.end(), child.words.begin(), child.words.end());
  std::error_code error;
  started.child =
      process::child(process::search_path("timeout"),
                     process::args(words),
                     process::std_in<process::null, (process::std_out & process::std_err)> child.log.string(),
                     error);
  if (error) {
    started.failure = fmt::format("{} cannot be started: {}", child.words.front(), error.message());
  }
  return started;
}

std::string wait(Started& started, const Child& child, std::chrono::seconds patience) {
  if (!started.failure.empty()) {
    return started.failure;
  }
  std::error_code error;
  started.child.wait(error);
  const int status = started.child.native_exit_code();
  if (WIFSIGNALED(status)) {
    return fmt::format(
        "{} was ended by signal {}: {}", child.words.front(), WTERMSIG(status), last_words(child.log));
  }
  const int code = WEXITSTATUS(status);
  if (code == 0 && !error) {
    return {};
  }
  return code == timed_out
             ? fmt::format("{} was ended after {} s", child.words.front(), patience.count())
             : fmt::format("{} ended with {}: {}", child.words.front(), code, last_words(child.log));
}

}  // namespace

bool is_there(const std::string& program) {
  if (program.find('/') != std::string::npos) {
    std::error_code error;
    return std::filesystem::exists(program, error);
  }
  return !process::search_path(program).empty();
}

std::vector<std::string> run_children(std::span<const Child> children,
                                      std::size_t at_a_time,
                                      std::chrono::seconds patience) {
  std::vector<Started> started;
  std::vector<std::string> failures(children.size());
  started.reserve(children.size());
  for (std::size_t i = 0; i < children.size(); ++i) {
    if (i >= at_a_time) {
      failures[i - at_a_time] = wait(started[i - at_a_time], children[i - at_a_time], patience);
    }
    started.push_back(start(children[i], patience));
  }
  for (std::size_t i = children.size() - std::min(at_a_time, children.size()); i < children.size(); ++i) {
    failures[i] = wait(started[i], children[i], patience);
  }
  return failures;
}

}  // namespace cowlwright::post
