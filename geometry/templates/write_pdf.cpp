// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pages are drawn in mm from the upper left corner of the sheet.
#include "geometry/templates/write_pdf.h"

#include "geometry/base/error.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <sstream>

namespace cowlwright::templates {

namespace {

constexpr double mm = 1000.0;  // per m
constexpr double points_per_mm = 72.0 / 25.4;
constexpr double margin = mm * paper_margin;
constexpr double foot = mm * foot_height;
constexpr double cap_over_font = 0.72;
constexpr double note_size = 3.4;
constexpr double note_pitch = 5.0;

enum class Ink { Black, Grey, Light, Red };

/// Owns the file while it is drawn.
class Canvas {
 public:
  Canvas(const std::filesystem::path& path, double width, double height)
      : path_(path),
        surface_(cairo_pdf_surface_create(path.c_str(), points_per_mm * width, points_per_mm * height)),
        context_(cairo_create(surface_.get())) {
    cairo_scale(context_.get(), points_per_mm, points_per_mm);
    cairo_select_font_face(context_.get(), "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_line_cap(context_.get(), CAIRO_LINE_CAP_BUTT);
  }

  cairo_t* get() const { return context_.get(); }

  void title(const std::string& text) {
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_TITLE, text.c_str());
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATOR, "cowlwright");
  }
  void ink(Ink ink, double width) {
    const double grey = ink == Ink::Black ? 0.0 : ink == Ink::Grey ? 0.45 : 0.8;
    if (ink == Ink::Red) {
      cairo_set_source_rgb(get(), 0.8, 0.0, 0.0);
    } else {
      cairo_set_source_rgb(get(), grey, grey, grey);
    }
    cairo_set_line_width(get(), width);
    cairo_set_dash(get(), nullptr, 0, 0.0);
  }
  void dash(std::initializer_list<double> dashes) {
    cairo_set_dash(get(), dashes.begin(), static_cast<int>(dashes.size()), 0.0);
  }
  void line(double x1, double y1, double x2, double y2) {
    cairo_move_to(get(), x1, y1);
    cairo_line_to(get(), x2, y2);
    cairo_stroke(get());
  }
  void words(double x, double y, double size, const std::string& text) {
    cairo_set_font_size(get(), size);
    cairo_move_to(get(), x, y);
    cairo_show_text(get(), text.c_str());
    cairo_new_path(get());
  }
  double width_of(double size, const std::string& text) {
    cairo_set_font_size(get(), size);
    cairo_text_extents_t box;
    cairo_text_extents(get(), text.c_str(), &box);
    return box.x_advance;
  }
  void end_page() { cairo_show_page(get()); }
  void finish() {
    cairo_surface_finish(surface_.get());
    for (const cairo_status_t status : {cairo_status(get()), cairo_surface_status(surface_.get())}) {
      if (status != CAIRO_STATUS_SUCCESS) {
        throw base::ExternalError(
            fmt::format("{}: cannot be written ({}).", path_.string(), cairo_status_to_string(status)));
      }
    }
  }

