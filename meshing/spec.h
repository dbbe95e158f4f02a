// SPDX-License-Identifier: GPL-3.0-or-later
//
// How fine the grid is and how long the solver runs.
#pragma once

#include "geometry/base/study_file.h"

#include <string_view>

namespace cowlwright::meshing {

/// Draft tries out a study in a minute and resolves neither ring nor lip: its numbers decide nothing.
enum class GridLevel { Draft, Coarse, Medium, Fine };

/// Linear refinement ratio between neighbouring levels.
inline constexpr double refinement_ratio = 1.5;

struct GridSpec {
  GridLevel level = GridLevel::Coarse;
  int compare = 1;       ///< grids each variant is solved on: `level` and those coarser by refinement_ratio
  int iterations = 500;  ///< ceiling on solver iterations
  int window = 150;      ///< iterations at the end over which means and bands are taken
  double closure_tolerance = 0.01;  ///< accepted |continuity closure|
  double settled_tolerance = 0.01;  ///< accepted half band over the window, relative to the mean
  int ranks = 2;                    ///< MPI ranks per case
};

/// Reads and finishes [grid].
GridSpec read_grid_spec(const base::StudyFile& file,
                        const base::Variant& variant,
                        base::Complaints& complaints);

/// "draft", "coarse", "medium", "fine".
std::string_view level_name(GridLevel level);

}  // namespace cowlwright::meshing
