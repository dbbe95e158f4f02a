// SPDX-License-Identifier: GPL-3.0-or-later
//
// Air through a sheet of cells, computed with what a study's case uses: solver, schemes, linear solvers,
// turbulence model, wall functions, air and core sources.
#pragma once

#include "geometry/base/air.h"
#include "geometry/base/manifest.h"
#include "tests/support/openfoam.h"
#include "tests/support/sheet_mesh.h"

#include <map>
#include <string>
#include <vector>

namespace cowlwright::testing_support {

/// What a patch does.
struct Opening {
  enum class Kind {
    Wall,      ///< no slip, wall functions
    Slip,      ///< no friction
    Total,     ///< air at rest outside at a pressure of `value` [Pa], enters or leaves
    Static,    ///< `value` is the static pressure [Pa]; for air that leaves: what enters would get speed for
               ///< nothing
    SpeedIn,   ///< enters along s at `value` [m/s]
    SpeedOut,  ///< leaves along s at `value` [m/s]
  };
  Kind kind = Kind::Wall;
  double value = 0.0;
};

/// A part of the sheet that holds a core, between s and r limits.
struct CoreZone {
  base::PassageRecord core;
  double s_low = 0.0, s_high = 0.0;
  double r_low = 0.0, r_high = 0.0;
};

struct SheetFlow {
  SheetMesh mesh;
  std::map<std::string, Opening> patches;
  base::AirState air = base::standard_air(0.0);  ///< start state, and temperature of what enters
  double turbulence_speed = 5.0;  ///< sets the turbulence of the air that enters, as an airspeed [m/s]
  std::vector<CoreZone> cores = {};
  bool with_forces = false;  ///< on walls and cores, by a study's monitors; Sheet::Plane only
  int iterations = 250;
};

/// One cell of the solution.
struct Cell {
  double s = 0.0, r = 0.0;  ///< centre [m]
  double volume = 0.0;      ///< [m³]
  double along = 0.0;       ///< velocity along s [m/s]
  double across = 0.0;      ///< velocity along r [m/s]
  double pressure = 0.0;    ///< [Pa]
  double temperature = 0.0;
  double density() const { return pressure / (base::air::gas_constant * temperature); }
};

struct SheetSolution {
  std::vector<Cell> cells;
  std::map<std::string, double> mass_flow;  ///< out of each patch with flow, of the sheet [kg/s]
  std::map<std::string, double> force;      ///< on the solid along s, by the monitor's quantity [N]; pressure
                                        ///< above that of SheetFlow::air
};

/// Meshes and solves.
/// @throws ExternalError  when a program of OpenFOAM fails.
SheetSolution solve(const SheetFlow& flow);

}  // namespace cowlwright::testing_support
