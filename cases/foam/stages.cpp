// SPDX-License-Identifier: GPL-3.0-or-later
//
// From a case's ranks and start to its commands.
#include "cases/foam/stages.h"

#include "cases/foam/parts.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::foam {

namespace {

/// Open MPI by itself counts hyperthreads and binds ranks of several cases to the same cores.
const std::vector<std::string> usual_launcher{
    "mpirun", "--oversubscribe", "--bind-to", "none", "-np", "{ranks}"};

std::vector<std::string> solver_command(int ranks, const std::vector<std::string>& launcher) {
  std::vector<std::string> command;
  for (std::string word : launcher.empty() ? usual_launcher : launcher) {
    constexpr std::string_view mark = "{ranks}";
    if (const std::size_t at = word.find(mark); at != std::string::npos)
      word.replace(at, mark.size(), std::to_string(ranks));
    command.push_back(std::move(word));
  }
  command.insert(command.end(), {"rhoSimpleFoam", "-parallel"});
  return command;
}

Stage stage(Step step, const std::string& name, std::vector<std::string> command) {
  return {name, std::move(command), "log." + name, step};
}

/// A word of a shell command.
std::string shell_word(const std::string& word) {
  const bool is_plain =
      !word.empty() && word.find_first_of(" \t\n'\"\\$`*?[]()<>|&;{}~#!") == std::string::npos;
  if (is_plain) return word;
  std::string quoted = "'";
  for (const char c : word) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

}  // namespace

std::vector<Stage> case_stages(int ranks,
                               const std::string& start_from,
                               const std::vector<std::string>& launcher) {
  std::vector<Stage> stages{stage(Step::Mesh, "block", {"blockMesh"}),
                            stage(Step::Mesh, "features", {"surfaceFeatureExtract"}),
                            stage(Step::Mesh, "snap", {"snappyHexMesh", "-overwrite"}),
                            stage(Step::Mesh, "zones", {"topoSet"}),
                            stage(Step::Mesh, check_stage, {"checkMesh"}),
                            stage(Step::Start, "fields", {"cp", "-rT", "0.orig", "0"})};
  if (start_from.empty()) {
    stages.push_back(stage(Step::Start, "start", {"setFields"}));
  } else {
    stages.push_back(stage(Step::Start,
                           map_stage,
                           {"mapFieldsPar",
                            "../" + start_from,
                            "-mapMethod",
                            "mapNearest",
                            "-fields",
                            "(p U T k omega nut alphat)",
                            "-sourceTime",
                            "latestTime"}));
  }
  if (ranks == 1) {
    stages.push_back(stage(Step::Solve, solve_stage, {"rhoSimpleFoam"}));
    return stages;
  }
  stages.push_back(stage(Step::Solve, "split", {"decomposePar", "-force"}));
  stages.push_back(stage(Step::Solve, solve_stage, solver_command(ranks, launcher)));
  stages.push_back(stage(Step::Solve, "join", {"reconstructPar", "-latestTime"}));
  return stages;
}

bool is_mesh_stage(std::string_view name) {
  const std::vector<Stage> stages = case_stages(1);
  return std::any_of(stages.begin(), stages.end(), [&](const Stage& one) {
    return one.step == Step::Mesh && one.name == name;
  });
}

std::string allrun_text(const std::vector<Stage>& stages) {
  std::string text =
      "#!/bin/sh\n"
      "# Runs this case by hand, from mesh to result. Needs OpenFOAM 1912 on the PATH.\n"
      "set -e\n"
      "cd \"$(dirname \"$0\")\"\n"
      ": \"${WM_PROJECT_DIR:=/usr/share/openfoam}\"\n"
      "export WM_PROJECT_DIR\n"
      "if [ \"$(id -u)\" = 0 ]; then\n"
      "    export OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1\n"
      "fi\n"
      "# The mesh may be one file with other cases', which must keep theirs.\n"
      "rm -rf constant/polyMesh 0\n";
  for (const Stage& one : stages) {
    std::string command;
    for (const std::string& word : one.command) command += (command.empty() ? "" : " ") + shell_word(word);
    std::string told;  // as the command is, for a text in quotes
    for (const std::string& word : one.command) told += (told.empty() ? "" : " ") + word;
    text += fmt::format("echo {}\n{} > {} 2>&1\n", shell_word(one.name + ": " + told), command, one.log);
  }
  return text;
}

void write_ranks(const std::filesystem::path& case_dir, int ranks, const std::vector<Stage>& stages) {
  namespace fs = std::filesystem;
  base::write_text(case_dir / "system" / "decomposeParDict",
                   foam_file("dictionary", "decomposeParDict", decomposition(ranks)));
  base::write_text(case_dir / "Allrun", allrun_text(stages));
  std::error_code ignored;  // a script that is not executable still runs with `sh Allrun`
  fs::permissions(case_dir / "Allrun",
                  fs::perms::owner_exec | fs::perms::group_exec | fs::perms::others_exec,
                  fs::perm_options::add,
                  ignored);
}

}  // namespace cowlwright::foam
