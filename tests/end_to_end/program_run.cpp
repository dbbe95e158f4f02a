// SPDX-License-Identifier: GPL-3.0-or-later
//
// Starts our programs and makes their studies.
#include "tests/end_to_end/program_run.h"

#include "cases/starter.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <limits>
#include <stdexcept>

namespace cowlwright::testing_support {

std::string program(const std::string& name) {
  return std::string(COWLWRIGHT_BIN) + "/" + name;
}

ProgramRun run_program(const std::vector<std::string>& words,
                       const std::filesystem::path& directory,
                       const std::vector<std::string>& extra) {
  const ScratchFolder folder;
  run::Command command{.words = words, .directory = directory, .log = folder.path() / "output"};
  command.environment = extra;
  for (char** entry = environ; *entry != nullptr; ++entry) {
    const std::string text = *entry;
    const std::string name = text.substr(0, text.find('=') + 1);
    const bool is_replaced = std::any_of(
        extra.begin(), extra.end(), [&](const std::string& other) { return other.starts_with(name); });
    if (!is_replaced) command.environment.push_back(text);
  }
  const run::Ending ending = run::run_process(command);
  return {ending.exit_code, text_of(command.log)};
}

std::string script_before(const std::string& program,
                          const std::string& script,
                          const ScratchFolder& folder) {
  folder.write_program("bin/" + program, script + "\nPATH=${PATH#*:} exec " + program + " \"$@\"\n");
  return "PATH=" + (folder.path() / "bin").string() + ":" + std::getenv("PATH");
}

nlohmann::json read_results(const std::filesystem::path& study_dir) {
  std::ifstream file(study_dir / "results.json");
  return file ? nlohmann::json::parse(file) : nlohmann::json{};
}

double quantity_value(const nlohmann::json& variant, const std::string& id) {
  for (const nlohmann::json& quantity : variant["quantities"]) {
    if (quantity["id"] == id && quantity["value"].is_number()) return quantity["value"];
  }
  ADD_FAILURE() << "results.json has no quantity " << id;
  return std::numeric_limits<double>::quiet_NaN();
}

std::string draft_study(int iterations, int window, const std::string& vary) {
  std::string text = starter_study_text();
  const std::size_t grid = text.find("[grid]");
  if (grid == std::string::npos) throw std::logic_error("the starter study has no [grid]");
  return text.substr(0, grid) + "[grid]\nlevel = \"draft\"\niterations = " + std::to_string(iterations) +
         "\nwindow = " + std::to_string(window) + "\nstop_when_held = false\n\n[vary]\n" + vary + "\n";
}

}  // namespace cowlwright::testing_support
