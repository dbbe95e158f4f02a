// SPDX-License-Identifier: GPL-3.0-or-later
//
// How a full-size drawing is laid over sheets of paper.
#pragma once

#include "geometry/templates/drawing.h"

#include <string>
#include <vector>

namespace cowlwright::templates {

/// A sheet of paper, upright [m].
struct Paper {
  std::string name;
  double width = 0.0;
  double height = 0.0;
};

/// "a4" (210 x 297 mm), "letter" (8.5 x 11 in) or "a3" (297 x 420 mm).
/// Source: ISO 216 for A3 and A4, ANSI Y14.1 size A for letter.
/// @throws InputError  for another name, listing these.
Paper paper_named(const std::string& name);

/// No printer draws to the edge; what most leave blank is less (common practice, no source) [m].
inline constexpr double paper_margin = 0.010;
/// Strip along the foot of every sheet with its number and the bars [m].
inline constexpr double foot_height = 0.022;
/// Two neighbours show the same strip of the drawing this wide [m].
inline constexpr double tile_overlap = 0.015;

/// Part of a drawing on one sheet.
struct Tile {
  int row = 0;            ///< from the top, 0 = A
  int column = 0;         ///< from the left, 0 = 1
  Box2 window;            ///< in drawing coordinates, overlaps included
  bool is_blank = false;  ///< nothing but paper: not printed
};

/// "A1": letter of the row, number of the column.
std::string tile_name(const Tile& tile);

struct Tiling {
  double sheet_width = 0.0;  ///< paper as it lies [m]
  double sheet_height = 0.0;
  int n_rows = 0;
  int n_columns = 0;
  std::vector<Tile> tiles;  ///< row by row
};

/// Sheets upright or across, whichever needs fewer; the drawing in the middle of the grid.
/// @throws InputError  when more than 200 sheets are needed, with their number.
Tiling tile(const Drawing& drawing, const Paper& paper);

/// Number of sheets that are printed.
int n_printed(const Tiling& tiling);

}  // namespace cowlwright::templates
