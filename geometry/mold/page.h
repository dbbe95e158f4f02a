// SPDX-License-Identifier: GPL-3.0-or-later
//
// A page to draw on, kept as PNG or SVG. Lengths in pixels, from the upper left corner.
#pragma once

#include "geometry/mold/raster.h"

#include <filesystem>
#include <memory>
#include <string>

namespace cowlwright::mold {

class Page {
 public:
  enum class Kind { Png, Svg };
  /// @throws ExternalError  when the file cannot be begun.
  Page(Kind kind, std::filesystem::path file, int width, int height);
  Page(const Page&) = delete;
  Page& operator=(const Page&) = delete;
  ~Page();

  void text(
      double x, double y, double size, const std::string& words, Colour colour = {}, bool is_bold = false);
  double text_width(double size, const std::string& words);
  void rectangle(double x, double y, double width, double height, Colour fill);
  void frame(double x, double y, double width, double height, Colour line);
  void line(double x0, double y0, double x1, double y1, double width, Colour colour);
  /// A number in a disc; hollow when what it marks is hidden.
  void mark(double x, double y, int number, bool is_seen);
  /// An image of the raster's own size, shrunk to `width` wide.
  void image(const Raster& raster, double x, double y, double width);
  /// Closes the file. @throws ExternalError  when it could not be written.
  void finish();

 private:
  struct Drawing;
  std::unique_ptr<Drawing> drawing_;
};

}  // namespace cowlwright::mold
