// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/templates/paper.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::templates {

namespace {

constexpr int most_sheets = 200;
constexpr double clear = 0.003;  // between the drawing and the edge of the outermost windows [m]

/// Whether a segment and a box have a point in common (slabs).
bool meets(const Point2& a, const Point2& b, const Box2& box) {
  double first = 0.0;
  double last = 1.0;
  for (std::size_t i = 0; i < 2; ++i) {
    const double run = b[i] - a[i];
    if (run == 0.0) {
      if (a[i] < box.low[i] || a[i] > box.high[i]) return false;
      continue;
    }
    const double t = (box.low[i] - a[i]) / run;
    const double u = (box.high[i] - a[i]) / run;
    first = std::max(first, std::min(t, u));
    last = std::min(last, std::max(t, u));
  }
  return first <= last;
}

/// A sheet with nothing to saw on it is not printed; marks alone do not make one worth it.
bool has_outline(const Drawing& drawing, const Box2& window) {
  for (const Stroke& stroke : drawing.strokes) {
    if (stroke.line == Line::Mark) continue;
    const std::vector<Point2>& p = stroke.curve.points;
    const std::size_t n = stroke.curve.is_closed ? p.size() : p.size() - 1;
    for (std::size_t i = 0; i < n; ++i) {
      if (meets(p[i], p[(i + 1) % p.size()], window)) return true;
    }
  }
  return false;
}

struct Grid {
  double window_width;
  double window_height;
  double n_columns;  // whole numbers; as double so that a wrong unit cannot overflow
  double n_rows;
};

double n_windows(double length, double window) {
  return std::max(1.0, std::ceil((length - tile_overlap) / (window - tile_overlap)));
}

Grid grid(double width, double height, double sheet_width, double sheet_height) {
  const double w = sheet_width - 2.0 * paper_margin;
  const double h = sheet_height - 2.0 * paper_margin - foot_height;
  return {w, h, n_windows(width, w), n_windows(height, h)};
}

}  // namespace

Paper paper_named(const std::string& name) {
  constexpr double inch = 0.0254;
  if (name == "a4") return {name, 0.210, 0.297};
  if (name == "letter") return {name, 8.5 * inch, 11.0 * inch};
  if (name == "a3") return {name, 0.297, 0.420};
  throw base::InputError(fmt::format("--paper = {}: must be a4, letter or a3.", name));
}

std::string tile_name(const Tile& tile) {
  std::string letters;
  for (int row = tile.row; row >= 0; row = row / 26 - 1) {
    letters.insert(letters.begin(), static_cast<char>('A' + row % 26));
  }
  return fmt::format("{}{}", letters, tile.column + 1);
}

Tiling tile(const Drawing& drawing, const Paper& paper) {
  Box2 box = extents(drawing);
  for (std::size_t i = 0; i < 2; ++i) {
    box.low[i] -= clear;
    box.high[i] += clear;
  }
  const double width = box.high[0] - box.low[0];
  const double height = box.high[1] - box.low[1];
  const Grid upright = grid(width, height, paper.width, paper.height);
  const Grid across = grid(width, height, paper.height, paper.width);
  const bool is_across = across.n_columns * across.n_rows < upright.n_columns * upright.n_rows;
  const Grid& used = is_across ? across : upright;
  if (!(used.n_columns * used.n_rows <= most_sheets)) {
    throw base::InputError(
        fmt::format("{}: {:.0f} x {:.0f} mm needs {:.0f} sheets of {}: at most {}. Check the unit, take "
                    "larger paper, or leave the PDF out with --paper none.",
                    drawing.title,
                    1000.0 * width,
                    1000.0 * height,
                    used.n_columns * used.n_rows,
                    paper.name,
                    most_sheets));
  }
  Tiling tiling{is_across ? paper.height : paper.width,
                is_across ? paper.width : paper.height,
                static_cast<int>(used.n_rows),
                static_cast<int>(used.n_columns),
                {}};
  const double step_x = used.window_width - tile_overlap;
  const double step_y = used.window_height - tile_overlap;
  const double left = 0.5 * (box.low[0] + box.high[0] - used.n_columns * step_x - tile_overlap);
  const double top = 0.5 * (box.low[1] + box.high[1] + used.n_rows * step_y + tile_overlap);
  for (int row = 0; row < tiling.n_rows; ++row) {
    for (int column = 0; column < tiling.n_columns; ++column) {
      const double x = left + column * step_x;
      const double y = top - row * step_y;
      Tile one{row, column, {{x, y - used.window_height}, {x + used.window_width, y}}, false};
      one.is_blank = !has_outline(drawing, one.window);
      tiling.tiles.push_back(one);
    }
  }
  return tiling;
}

int n_printed(const Tiling& tiling) {
  return static_cast<int>(
      std::count_if(tiling.tiles.begin(), tiling.tiles.end(), [](const Tile& t) { return !t.is_blank; }));
}

}  // namespace cowlwright::templates
