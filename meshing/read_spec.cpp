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
constexpr Range tolerance_range{0.0, 0.2, true, false, "beyond it a mean says nothing"};

}  // namespace

GridSpec read_grid_spec(const base::StudyFile& file,
                        const base::Variant& variant,
                        base::Complaints& complaints) {
  base::SectionReader grid = file.section("grid", variant, complaints);
  GridSpec spec;
  spec.level =
      static_cast<GridLevel>(grid.choice_or("level", level_names, static_cast<std::size_t>(spec.level)));
  spec.iterations = static_cast<int>(grid.integer_or("iterations", 10, 100000, spec.iterations));
  spec.window = static_cast<int>(grid.integer_or("window", 5, 50000, spec.window));
  spec.closure_tolerance =
      grid.quantity_or("closure_tolerance", Dimension::Share, tolerance_range, spec.closure_tolerance);
  spec.settled_tolerance =
      grid.quantity_or("settled_tolerance", Dimension::Share, tolerance_range, spec.settled_tolerance);
  spec.ranks = static_cast<int>(grid.integer_or("ranks", 1, 256, spec.ranks));
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

std::string_view level_name(GridLevel level) {
  return level_names[static_cast<std::size_t>(level)];
}

}  // namespace cowlwright::meshing
