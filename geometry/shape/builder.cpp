// SPDX-License-Identifier: GPL-3.0-or-later
//
// Structured closed surfaces.
#include "geometry/shape/builder.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace cowlwright::shape {

const std::vector<std::string>& patch_names() {
  static const std::vector<std::string> names{
      "spinner",    "cowl",        "fuselage",   "inlet_left", "inlet_right",     "ring_left",
      "ring_right", "upper_deck",  "baffle",     "core_wall",  "oil_cooler_wall", "leak_wall",
      "crankcase",  "centre_wall", "lower_deck", "firewall",   "exit_wall",       "exit_lip",
      "alternator", "side_plate",  "strut",      "exhaust"};
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

Surface lofted_surface(const std::array<double, 2>& axis_yz,
                       std::span<const LoftSection> sections,
                       std::span<const Patch> patches) {
  SurfaceBuilder builder;
  std::uint32_t n = 1;
  std::vector<std::uint32_t> first;
  for (const LoftSection& section : sections) {
    n = std::max(n, static_cast<std::uint32_t>(section.yz.size()));
    for (std::size_t k = 0; k < section.yz.size(); ++k) {
      const std::uint32_t index = builder.add_point({section.x, section.yz[k][0], section.yz[k][1]});
      if (k == 0) first.push_back(index);
    }
  }
  const auto is_tip = [&](std::size_t i) { return sections[i].yz.size() == 1; };
  const auto index = [&](std::size_t i, std::uint32_t k) { return is_tip(i) ? first[i] : first[i] + k % n; };
  for (std::size_t i = 0; i + 1 < sections.size(); ++i) {
    for (std::uint32_t k = 0; k < n; ++k) {
      builder.add_quad(index(i, k), index(i, k + 1), index(i + 1, k + 1), index(i + 1, k), patches[i]);
    }
  }
  for (const std::size_t end : {std::size_t{0}, sections.size() - 1}) {
    if (is_tip(end)) continue;
    const std::uint32_t centre = builder.add_point({sections[end].x, axis_yz[0], axis_yz[1]});
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

LoftSection circle_section(const std::array<double, 2>& axis_yz, const Ring& ring, int n_around) {
  const double step = 2.0 * std::numbers::pi / n_around;
  const double radius = ring.radius > 0.0 ? ring.radius * polygon_widening(n_around) : 0.0;
  LoftSection section{ring.x, {}};
  for (int k = 0; k < n_around; ++k) {
    const double angle = step * (k + 0.5);
    section.yz.push_back({axis_yz[0] + radius * std::cos(angle), axis_yz[1] + radius * std::sin(angle)});
  }
  return section;
}

Surface revolved_surface(
    double axis_y, double axis_z, std::span<const Ring> rings, std::span<const Patch> patches, int n_around) {
  std::vector<LoftSection> sections;
  for (const Ring& ring : rings) {
    sections.push_back(circle_section({axis_y, axis_z}, ring, ring.radius == 0.0 ? 1 : n_around));
  }
  return lofted_surface({axis_y, axis_z}, sections, patches);
}

Surface tube_surface(std::span<const std::vector<base::Vec3>> rings, Patch patch) {
  SurfaceBuilder builder;
  const auto n = static_cast<std::uint32_t>(rings.front().size());
  for (const std::vector<base::Vec3>& ring : rings) {
    for (const base::Vec3& p : ring) builder.add_point(p);
  }
  const auto last = static_cast<std::uint32_t>(rings.size() - 1);
  for (std::uint32_t i = 0; i < last; ++i) {
    for (std::uint32_t k = 0; k < n; ++k) {
      const std::uint32_t next = (k + 1) % n;
      builder.add_quad(i * n + k, (i + 1) * n + k, (i + 1) * n + next, i * n + next, patch);
    }
  }
  for (const std::uint32_t end : {0U, last}) {
    base::Vec3 sum;
    for (const base::Vec3& p : rings[end]) sum = sum + p;
    const std::uint32_t centre = builder.add_point((1.0 / n) * sum);
    for (std::uint32_t k = 0; k < n; ++k) {
      const std::uint32_t a = end * n + k;
      const std::uint32_t b = end * n + (k + 1) % n;
      builder.add_triangle(centre, end == 0 ? a : b, end == 0 ? b : a, patch);
    }
  }
  return std::move(builder).closed();
}

double polygon_widening(int n_around) {
  const double step = 2.0 * std::numbers::pi / n_around;
  return std::sqrt(step / std::sin(step));
}

}  // namespace cowlwright::shape
