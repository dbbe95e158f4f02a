// SPDX-License-Identifier: GPL-3.0-or-later
//
// An output folder of two solved cases and one that was broken off, of small files, as the runner leaves
// them.
#pragma once

#include "cases/run/checkpoint.h"
#include "geometry/base/case_state.h"
#include "geometry/base/manifest.h"
#include "geometry/base/sweep.h"
#include "tests/support/scratch_folder.h"

#include <filesystem>
#include <set>
#include <stdexcept>
#include <string>

namespace cowlwright::testing_support {

class SolvedStudy {
 public:
  SolvedStudy() {
    write("lip.toml", "title = \"Lip\"\n");
    write("results.json", "{}\n");
    write("summary.csv", "a,b\n");
    write("report/index.html", "<html></html>\n");
    write("logs/lip_0.log", "solved\n");
    write("driver.lock", "");
    solved("lip_0", mesh_a);
    solved("lip_30", mesh_b);
    write("lip_45/manifest.json", "{}");
    write("lip_45/processor0/120/p", "field");
    state("lip_45", base::CasePhase::Running, mesh_b);
    for (const std::string& key : {mesh_a, mesh_b, mesh_c})
      write("meshes/" + key + "/constant/polyMesh/points", foam_file);
    std::filesystem::remove(folder() / "lip_0/constant/polyMesh/points");
    std::filesystem::create_hard_link(folder() / "meshes" / mesh_a / "constant/polyMesh/points",
                                      folder() / "lip_0/constant/polyMesh/points");
  }

  std::filesystem::path folder() const { return scratch_.path() / "study"; }
  void write(const std::string& path, const std::string& text) const {
    scratch_.write("study/" + path, text);
  }
  bool has(const std::string& path) const { return std::filesystem::exists(folder() / path); }

  void state(const std::string& case_folder, base::CasePhase phase, const std::string& mesh_key) const {
    base::CaseState state;
    state.phase = phase;
    state.keys.mesh = mesh_key;
    base::write_case_state(state, folder() / case_folder);
  }

  /// Paths of all files below the study.
  std::set<std::string> files() const {
    std::set<std::string> paths;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder())) {
      if (entry.is_regular_file()) paths.insert(entry.path().lexically_relative(folder()).string());
    }
    return paths;
  }

  static inline const std::string mesh_a = std::string(64, 'a');
  static inline const std::string mesh_b = std::string(64, 'b');
  static inline const std::string mesh_c = std::string(64, 'c');  ///< of no case
  static inline const std::string foam_file = "1\n// *** //\n";

 private:
  /// Of a monitor, one for each iteration.
  static std::string rows() {
    std::string text;
    for (int i = 1; i <= 350; ++i) text += std::to_string(i) + " 0.6\n";
    return text;
  }
  void solved(const std::string& name, const std::string& mesh_key) const {
    for (const char* file : {"log.solve", "field_readings.json", "solver_end.json"})
      write(name + "/" + file, "text\n");
    base::Manifest manifest;
    manifest.monitors.push_back({"mass_flow", "exit", "flow_exit", "surfaceFieldValue.dat"});
    base::write_manifest(manifest, folder() / name);
    write(name + "/progress.json", "{}");
    write(name + "/case.lock", "");
    write(name + "/postProcessing/flow_exit/0/surfaceFieldValue.dat", rows());
    write(name + "/system/controlDict", "application rhoSimpleFoam;\n");
    write(name + "/constant/fvOptions", "{}\n");
    write(name + "/constant/triSurface/cowl.stl", "solid\n");
    write(name + "/constant/polyMesh/owner", foam_file);
    write(name + "/constant/polyMesh/points", foam_file);
    for (const char* time : {"0", "280", "350"}) {
      write(name + "/" + time + "/phi", foam_file);
      for (const char* part : {"/processor0/", "/processor1/"}) write(name + part + time + "/phi", foam_file);
    }
    state(name, base::CasePhase::Finished, mesh_key);
    const std::string trouble = run::seal_checkpoints(folder() / name, 1, 351);
    if (!trouble.empty()) throw std::logic_error(trouble);
  }

  ScratchFolder scratch_;
};

}  // namespace cowlwright::testing_support
