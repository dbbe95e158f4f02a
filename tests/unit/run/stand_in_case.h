// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study's output folder with shell scripts in place of OpenFOAM. The scripts are named as its programs, add
// "<case> <program>" to the file `trace` in the output folder, and keep to what the runner relies on: the
// solver goes on from the newest time folder to the endTime in system/controlDict, writes a folder every
// second iteration and at its end, and heeds the file STOP.
#pragma once

#include "cases/run/resumption.h"
#include "cases/run/task_run.h"
#include "tests/support/scratch_folder.h"

#include <cstdlib>
#include <string>
#include <vector>

namespace cowlwright::testing_support {

class StandInStudy {
 public:
  StandInStudy() {
    unsetenv("COWLWRIGHT_MESHES");
    setenv("PATH", ((scratch_.path() / "bin").string() + ":/usr/bin:/bin").c_str(), 1);
    write_mesh();
    program("blockMesh", "mkdir -p constant; cp -r ../../mesh constant/polyMesh");
    for (const char* name : {"surfaceFeatureExtract", "snappyHexMesh", "topoSet", "setFields"})
      program(name, "");
    program("checkMesh", "echo '    cells:            1'; echo '    Total volume = 1.  '; echo 'Mesh OK.'");
    program("mapFieldsPar", "echo 'mapped }' > 0/U");
    program("rhoSimpleFoam",
            "last=$(ls -d [0-9]* | grep -v orig | sort -n | tail -1); end=$(cat system/controlDict)\n"
            "for i in $(seq $((last + 1)) $end); do\n"
            "  echo \"Time = $i\"; sh ../../during $i $$\n"
            "  if [ $((i % 2)) = 0 ] || [ $i = $end ] || [ -e STOP ]; then\n"
            "    mkdir -p $i; echo \"$(cut -d' ' -f1 0/U) $i\n// *** //\" > $i/U\n"
            "  fi\n"
            "  if [ -e STOP ]; then break; fi\n"
            "done\n"
            "echo End");
    program("decomposePar",
            "last=$(ls -d [0-9]* | grep -v orig | sort -n | tail -1); rm -rf processor*\n"
            "for r in $(seq 0 $(($(sed -n 's/numberOfSubdomains *\\([0-9]*\\);/\\1/p' "
            "system/decomposeParDict) - 1))); do\n"
            "  mkdir -p processor$r/constant processor$r/0; cp -r constant/polyMesh processor$r/constant\n"
            "  cp -r $last processor$r; cp -r 0/. processor$r/0; cp -r system processor$r\n"
            "done");
    program("mpirun",
            "for r in processor*; do ln -sf ../STOP $r/STOP; done\n"
            "mkdir -p processor0/system; cp system/controlDict processor0/system/\n"
            "end=$(cat system/controlDict); last=$(ls processor0 | grep '^[0-9]*$' | sort -n | tail -1)\n"
            "for i in $(seq $((last + 1)) $end); do echo \"Time = $i\"\n"
            "  if [ $((i % 2)) = 0 ] || [ $i = $end ]; then\n"
            "    for r in processor*; do mkdir -p $r/$i; echo \"$i\n// *** //\" > $r/$i/U; done; fi; done; "
            "echo End");
    program("reconstructPar",
            "last=$(ls processor0 | grep '^[0-9]*$' | sort -n | tail -1); mkdir -p $last; cp "
            "processor0/$last/U $last/U");
    during("");
  }

  /// A script that stands in for one of OpenFOAM's programs.
  void program(const std::string& name, const std::string& body) const {
    scratch_.write_program("bin/" + name,
                           "echo \"$(basename \"$PWD\") " + name + "\" >> ../trace\n" + body + "\n");
  }
  /// What the solver on one rank does in each iteration: $1 is its number, $2 the solver's process.
  void during(const std::string& body) const { scratch_.write("during", body + "\n"); }

  /// A case of so many iterations that never stops early.
  static foam::Case built(const std::string& name, int iterations = 4) {
    foam::Case built{.folder = name, .keys = {"source", "mesh", "solve"}};
    built.manifest.variant = name;
    built.manifest.last_iteration = iterations;
    built.manifest.stop_when_held = false;
    built.manifest.window = 2;
    built.manifest.flight = {.true_airspeed = 50.0,
                             .pressure = 1e5,
                             .temperature = 288.0,
                             .density = 1.2,
                             .reference_pressure = 1500.0};
    built.manifest.air_volume = 1.0;
    built.manifest.solid_volume = 1.0;
    built.files["0.orig/U"] = "still }\n";
    built.files["system/mapFieldsDict"] =
        "FoamFile\n{\n    version 2.0;\n    format ascii;\n    class dictionary;\n    object "
        "mapFieldsDict;\n}\npatchMap ();\n";
    built.files["system/controlDict"] = std::to_string(iterations);
    built.files["constant/triSurface/wetted.stl"] = "solid";
    return built;
  }
  std::string place(const foam::Case& built, bool fresh = false) const {
    return run::place_case(built, output(), fresh);
  }

  /// One solve task of a case.
  int solve(const std::string& name, int ranks = 1, const std::string& start_from = {}) const {
    base::Sweep sweep;
    sweep.tasks = {{.case_folder = name, .ranks = ranks, .start_from = start_from}};
    return run::run_task(output(), sweep, 0);
  }

  std::filesystem::path output() const { return scratch_.path() / "study"; }
  std::filesystem::path case_dir(const std::string& name) const { return output() / name; }
  base::CaseState state(const std::string& name) const {
    return base::read_case_state(case_dir(name)).value_or(base::CaseState{.message = "no state"});
  }
  std::string file(const std::string& name, const std::string& path) const {
    return text_of(case_dir(name) / path);
  }

  /// What has been run since the last call: "a blockMesh", "a checkMesh", ...
  std::vector<std::string> trace() const {
    std::ifstream stream(output() / "trace");
    std::vector<std::string> lines;
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    std::filesystem::remove(output() / "trace");
    return lines;
  }
  const ScratchFolder& scratch() const { return scratch_; }

 private:
  /// One tetrahedron.
  void write_mesh() const {
    const auto write = [&](const std::string& name, const std::string& kind, const std::string& body) {
      scratch_.write("mesh/" + name,
                     "FoamFile\n{\n    version 2.0;\n    format ascii;\n    class " + kind +
                         ";\n    object " + name + ";\n}\n" + body + "\n// *** //\n");
    };
    write("points", "vectorField", "4((0 0 0) (1 0 0) (0 1 0) (0 0 1))");
    write("faces", "faceList", "4(3(0 2 1) 3(0 1 3) 3(1 2 3) 3(0 3 2))");
    write("boundary", "polyBoundaryMesh", "1(wall { type wall; nFaces 4; startFace 0; })");
  }

  ScratchFolder scratch_;
};

}  // namespace cowlwright::testing_support
