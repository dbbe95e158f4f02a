// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/raster.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace cowlwright::mold {
namespace {

std::uint32_t packed(const Colour& c, double light) {
  const auto part = [&](std::uint8_t v) {
    return static_cast<std::uint32_t>(std::lround(std::min(255.0, v * light)));
  };
  return 0xFF000000U | part(c.red) << 16 | part(c.green) << 8 | part(c.blue);
}

}  // namespace

Camera camera_from(const Vec3& towards) {
  Camera camera;
  camera.towards = unit(towards);
  const bool is_upright = std::abs(camera.towards.z) > 0.9;
  const Vec3 right = is_upright ? Vec3{1, 0, 0} : unit(cross({0, 0, 1}, camera.towards));
  camera.up = unit(cross(camera.towards, right));
  camera.right = cross(camera.up, camera.towards);
  return camera;
}

Raster::Raster(const Camera& camera, const Vec3& low, const Vec3& high, int width, int height)
    : camera_(camera), width_(width), height_(height) {
  constexpr double margin = 0.08;  // of the picture on each side
  const auto n = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
  image_.assign(n, 0);
  depth_.assign(n, -std::numeric_limits<float>::infinity());
  const Vec3 middle = 0.5 * (low + high);
  const Vec3 half = 0.5 * (high - low);
  const auto reach = [&](const Vec3& axis) {
    return std::abs(axis.x) * half.x + std::abs(axis.y) * half.y + std::abs(axis.z) * half.z;
  };
  const double wide = std::max(1e-9, 2.0 * reach(camera.right));
  const double tall = std::max(1e-9, 2.0 * reach(camera.up));
  scale_ = (1.0 - 2.0 * margin) * std::min(width / wide, height / tall);
  middle_x_ = dot(middle, camera.right);
  middle_y_ = dot(middle, camera.up);
}

std::array<double, 2> Raster::pixel(const Vec3& p) const {
  return {0.5 * width_ + scale_ * (dot(p, camera_.right) - middle_x_),
          0.5 * height_ - scale_ * (dot(p, camera_.up) - middle_y_)};
}

bool Raster::is_seen(const Vec3& p, double tolerance) const {
  const auto [x, y] = pixel(p);
  const int i = std::clamp(static_cast<int>(x), 0, width_ - 1);
  const int j = std::clamp(static_cast<int>(y), 0, height_ - 1);
  return depth_[static_cast<std::size_t>(j * width_ + i)] <= dot(p, camera_.towards) + tolerance;
}

void Raster::draw(const Sheet& sheet, const std::vector<Colour>& colours) {
  constexpr Colour behind{176, 176, 176};
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    const double facing = dot(sheet.normal[f], camera_.towards);
    if (facing == 0.0) continue;
    const Colour& colour = facing > 0.0 ? colours[f] : behind;
    fill({sheet.corner(f, 0), sheet.corner(f, 1), sheet.corner(f, 2)},
         packed(colour, 0.62 + 0.38 * std::abs(facing)));
  }
}

void Raster::fill(const std::array<Vec3, 3>& corners, std::uint32_t colour) {
  std::array<std::array<double, 2>, 3> q{};
  std::array<double, 3> z{};
  for (std::size_t k = 0; k < 3; ++k) {
    q[k] = pixel(corners[k]);
    z[k] = dot(corners[k], camera_.towards);
  }
  const double area = (q[1][0] - q[0][0]) * (q[2][1] - q[0][1]) - (q[2][0] - q[0][0]) * (q[1][1] - q[0][1]);
  if (area == 0.0) return;
  const auto bound = [](double v, int most) { return std::clamp(static_cast<int>(v), 0, most - 1); };
  const int left = bound(std::min({q[0][0], q[1][0], q[2][0]}) - 0.5, width_);
  const int right = bound(std::max({q[0][0], q[1][0], q[2][0]}) + 0.5, width_);
  const int top = bound(std::min({q[0][1], q[1][1], q[2][1]}) - 0.5, height_);
  const int bottom = bound(std::max({q[0][1], q[1][1], q[2][1]}) + 0.5, height_);
  for (int j = top; j <= bottom; ++j) {
    for (int i = left; i <= right; ++i) {
      const double x = i + 0.5, y = j + 0.5;
      const double a = ((q[1][0] - x) * (q[2][1] - y) - (q[2][0] - x) * (q[1][1] - y)) / area;
      const double b = ((q[2][0] - x) * (q[0][1] - y) - (q[0][0] - x) * (q[2][1] - y)) / area;
      const double c = 1.0 - a - b;
      if (a < 0.0 || b < 0.0 || c < 0.0) continue;
      const auto depth = static_cast<float>(a * z[0] + b * z[1] + c * z[2]);
      const auto at = static_cast<std::size_t>(j * width_ + i);
      if (depth <= depth_[at]) continue;
      depth_[at] = depth;
      image_[at] = colour;
    }
  }
}

}  // namespace cowlwright::mold