 private:
  struct Destroy {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
    void operator()(cairo_t* context) const { cairo_destroy(context); }
  };
  std::filesystem::path path_;
  std::unique_ptr<cairo_surface_t, Destroy> surface_;
  std::unique_ptr<cairo_t, Destroy> context_;
};

/// Drawing coordinates [m, upward] to the page [mm, downward].
struct View {
  double x0;  ///< page x of u0
  double y0;  ///< page y of v0
  double u0;
  double v0;
  double scale;  ///< mm on paper per m
  double x(double u) const { return x0 + scale * (u - u0); }
  double y(double v) const { return y0 - scale * (v - v0); }
};

void draw_strokes(Canvas& canvas, const Drawing& drawing, const View& view, double width) {
  for (const Stroke& stroke : drawing.strokes) {
    if (stroke.line == Line::Mark) {
      canvas.ink(Ink::Grey, 0.6 * width);
      canvas.dash({12.0, 3.0, 2.0, 3.0});
    } else if (stroke.line == Line::Bend) {
      canvas.ink(Ink::Red, width);
      canvas.dash({6.0, 3.0});
    } else {
      canvas.ink(Ink::Black, width);
    }
    for (const Point2& p : stroke.curve.points) cairo_line_to(canvas.get(), view.x(p[0]), view.y(p[1]));
    if (stroke.curve.is_closed) cairo_close_path(canvas.get());
    cairo_stroke(canvas.get());
  }
}

void draw_labels(Canvas& canvas, const Drawing& drawing, const View& view) {
  canvas.ink(Ink::Black, 0.1);
  for (const Label& label : drawing.labels) {
    canvas.words(view.x(label.at[0]), view.y(label.at[1]), mm * label.height / cap_over_font, label.text);
  }
}

void draw_bar(Canvas& canvas, double x, double y, double length, const std::string& text) {
  canvas.ink(Ink::Black, 0.25);
  canvas.line(x, y, x + length, y);
  for (const double end : {x, x + length}) canvas.line(end, y - 2.5, end, y + 2.5);
  canvas.words(x + length + 2.0, y + 1.1, 3.0, text);
}

/// The strip along the foot: bars to the left, words to the right.
void draw_foot(Canvas& canvas,
               const Tiling& tiling,
               const std::string& title,
               const std::vector<std::string>& words) {
  const double top = mm * tiling.sheet_height - margin - foot;
  draw_bar(canvas, margin + 0.5, top + 7.5, 100.0, "100 mm");
  draw_bar(canvas, margin + 0.5, top + 16.0, 101.6, "4 in");
  double y = top + 6.0;
  const double x = margin + 120.0;
  canvas.words(x, y, 4.2, title);
  for (const std::string& line : words) canvas.words(x, y += 4.6, 3.0, line);
}

const Tile* neighbour(const Tiling& tiling, const Tile& tile, int rows_down, int columns_right) {
  const int row = tile.row + rows_down;
  const int column = tile.column + columns_right;
  if (row < 0 || row >= tiling.n_rows || column < 0 || column >= tiling.n_columns) return nullptr;
  return &tiling.tiles[static_cast<std::size_t>(row * tiling.n_columns + column)];
}

/// A cross in a ring that must coincide with its twin on the neighbour.
void draw_cross(Canvas& canvas, double x, double y, const std::string& name) {
  constexpr double arm = 4.0;
  canvas.ink(Ink::Black, 0.15);
  canvas.line(x - arm, y, x + arm, y);
  canvas.line(x, y - arm, x, y + arm);
  cairo_arc(canvas.get(), x, y, 2.0, 0.0, 6.283185307179586);
  cairo_stroke(canvas.get());
  canvas.words(x + 0.8, y - 2.6, 2.2, name);
}

/// Edges that are cut, and crosses, along the middle of each overlap.
void draw_joints(Canvas& canvas, const Tiling& tiling, const Tile& tile, double width, double height) {
  const double half = 0.5 * mm * tile_overlap;
  struct Side {
    int down;
    int right;
  };
  for (const Side side : {Side{0, -1}, Side{0, 1}, Side{-1, 0}, Side{1, 0}}) {
    const Tile* other = neighbour(tiling, tile, side.down, side.right);
    if (other == nullptr) continue;
    const bool is_first = side.down + side.right > 0;
    const std::string name =
        is_first ? tile_name(tile) + "|" + tile_name(*other) : tile_name(*other) + "|" + tile_name(tile);
    const bool is_upright = side.right != 0;
    const double across = is_upright ? (is_first ? width - half : half) : (is_first ? height - half : half);
    const double along = is_upright ? height : width;
    canvas.ink(Ink::Grey, 0.15);
    canvas.dash({3.0, 2.0});
    if (is_upright) {
      canvas.line(margin + across, margin, margin + across, margin + along);
    } else {
      canvas.line(margin, margin + across, margin + along, margin + across);
    }
    for (const double share : {0.25, 0.75}) {
      if (is_upright) {
        draw_cross(canvas, margin + across, margin + share * along, name);
      } else {
        draw_cross(canvas, margin + share * along, margin + across, name);
      }
    }
  }
}

std::vector<std::string> foot_words(const Tiling& tiling, const Tile& tile) {
  std::string neighbours;
  const auto add = [&](const char* where, int down, int right) {
    const Tile* other = neighbour(tiling, tile, down, right);
    if (other == nullptr) return;
    neighbours += fmt::format("{}{} {}{}",
                              neighbours.empty() ? "" : ", ",
                              where,
                              tile_name(*other),
                              other->is_blank ? " (blank)" : "");
  };
  add("left", 0, -1);
  add("right", 0, 1);
  add("above", -1, 0);
  add("below", 1, 0);
  return {fmt::format("Sheet {} of {} x {}", tile_name(tile), tiling.n_rows, tiling.n_columns),
          neighbours.empty() ? "The only sheet" : neighbours,
          "Print at 100 %, never fitted"};
}

void draw_tile(Canvas& canvas, const Drawing& drawing, const Tiling& tiling, const Tile& tile) {
  const double width = mm * (tile.window.high[0] - tile.window.low[0]);
  const double height = mm * (tile.window.high[1] - tile.window.low[1]);
  const View view{margin, margin, tile.window.low[0], tile.window.high[1], mm};
  cairo_save(canvas.get());
  cairo_rectangle(canvas.get(), margin, margin, width, height);
  cairo_clip(canvas.get());
  draw_joints(canvas, tiling, tile, width, height);
  draw_strokes(canvas, drawing, view, 0.25);
  draw_labels(canvas, drawing, view);
  cairo_restore(canvas.get());
  canvas.ink(Ink::Grey, 0.15);
  cairo_rectangle(canvas.get(), margin, margin, width, height);
  cairo_stroke(canvas.get());
  canvas.ink(Ink::Light, 0.1);
  canvas.words(margin + 3.0, margin + 11.0, 10.0, tile_name(tile));
  canvas.ink(Ink::Black, 0.1);
  draw_foot(canvas, tiling, drawing.title, foot_words(tiling, tile));
  canvas.end_page();
}

/// Words broken into lines no wider than `width`. @return y below the last line.
double draw_paragraph(Canvas& canvas, double y, double width, const std::string& text) {
  std::istringstream words(text);
  std::string line;
  for (std::string word; words >> word;) {
    const std::string longer = line.empty() ? word : line + " " + word;
    if (!line.empty() && canvas.width_of(note_size, longer) > width) {
      canvas.words(margin, y, note_size, line);
      y += note_pitch;
      line = word;
    } else {
      line = longer;
    }
  }
  canvas.words(margin, y, note_size, line);
  return y + note_pitch;
}

/// The grid of sheets over the drawing, each cell out to the middle of its overlaps.
void draw_map(Canvas& canvas, const Drawing& drawing, const Tiling& tiling, double top) {
  const Box2 all{{tiling.tiles.front().window.low[0], tiling.tiles.back().window.low[1]},
                 {tiling.tiles.back().window.high[0], tiling.tiles.front().window.high[1]}};
  const double room_x = mm * tiling.sheet_width - 2.0 * margin;
  const double room_y = mm * tiling.sheet_height - margin - foot - top - 3.0;
  const double scale =
      std::min({room_x / (all.high[0] - all.low[0]), room_y / (all.high[1] - all.low[1]), 0.5 * mm});
  const View view{margin, top, all.low[0], all.high[1], scale};
  const double half = 0.5 * tile_overlap;
  for (const Tile& tile : tiling.tiles) {
    const double left = tile.window.low[0] + (tile.column > 0 ? half : 0.0);
    const double right = tile.window.high[0] - (tile.column + 1 < tiling.n_columns ? half : 0.0);
    const double low = tile.window.low[1] + (tile.row + 1 < tiling.n_rows ? half : 0.0);
    const double high = tile.window.high[1] - (tile.row > 0 ? half : 0.0);
    cairo_rectangle(canvas.get(), view.x(left), view.y(high), scale * (right - left), scale * (high - low));
    canvas.ink(Ink::Grey, 0.2);
    if (tile.is_blank) {
      cairo_set_source_rgb(canvas.get(), 0.92, 0.92, 0.92);
      cairo_fill_preserve(canvas.get());
      canvas.ink(Ink::Grey, 0.2);
    }
    cairo_stroke(canvas.get());
    canvas.words(view.x(left) + 1.5, view.y(high) + 5.0, 4.0, tile_name(tile));
  }
  draw_strokes(canvas, drawing, view, 0.3);
}

void draw_first_page(Canvas& canvas, const Drawing& drawing, const Tiling& tiling) {
  const double width = mm * tiling.sheet_width - 2.0 * margin;
  canvas.ink(Ink::Black, 0.2);
  canvas.words(margin, margin + 7.0, 7.0, drawing.title);
  double y = margin + 15.0;
  for (const std::string& note : drawing.notes) y = draw_paragraph(canvas, y, width, note);
  y += 2.0;
  y = draw_paragraph(
      canvas,
      y,
      width,
      fmt::format("Print {} sheets at 100 %, never fitted to the page; grey ones in the map are "
                  "blank and left out. Measure both bars on every sheet before cutting.",
                  n_printed(tiling)));
  y = draw_paragraph(
      canvas,
      y,
      width,
      fmt::format("Neighbours overlap by {:.0f} mm: cut one along its dashed line and lay it over "
                  "the other so that the crosses coincide.",
                  mm * tile_overlap));
  y = draw_paragraph(canvas,
                     y,
                     width,
                     "Lines are the surface as it was given: nothing is taken off for skin, saw or sanding "
                     "unless a note says so.");
  draw_map(canvas, drawing, tiling, y + 1.0);
  canvas.ink(Ink::Black, 0.2);
  draw_foot(canvas,
            tiling,
            drawing.title,
            {fmt::format("Map of {} x {} sheets", tiling.n_rows, tiling.n_columns),
             "Print at 100 %, never fitted"});
  canvas.end_page();
}

}  // namespace

void write_pdf(const Drawing& drawing, const Tiling& tiling, const std::filesystem::path& path) {
  Canvas canvas(path, mm * tiling.sheet_width, mm * tiling.sheet_height);
  canvas.title(drawing.title);
  draw_first_page(canvas, drawing, tiling);
  for (const Tile& tile : tiling.tiles) {
    if (!tile.is_blank) draw_tile(canvas, drawing, tiling, tile);
  }
  canvas.finish();
}

}  // namespace cowlwright::templates
