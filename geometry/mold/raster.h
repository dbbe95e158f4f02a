// SPDX-License-Identifier: GPL-3.0-or-later
//
// A shaded picture of triangles seen from far away, with the depth of each pixel.
#pragma once

#include "geometry/mold/sheet.h"

namespace cowlwright::mold {

struct Colour {
  std::uint8_t red = 0, green = 0, blue = 0;
};

/// Where the viewer stands: the picture's right, up and towards the viewer, unit and square to each other.
struct Camera {
  Vec3 right;
  Vec3 up;
  Vec3 towards;
};
/// Seen from a direction, with up as upright as may be; from above and below aft is to the right.
Camera camera_from(const Vec3& towards);

/// Maps places to pixels: the whole sheet in the middle, with a margin.
class Raster {
 public:
  Raster(const Camera& camera, const Vec3& low, const Vec3& high, int width, int height);

  /// Faces seen from behind are drawn grey.
  void draw(const Sheet& sheet, const std::vector<Colour>& colours);

  std::array<double, 2> pixel(const Vec3& p) const;     ///< right and down from the upper left corner
  bool is_seen(const Vec3& p, double tolerance) const;  ///< nothing lies more than `tolerance` [m] in front
  double pixels_per_metre() const { return scale_; }
  int width() const { return width_; }
  int height() const { return height_; }
  const std::vector<std::uint32_t>& image() const { return image_; }  ///< 0xAARRGGBB, row by row

 private:
  void fill(const std::array<Vec3, 3>& corners, std::uint32_t colour);

  Camera camera_;
  int width_, height_;
  double scale_ = 1.0, middle_x_ = 0.0, middle_y_ = 0.0;
  std::vector<std::uint32_t> image_;
  std::vector<float> depth_;
};

}  // namespace cowlwright::mold
