// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `status`: how the cases of a study stand, once or again and again.
#include "cases/run/progress.h"
#include "cases/verbs/verbs.h"
#include "cases/verbs/words.h"
#include "cases/watch/status_text.h"
#include "geometry/base/error.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <sstream>
#include <thread>

namespace cowlwright::verbs {
namespace {

namespace options = boost::program_options;
using namespace std::chrono_literals;

constexpr auto time_between_looks = 500ms;
constexpr auto time_between_printouts = 10s;  // without a terminal

constexpr const char* purpose =
    "cowlwright status OUT [options]\n\n"
    "Says how each case of a study stands: OUT is the output folder of `cowlwright run`, which another\n"
    "terminal, or another machine that shares the folder, may be working in. Only reads. A case is\n"
    "called silent when whoever should work on it has given no sign of life for 10 s.\n\n";

constexpr const char* examples =
    "\nExamples\n"
    "  cowlwright status my-cowl-study\n"
    "  cowlwright status my-cowl-study --watch\n"
    "  cowlwright status my-cowl-study --json > status.json\n";

options::options_description visible_options() {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  add("help,h", "print this and end");
  add("watch", "redraw until nobody is at work any more; Ctrl-C ends the watching, not the work");
  add("json", "for programs: one JSON object, SI units");
  return visible;
}

/// Looks until the beats of the cases at work have been felt.
watch::SweepStatus sure_look(watch::Watcher& watcher) {
  watch::SweepStatus status = watcher.look();
  while (!watcher.is_sure()) {
    std::this_thread::sleep_for(time_between_looks);
    status = watcher.look();
  }
  return status;
}

/// Lines of a terminal.
std::size_t terminal_rows() {
  constexpr std::size_t usual = 24;
  winsize size{};
  return ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0 ? size.ws_row : usual;
}

/// Draws over the screen drawn before.
void redraw(const std::string& screen, std::size_t& n_drawn) {
  std::string text = n_drawn > 0 ? fmt::format("\r\x1b[{}A", n_drawn) : "";
  std::istringstream lines(screen);
  std::size_t n_lines = 0;
  for (std::string line; std::getline(lines, line); ++n_lines) text += line + "\x1b[K\n";
  fmt::print("{}\x1b[J", text);
  std::fflush(stdout);
  n_drawn = n_lines;
}

void watch_on_terminal(watch::Watcher& watcher) {
  std::size_t n_drawn = 0;
  for (;;) {
    const watch::SweepStatus status = watcher.look();
    const auto columns = static_cast<std::size_t>(std::max(20, run::terminal_columns(stdout)));
    redraw(watch::status_screen(status, columns, terminal_rows() - 1), n_drawn);
    if (watcher.is_sure() && status.is_at_rest()) return;
    std::this_thread::sleep_for(time_between_looks);
  }
}

/// Without a terminal: the whole again every 10 s.
void watch_in_printouts(watch::Watcher& watcher) {
  for (;;) {
    const watch::SweepStatus status = sure_look(watcher);
    fmt::print("{}\n", watch::status_text(status));
    std::fflush(stdout);
    if (status.is_at_rest()) return;
    std::this_thread::sleep_for(time_between_printouts);
  }
}

}  // namespace

int show_status(const Words& words) {
  const options::variables_map values = read_words("status", visible_options(), words);
  if (has_told_help(values, purpose, visible_options(), examples)) return 0;
  const std::filesystem::path output = required_file("status", values, "OUT");
  if (values.count("watch") > 0 && values.count("json") > 0)
    throw base::InputError("cowlwright status: --watch and --json exclude one another. Ask again and again.");
  watch::Watcher watcher(output);
  if (values.count("json") > 0) {
    fmt::print("{}", watch::status_json(sure_look(watcher)));
  } else if (values.count("watch") == 0) {
    fmt::print("{}", watch::status_text(sure_look(watcher)));
  } else if (run::terminal_columns(stdout) > 0) {
    watch_on_terminal(watcher);
  } else {
    watch_in_printouts(watcher);
  }
  return 0;
}

}  // namespace cowlwright::verbs
