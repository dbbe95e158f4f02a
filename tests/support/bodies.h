// SPDX-License-Identifier: GPL-3.0-or-later
//
// Closed bodies of known area and volume, and ways to spoil them.
#pragma once

#include "geometry/shape/surface.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace cowlwright::testing_support {

/// Box from `low` to `high`, each side of n x n squares; patches x_low, x_high, y_low, ... Closed by index.
inline shape::Surface divided_box(const base::Vec3& low, const base::Vec3& high, int n) {
  shape::Surface box{{}, {}, {}, {"x_low", "x_high", "y_low", "y_high", "z_low", "z_high"}};
  std::map<std::array<int, 3>, std::uint32_t> numbers;
  const auto point = [&](std::array<int, 3> at) {
    const auto [entry, is_new] = numbers.try_emplace(at, static_cast<std::uint32_t>(box.points.size()));
    if (is_new) {
      const auto part = [&](double from, double to, int k) { return from + (to - from) * k / n; };
      box.points.push_back(
          {part(low.x, high.x, at[0]), part(low.y, high.y, at[1]), part(low.z, high.z, at[2])});
    }
    return entry->second;
  };
  for (int side = 0; side < 6; ++side) {
    const std::size_t axis = static_cast<std::size_t>(side) / 2;
    for (int i = 0; i < n; ++i) {
      for (int j = 0; j < n; ++j) {
        const auto corner = [&](int di, int dj) {
          std::array<int, 3> at{};
          at[axis] = side % 2 == 0 ? 0 : n;
          at[(axis + 1) % 3] = i + di;
          at[(axis + 2) % 3] = j + dj;
          return point(at);
        };
        std::uint32_t a = corner(0, 0), b = corner(1, 0), c = corner(1, 1), d = corner(0, 1);
        if (side % 2 == 0) std::swap(b, d);
        box.triangles.push_back({a, b, c});
        box.triangles.push_back({a, c, d});
        box.patch.insert(box.patch.end(), 2, static_cast<std::uint16_t>(side));
      }
    }
  }
  return box;
}

/// Sphere about `centre`: an octahedron whose triangles are quartered `levels` times. Points on the sphere.
inline shape::Surface divided_sphere(const base::Vec3& centre, double radius, int levels) {
  shape::Surface sphere{
      {{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}},
      {{0, 2, 4}, {2, 1, 4}, {1, 3, 4}, {3, 0, 4}, {2, 0, 5}, {1, 2, 5}, {3, 1, 5}, {0, 3, 5}},
      {},
      {"sphere"}};
  for (int level = 0; level < levels; ++level) {
    std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> middles;
    const auto middle = [&](std::uint32_t a, std::uint32_t b) {
      const auto [entry, is_new] =
          middles.try_emplace(std::minmax(a, b), static_cast<std::uint32_t>(sphere.points.size()));
      if (is_new) {
        const base::Vec3 m = sphere.points[a] + sphere.points[b];
        sphere.points.push_back((1.0 / norm(m)) * m);
      }
      return entry->second;
    };
    std::vector<std::array<std::uint32_t, 3>> finer;
    for (const auto& [a, b, c] : sphere.triangles) {
      const std::uint32_t ab = middle(a, b), bc = middle(b, c), ca = middle(c, a);
      finer.insert(finer.end(), {{a, ab, ca}, {ab, b, bc}, {ca, bc, c}, {ab, bc, ca}});
    }
    sphere.triangles = std::move(finer);
  }
  for (base::Vec3& p : sphere.points) p = centre + radius * p;
  sphere.patch.assign(sphere.triangles.size(), 0);
  return sphere;
}

/// Every triangle with corners of its own, as most files have them.
inline shape::Surface apart(const shape::Surface& surface) {
  shape::Surface soup{{}, {}, surface.patch, surface.patch_names};
  for (const auto& t : surface.triangles) {
    const auto n = static_cast<std::uint32_t>(soup.points.size());
    for (const std::uint32_t k : t) soup.points.push_back(surface.points[k]);
    soup.triangles.push_back({n, n + 1, n + 2});
  }
  return soup;
}

inline void append(shape::Surface& to, const shape::Surface& more) {
  const auto n = static_cast<std::uint32_t>(to.points.size());
  to.points.insert(to.points.end(), more.points.begin(), more.points.end());
  const auto patch = static_cast<std::uint16_t>(to.patch_names.size());
  to.patch_names.insert(to.patch_names.end(), more.patch_names.begin(), more.patch_names.end());
  for (const auto& t : more.triangles) to.triangles.push_back({t[0] + n, t[1] + n, t[2] + n});
  for (const std::uint16_t p : more.patch) to.patch.push_back(static_cast<std::uint16_t>(p + patch));
}

inline void turn(shape::Surface& surface, std::size_t triangle) {
  std::swap(surface.triangles[triangle][1], surface.triangles[triangle][2]);
}

inline void remove_triangle(shape::Surface& surface, std::size_t triangle) {
  surface.triangles.erase(surface.triangles.begin() + static_cast<std::ptrdiff_t>(triangle));
  surface.patch.erase(surface.patch.begin() + static_cast<std::ptrdiff_t>(triangle));
}

}  // namespace cowlwright::testing_support
