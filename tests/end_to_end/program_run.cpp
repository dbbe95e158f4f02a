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
#include <initializer_list>
#include <limits>
#include <set>
#include <sstream>
#include <stdexcept>
#include <utility>

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

std::string draft_study(int iterations, int window, const std::string& vary, int ranks) {
  std::string text = starter_study_text();
  const std::size_t grid = text.find("[grid]");
  if (grid == std::string::npos) throw std::logic_error("the starter study has no [grid]");
  return text.substr(0, grid) + "[grid]\nlevel = \"draft\"\niterations = " + std::to_string(iterations) +
         "\nwindow = " + std::to_string(window) + "\nranks = " + std::to_string(ranks) +
         "\nstop_when_held = false\n\n[vary]\n" + vary + "\n";
}

std::string with_wide_passages(std::string study) {
  for (const auto& [starter, wide] : std::initializer_list<std::pair<std::string, std::string>>{
           {"gap = \"75 mm\"", "gap = \"110 mm\""},
           {"diameter = \"133 mm\"", "diameter = \"170 mm\""},
           {"core_depth = \"150 mm\"", "core_depth = \"190 mm\""},
           {"skin_thickness = \"12 mm\"", "skin_thickness = \"18 mm\""},
           {"lip_thickness = \"10 mm\"", "lip_thickness = \"16 mm\""}}) {
    study.replace(study.find(starter), starter.size(), wide);
  }
  return study;
}

/// Drops what the surface decides.
static std::string without_outer_form(const std::string& text) {
  const std::set<std::string> decided{"[cowl] width",
                                      "[cowl] height_above",
                                      "[cowl] depth_below",
                                      "[cowl] nose_station",
                                      "[cowl] nose_length",
                                      "[cowl] face_width",
                                      "[cowl] face_height_above",
                                      "[cowl] face_depth_below",
                                      "[cowl] corner_exponent",
                                      "[exit] gap",
                                      "[exit] overhang"};
  std::istringstream lines(text);
  std::string kept;
  std::string section;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("[")) section = line.substr(0, line.find(']') + 1);
    const std::string key = section + " " + line.substr(0, line.find(' '));
    if (section != "[inlets]" && !decided.contains(key)) kept += line + "\n";
  }
  return kept;
}

std::string own_cowl_study(const std::string& parametric,
                           const std::string& file,
                           const std::string& unit,
                           const std::string& axes) {
  return without_outer_form(parametric) + "\n[own_cowl]\nfile = \"" + file + "\"\nunit = \"" + unit +
         "\"\naxes = \"" + axes + R"("

[own_inlet_left]
box_low = ["100 mm", "-380 mm", "-80 mm"]
box_high = ["400 mm", "-180 mm", "120 mm"]
cut_station = "250 mm"

[own_inlet_right]
box_low = ["100 mm", "180 mm", "-80 mm"]
box_high = ["400 mm", "380 mm", "120 mm"]
cut_station = "250 mm"

[own_exit]
near = ["1350 mm", "0 mm", "-440 mm"]
)";
}

}  // namespace cowlwright::testing_support
