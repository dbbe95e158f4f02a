// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/page.h"

#include "geometry/base/error.h"

#include <cairo-svg.h>
#include <cairo.h>
#include <fmt/format.h>

#include <cstring>
#include <numbers>
#include <utility>

namespace cowlwright::mold {

struct Page::Drawing {
  Kind kind;
  std::filesystem::path file;
  cairo_surface_t* surface = nullptr;
  cairo_t* pen = nullptr;

  void colour(Colour c) const { cairo_set_source_rgb(pen, c.red / 255.0, c.green / 255.0, c.blue / 255.0); }
  void font(double size, bool is_bold) const {
    cairo_select_font_face(pen,
                           "sans-serif",
                           CAIRO_FONT_SLANT_NORMAL,
                           is_bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(pen, size);
  }
  void require_sound(cairo_status_t status) const {
    if (status == CAIRO_STATUS_SUCCESS) return;
    throw base::ExternalError(
        fmt::format("{}: cannot be drawn ({}).", file.string(), cairo_status_to_string(status)));
  }
  ~Drawing() {
    if (pen != nullptr) cairo_destroy(pen);
    if (surface != nullptr) cairo_surface_destroy(surface);
  }
};

Page::Page(Kind kind, std::filesystem::path file, int width, int height)
    : drawing_(std::make_unique<Drawing>()) {
  drawing_->kind = kind;
  drawing_->file = std::move(file);
  drawing_->surface = kind == Kind::Png ? cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height)
                                        : cairo_svg_surface_create(drawing_->file.c_str(), width, height);
  drawing_->require_sound(cairo_surface_status(drawing_->surface));
  drawing_->pen = cairo_create(drawing_->surface);
  drawing_->require_sound(cairo_status(drawing_->pen));
  rectangle(0, 0, width, height, {255, 255, 255});
}

Page::~Page() = default;

void Page::text(double x, double y, double size, const std::string& words, Colour colour, bool is_bold) {
  drawing_->colour(colour);
  drawing_->font(size, is_bold);
  cairo_move_to(drawing_->pen, x, y);
  cairo_show_text(drawing_->pen, words.c_str());
  cairo_new_path(drawing_->pen);
}

double Page::text_width(double size, const std::string& words) {
  drawing_->font(size, false);
  cairo_text_extents_t extents;
  cairo_text_extents(drawing_->pen, words.c_str(), &extents);
  return extents.x_advance;
}

void Page::rectangle(double x, double y, double width, double height, Colour fill) {
  drawing_->colour(fill);
  cairo_rectangle(drawing_->pen, x, y, width, height);
  cairo_fill(drawing_->pen);
}

void Page::frame(double x, double y, double width, double height, Colour line_colour) {
  drawing_->colour(line_colour);
  cairo_set_line_width(drawing_->pen, 1.0);
  cairo_rectangle(drawing_->pen, x, y, width, height);
  cairo_stroke(drawing_->pen);
}

void Page::line(double x0, double y0, double x1, double y1, double width, Colour colour) {
  drawing_->colour(colour);
  cairo_set_line_width(drawing_->pen, width);
  cairo_set_line_cap(drawing_->pen, CAIRO_LINE_CAP_ROUND);
  cairo_move_to(drawing_->pen, x0, y0);
  cairo_line_to(drawing_->pen, x1, y1);
  cairo_stroke(drawing_->pen);
}

void Page::mark(double x, double y, int number, bool is_seen) {
  constexpr double radius = 11.0;
  constexpr double size = 12.0;
  const Colour dark{0, 0, 0}, light{255, 255, 255};
  cairo_new_path(drawing_->pen);
  cairo_arc(drawing_->pen, x, y, radius, 0.0, 2.0 * std::numbers::pi);
  drawing_->colour(is_seen ? dark : light);
  cairo_fill_preserve(drawing_->pen);
  drawing_->colour(is_seen ? light : dark);
  cairo_set_line_width(drawing_->pen, 1.5);
  cairo_stroke(drawing_->pen);
  const std::string words = std::to_string(number);
  text(x - 0.5 * text_width(size, words), y + 0.36 * size, size, words, is_seen ? light : dark);
}

void Page::image(const Raster& raster, double x, double y, double width) {
  cairo_surface_t* picture = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, raster.width(), raster.height());
  cairo_surface_flush(picture);
  unsigned char* data = cairo_image_surface_get_data(picture);
  const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(picture));
  const auto row = static_cast<std::size_t>(raster.width());
  for (std::size_t j = 0; j < static_cast<std::size_t>(raster.height()); ++j) {
    std::memcpy(data + j * stride, raster.image().data() + j * row, row * sizeof(std::uint32_t));
  }
  cairo_surface_mark_dirty(picture);
  cairo_save(drawing_->pen);
  cairo_translate(drawing_->pen, x, y);
  cairo_scale(drawing_->pen, width / raster.width(), width / raster.width());
  cairo_set_source_surface(drawing_->pen, picture, 0, 0);
  cairo_paint(drawing_->pen);
  cairo_restore(drawing_->pen);
  cairo_surface_destroy(picture);
}

void Page::finish() {
  drawing_->require_sound(cairo_status(drawing_->pen));
  if (drawing_->kind == Kind::Png) {
    drawing_->require_sound(cairo_surface_write_to_png(drawing_->surface, drawing_->file.c_str()));
  }
  cairo_surface_finish(drawing_->surface);
  drawing_->require_sound(cairo_surface_status(drawing_->surface));
}

}  // namespace cowlwright::mold
