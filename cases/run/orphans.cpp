// SPDX-License-Identifier: GPL-3.0-or-later
//
// Looks through /proc for programs of a case's stages whose working folder is the case's.
#include "cases/run/orphans.h"

#include "cases/foam/stages.h"
#include "cases/run/process.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <unistd.h>

#include <chrono>
#include <set>
#include <thread>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

constexpr std::chrono::seconds patience{30};
constexpr std::size_t longest_comm = 15;  // the kernel keeps so many letters of a program's name

std::set<std::string> program_names() {
  std::set<std::string> names;
  for (const foam::Stage& stage : foam::case_stages(2))
    for (const std::string& word : {stage.command.front(), stage.command.back()})
      names.insert(word.substr(0, longest_comm));
  names.insert("rhoSimpleFoam");
  return names;
}

/// "rhoSimpleFoam, process 4711" for each that works in the folder.
std::vector<std::string> programs_in(const fs::path& case_dir) {
  static const std::set<std::string> names = program_names();
  std::vector<std::string> found;
  std::error_code error;
  const fs::path wanted = fs::canonical(case_dir, error);
  for (fs::directory_iterator i("/proc", error), end; !error && i != end; i.increment(error)) {
    const std::string process = i->path().filename().string();
    if (process.find_first_not_of("0123456789") != std::string::npos) continue;
    std::error_code gone;  // others' processes, and those that end while we look
    if (fs::read_symlink(i->path() / "cwd", gone) != wanted || gone) continue;
    try {
      std::string name = base::read_text(i->path() / "comm");
      while (!name.empty() && name.back() == '\n') name.pop_back();
      if (names.contains(name)) found.push_back(fmt::format("{}, process {}", name, process));
    } catch (const base::InputError&) {
    }
  }
  return found;
}

}  // namespace

void require_no_orphans(const fs::path& case_dir) {
  const auto deadline = std::chrono::steady_clock::now() + patience;
  for (;;) {
    const std::vector<std::string> found = programs_in(case_dir);
    if (found.empty()) return;
    throw_if_interrupted();
    if (std::chrono::steady_clock::now() >= deadline) {
      throw base::ExternalError(fmt::format(
          "{}: {} still works in it, left by a run that was killed. Wait until it has ended, or end it.",
          case_dir.string(),
          found.front()));
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(200));
  }
}

}  // namespace cowlwright::run
