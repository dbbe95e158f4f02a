// SPDX-License-Identifier: GPL-3.0-or-later
//
// Structured closed surfaces.
#include "geometry/shape/builder.h"

#include <cmath>
#include <numbers>
#include <utility>

namespace cowlwright::shape {

const std::vector<std::string>& patch_names() {
  static const std::vector<std::string> names{"spinner",
                                              "cowl",
                                              "fuselage",
                                              "inlet_left",
                                              "inlet_right",
                                              "ring_left",
                                              "ring_right",
                                              "upper_deck",
                                              "baffle",
                                              "core_wall",
                                              "oil_cooler_wall",
                                              "leak_wall",
                                              "crankcase",
                                              "centre_wall",
                                              "lower_deck",
                                              "firewall",
                                              "exit_wall",
                                              "exit_lip"};
  return names;
}

std::uint32_t SurfaceBuilder::add_point(const base::Vec3& p) {
  surface_.points.push_back(p);
  return static_cast<std::uint32_t>(surface_.points.size() - 1);
}

void SurfaceBuilder::add_triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c, Patch patch) {
  if (a == b || b == c || c == a) return;
  surface_.triangles.push_back({a, b, c});
  surface_.patch.push_back(static_cast<std::uint16_t>(patch));
}

void SurfaceBuilder::add_quad(
    std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t d, Patch patch) {
  add_triangle(a, b, c, patch);
  add_triangle(a, c, d, patch);
}

void SurfaceBuilder::add_quad_other_way(
    std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t d, Patch patch) {
  add_triangle(a, b, d, patch);
  add_triangle(b, c, d, patch);
}

void SurfaceBuilder::add_surface(const Surface& other) {
  const auto offset = static_cast<std::uint32_t>(surface_.points.size());
  surface_.points.insert(surface_.points.end(), other.points.begin(), other.points.end());
  for (const auto& t : other.triangles) {
    surface_.triangles.push_back({t[0] + offset, t[1] + offset, t[2] + offset});
  }
  surface_.patch.insert(surface_.patch.end(), other.patch.begin(), other.patch.end());
}

Surface SurfaceBuilder::closed() && {
  surface_.patch_names = patch_names();
  if (enclosed_volume(surface_) < 0.0) {
    for (auto& t : surface_.triangles) std::swap(t[1], t[2]);
  }
  return std::move(surface_);
}

Surface SurfaceBuilder::open() && {
  surface_.patch_names = patch_names();
  return std::move(surface_);
}

Surface box_surface(const base::Vec3& low, const base::Vec3& high, Patch patch) {
  SurfaceBuilder builder;
  for (const double z : {low.z, high.z}) {
    builder.add_point({low.x, low.y, z});
    builder.add_point({high.x, low.y, z});
    builder.add_point({high.x, high.y, z});
    builder.add_point({low.x, high.y, z});
  }
  builder.add_quad(0, 3, 2, 1, patch);
  builder.add_quad(4, 5, 6, 7, patch);
  for (std::uint32_t i = 0; i < 4; ++i) {
    const std::uint32_t j = (i + 1) % 4;
    builder.add_quad(i, j, j + 4, i + 4, patch);
  }
  return std::move(builder).closed();
}

Surface revolved_surface(
    double axis_y, double axis_z, std::span<const Ring> rings, std::span<const Patch> patches, int n_around) {
  SurfaceBuilder builder;
  const double step = 2.0 * std::numbers::pi / n_around;
  const double widening = std::sqrt(step / std::sin(step));
  const auto n = static_cast<std::uint32_t>(n_around);
  std::vector<std::uint32_t> first(rings.size());
  for (std::size_t i = 0; i < rings.size(); ++i) {
    const bool is_tip = rings[i].radius == 0.0;
    for (std::uint32_t k = 0; k < (is_tip ? 1 : n); ++k) {
      const double angle = step * (k + 0.5);
      const double radius = rings[i].radius * widening;
      const std::uint32_t index = builder.add_point(
          {rings[i].x, axis_y + radius * std::cos(angle), axis_z + radius * std::sin(angle)});
      if (k == 0) first[i] = index;
    }
  }
  const auto index = [&](std::size_t ring, std::uint32_t k) {
    return rings[ring].radius == 0.0 ? first[ring] : first[ring] + k % n;
  };
  for (std::size_t i = 0; i + 1 < rings.size(); ++i) {
    for (std::uint32_t k = 0; k < n; ++k) {
      builder.add_quad(index(i, k), index(i, k + 1), index(i + 1, k + 1), index(i + 1, k), patches[i]);
    }
  }
  for (const std::size_t end : {std::size_t{0}, rings.size() - 1}) {
    if (rings[end].radius == 0.0) continue;
    const std::uint32_t centre = builder.add_point({rings[end].x, axis_y, axis_z});
    const Patch patch = end == 0 ? patches.front() : patches.back();
    for (std::uint32_t k = 0; k < n; ++k) {
      if (end == 0) {
        builder.add_triangle(centre, index(end, k + 1), index(end, k), patch);
      } else {
        builder.add_triangle(centre, index(end, k), index(end, k + 1), patch);
      }
    }
  }
  return std::move(builder).closed();
}

}  // namespace cowlwright::shape
