// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading [grid].
#include "geometry/base/units.h"
#include "meshing/spec.h"

#include <fmt/format.h>

#include <array>

namespace cowlwright::meshing {

namespace {

using base::Dimension;
using base::Range;

constexpr std::array<std::string_view, 4> level_names{"draft", "coarse", "medium", "fine"};
constexpr std::array<std::string_view, 2> wall_treatments{"log_law", "blended"};
constexpr std::array<std::string_view, 2> starts{"nearest", "still"};
constexpr Range domain_range{
    0.5, 3.0, false, false, "below it the far field squeezes the flow, above it cells are wasted"};
constexpr Range tolerance_range{0.0, 0.2, true, false, "beyond it a mean says nothing"};

void read_compare(base::SectionReader& grid, GridSpec& spec) {
  spec.compare = static_cast<int>(grid.integer_or("compare", 1, 3, spec.compare));
  if (spec.compare == 2) {
    grid.complain("compare",
                  "= 2: must be 1 or 3: two grids differ, but do not tell by how much both are wrong.");
  } else if (grid.n_complaints() == 0 && spec.compare > 1 + static_cast<int>(spec.level)) {
    grid.complain(
        "compare",
        fmt::format("= {} with level = \"{}\": must leave a level for each coarser grid (draft, coarse, "
                    "medium, fine). Use level = \"medium\" or \"fine\", or compare = 1.",
                    spec.compare,
                    level_name(spec.level)));
  }
}

/// When the solver may end before its last iteration.
void read_stop_rule(base::SectionReader& grid, GridSpec& spec) {
  spec.stop_when_held = grid.boolean_or("stop_when_held", spec.stop_when_held);
  spec.stop_tolerance =
      grid.quantity_or("stop_tolerance", Dimension::Share, tolerance_range, 0.5 * spec.settled_tolerance);
  if (grid.n_complaints() == 0 && !(spec.stop_tolerance <= spec.settled_tolerance)) {
    grid.complain("stop_tolerance",
                  fmt::format("breaks a rule: stop_tolerance ({:.3g} %) must be at most settled_tolerance "
                              "({:.3g} %), or the solver stops before it has settled.",
                              100.0 * spec.stop_tolerance,
                              100.0 * spec.settled_tolerance));
  }
}

}  // namespace

GridSpec read_grid_spec(const base::StudyFile& file,
                        const base::Variant& variant,
                        base::Complaints& complaints) {
  base::SectionReader grid = file.section("grid", variant, complaints);
  GridSpec spec;
  spec.level =
      static_cast<GridLevel>(grid.choice_or("level", level_names, static_cast<std::size_t>(spec.level)));
  read_compare(grid, spec);
  spec.iterations = static_cast<int>(grid.integer_or("iterations", 10, 100000, spec.iterations));
  spec.window = static_cast<int>(grid.integer_or("window", 5, 50000, spec.window));
  spec.closure_tolerance =
      grid.quantity_or("closure_tolerance", Dimension::Share, tolerance_range, spec.closure_tolerance);
  spec.energy_tolerance =
      grid.quantity_or("energy_tolerance", Dimension::Share, tolerance_range, spec.energy_tolerance);
  spec.settled_tolerance =
      grid.quantity_or("settled_tolerance", Dimension::Share, tolerance_range, spec.settled_tolerance);
  read_stop_rule(grid, spec);
  if (grid.has("ranks")) spec.ranks = static_cast<int>(grid.integer_or("ranks", 1, 256, 1));
  spec.cooling_drag = grid.boolean_or("cooling_drag", spec.cooling_drag);
  spec.domain_size = grid.number_or("domain_size", domain_range, spec.domain_size);
  spec.wall_treatment = static_cast<WallTreatment>(grid.choice_or("wall_treatment", wall_treatments, 0));
  spec.start = static_cast<Start>(grid.choice_or("start", starts, static_cast<std::size_t>(spec.start)));
  if (grid.n_complaints() == 0 && !(2 * spec.window <= spec.iterations)) {
    grid.complain(
        grid.has("window") ? "window" : "iterations",
        fmt::format(
            "breaks a rule: window ({}) must be at most half of iterations ({}), so that the start is not "
            "averaged. Lower window or raise iterations.",
            spec.window,
            spec.iterations));
  }
  grid.finish();
  return spec;
}

std::vector<GridLevel> grid_levels(const GridSpec& grid) {
  std::vector<GridLevel> levels;
  const int finest = static_cast<int>(grid.level);
  for (int level = finest - grid.compare + 1; level <= finest; ++level) {
    levels.push_back(static_cast<GridLevel>(level));
  }
  return levels;
}

std::string_view level_name(GridLevel level) {
  return level_names[static_cast<std::size_t>(level)];
}

}  // namespace cowlwright::meshing
