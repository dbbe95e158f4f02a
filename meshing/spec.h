// SPDX-License-Identifier: GPL-3.0-or-later
//
// How fine the grid is and how long the solver runs.
#pragma once

#include "geometry/base/study_file.h"

#include <optional>
#include <string_view>
#include <vector>

namespace cowlwright::meshing {

/// Draft tries out a study in a minute and resolves neither ring nor lip: its numbers decide nothing.
enum class GridLevel { Draft, Coarse, Medium, Fine };

/// Linear refinement ratio between neighbouring levels.
inline constexpr double refinement_ratio = 1.5;

/// MPI ranks of a case that is prepared to be run by hand, when [grid] has none.
inline constexpr int hand_ranks = 2;

/// What a cell at a wall takes its shear from. LogLaw: friction speed from the turbulent energy and the law
/// of the wall, zero turbulent viscosity below it. Blended: one law from the viscous layer through the buffer
/// to the log layer, for grids whose wall distances spread over all three.
enum class WallTreatment { LogLaw, Blended };

/// What a case's coarsest grid starts from. Nearest: the settled flow of the most similar other variant, when
/// there is one. Still: still air inside the cowl, the free stream outside.
enum class Start { Nearest, Still };

struct GridSpec {
  GridLevel level = GridLevel::Coarse;
  int compare = 1;       ///< grids each variant is solved on: `level` and those coarser by refinement_ratio
  int iterations = 500;  ///< ceiling on solver iterations
  int window = 150;      ///< iterations at the end over which means and bands are taken
  double closure_tolerance = 0.01;  ///< accepted |closure| of mass, inlets to cores to exit
  double energy_tolerance = 0.02;   ///< accepted |closure| of energy, heat released against heat carried off
  double settled_tolerance = 0.01;  ///< accepted half band over the window, relative to the mean
  double stop_tolerance =
      0.005;  ///< the same for stopping the solver early; half of settled_tolerance if not given
  bool stop_when_held = true;  ///< false: always `iterations`
  std::optional<int> ranks{};  ///< MPI ranks per case; nothing: chosen for the machine
  bool cooling_drag = false;   ///< adds to each grid a reference case with inlets and exit closed
  double domain_size = 1.0;    ///< factor on the distances from the body to the far field
  WallTreatment wall_treatment = WallTreatment::LogLaw;
  Start start = Start::Nearest;
};

/// Reads and finishes [grid].
GridSpec read_grid_spec(const base::StudyFile& file,
                        const base::Variant& variant,
                        base::Complaints& complaints);

/// The grids a variant is solved on, coarsest first; the last is the chosen level.
std::vector<GridLevel> grid_levels(const GridSpec& grid);

/// "draft", "coarse", "medium", "fine".
std::string_view level_name(GridLevel level);

}  // namespace cowlwright::meshing
