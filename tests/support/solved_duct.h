// SPDX-License-Identifier: GPL-3.0-or-later
//
// A heated duct solved by the real OpenFOAM within seconds, with everything a cowl case has for the
// postprocessor: two inlets side by side, two porous heated cores, deck zones, an exit, monitors and a
// manifest.
#pragma once

#include "geometry/base/manifest.h"

#include <filesystem>
#include <string>

namespace cowlwright::testing_support {

/// What to solve. The duct is 1 m high, 0.6 m wide and 0.4 m deep; it has 1920 cells at refinement 1.
struct DuctRun {
  int refinement = 1;  ///< cells per direction, relative
  bool with_polyhedra =
      false;             ///< halves the cells in the upper deck, so that their neighbours get more faces
  int iterations = 120;  ///< written at half of them and at the end
  std::string write_format = "binary";  ///< "binary" or "ascii"
  bool compressed = false;
  int ranks = 1;  ///< 1 or 2; the cut goes through the cores' mid planes
  bool reconstruct = false;
};

/// Meshes and solves a duct in `case_dir` and writes its manifest.
/// @throws ExternalError  when a program of OpenFOAM fails.
base::Manifest solve_duct(const std::filesystem::path& case_dir, const DuctRun& duct);

}  // namespace cowlwright::testing_support
