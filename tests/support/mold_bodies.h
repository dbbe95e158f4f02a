// SPDX-License-Identifier: GPL-3.0-or-later
//
// Bodies whose draft, radii and undercuts are known exactly, with facets as fine as wanted.
#pragma once

#include "geometry/shape/surface.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <functional>
#include <map>
#include <numbers>
#include <utility>

namespace cowlwright::testing_support {

inline constexpr double pi = std::numbers::pi;

/// A sheet over a grid of n x m quads; `at` maps (0..1, 0..1) to a place. Seen from outside u runs to the
/// right and v up. `wraps_u`, `wraps_v`: the last column or row is the first.
inline shape::Surface grid_surface(int n,
                                   int m,
                                   const std::function<base::Vec3(double, double)>& at,
                                   bool wraps_u = false,
                                   bool wraps_v = false) {
  shape::Surface surface;
  surface.patch_names = {"skin"};
  const int columns = wraps_u ? n : n + 1;
  const int rows = wraps_v ? m : m + 1;
  for (int j = 0; j < rows; ++j) {
    for (int i = 0; i < columns; ++i) surface.points.push_back(at(double(i) / n, double(j) / m));
  }
  const auto point = [&](int i, int j) {
    return static_cast<std::uint32_t>((j % rows) * columns + i % columns);
  };
  for (int j = 0; j < m; ++j) {
    for (int i = 0; i < n; ++i) {
      surface.triangles.push_back({point(i, j), point(i + 1, j), point(i + 1, j + 1)});
      surface.triangles.push_back({point(i, j), point(i + 1, j + 1), point(i, j + 1)});
    }
  }
  surface.patch.assign(surface.triangles.size(), 0);
  return surface;
}

/// Side of a cone along z, wide at its foot: 0.2 m radius at z = 0, `draft` [rad] to its axis, 0.15 m high.
inline shape::Surface cone_side(double draft, int n_around, int n_up) {
  return grid_surface(
      n_around,
      n_up,
      [&](double u, double v) {
        const double radius = 0.2 - 0.15 * v * std::tan(draft);
        return base::Vec3{radius * std::cos(2 * pi * u), radius * std::sin(2 * pi * u), 0.15 * v};
      },
      true);
}

/// A closed sphere about the origin: each face of an icosahedron divided into n x n, 20 n² facets.
inline shape::Surface sphere(double radius, int n) {
  const double g = 0.5 * (1 + std::sqrt(5.0));
  const std::array<base::Vec3, 12> corner{{{-1, g, 0},
                                           {1, g, 0},
                                           {-1, -g, 0},
                                           {1, -g, 0},
                                           {0, -1, g},
                                           {0, 1, g},
                                           {0, -1, -g},
                                           {0, 1, -g},
                                           {g, 0, -1},
                                           {g, 0, 1},
                                           {-g, 0, -1},
                                           {-g, 0, 1}}};
  constexpr std::array<std::array<std::size_t, 3>, 20> face{
      {{0, 11, 5},  {0, 5, 1},  {0, 1, 7},  {0, 7, 10}, {0, 10, 11}, {1, 5, 9}, {5, 11, 4},
       {11, 10, 2}, {10, 7, 6}, {7, 1, 8},  {3, 9, 4},  {3, 4, 2},   {3, 2, 6}, {3, 6, 8},
       {3, 8, 9},   {4, 9, 5},  {2, 4, 11}, {6, 2, 10}, {8, 6, 7},   {9, 8, 1}}};
  shape::Surface s;
  s.patch_names = {"skin"};
  std::map<std::array<long, 3>, std::uint32_t> known;
  const auto point = [&](const base::Vec3& p) {
    const base::Vec3 q = (radius / norm(p)) * p;
    // Points of neighbouring faces differ by rounding only: 1e-9 of the radius.
    const auto key = [&](double v) { return std::lround(v / radius * 1e9); };
    const auto [entry, is_new] =
        known.try_emplace({key(q.x), key(q.y), key(q.z)}, static_cast<std::uint32_t>(s.points.size()));
    if (is_new) s.points.push_back(q);
    return entry->second;
  };
  for (const auto& [a, b, c] : face) {
    const auto at = [&, a = a, b = b, c = c](int i, int j) {
      return point((1.0 / n) *
                   (double(n - i - j) * corner[a] + double(i) * corner[b] + double(j) * corner[c]));
    };
    for (int i = 0; i < n; ++i) {
      for (int j = 0; i + j < n; ++j) {
        s.triangles.push_back({at(i, j), at(i + 1, j), at(i, j + 1)});
        if (i + j + 1 < n) s.triangles.push_back({at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)});
      }
    }
  }
  s.patch.assign(s.triangles.size(), 0);
  return s;
}

/// A closed torus about z.
inline shape::Surface torus(double major, double minor, int n_around, int n_tube) {
  return grid_surface(
      n_around,
      n_tube,
      [&](double u, double v) {
        const double r = major + minor * std::cos(2 * pi * v);
        return base::Vec3{r * std::cos(2 * pi * u), r * std::sin(2 * pi * u), minor * std::sin(2 * pi * v)};
      },
      true,
      true);
}

/// A sheet along y that follows straight pieces and arcs in the x-z plane: `course` maps a length to a place.
inline shape::Surface extruded(double length,
                               int n_along,
                               int n_across,
                               const std::function<base::Vec3(double)>& course) {
  return grid_surface(n_across, n_along, [&](double u, double v) {
    base::Vec3 p = course(u);
    p.y = length * v;
    return p;
  });
}

/// A flat plate, a quarter arc of `radius` and an upright plate, each plate 50 mm, extruded over 100 mm; the
/// normals point away from the arc's centre: an outside edge of the part. Facets are `facet` long on the arc
/// and four times that on the plates.
inline shape::Surface filleted_edge(double radius, double facet) {
  const int n_arc = std::max(1, static_cast<int>(std::lround(0.5 * pi * radius / facet)));
  const int n_plate = std::max(1, static_cast<int>(std::lround(0.05 / (4 * facet))));
  const int n = n_arc + 2 * n_plate;
  const int n_along = std::max(1, static_cast<int>(std::lround(0.1 / (2 * facet))));
  return extruded(0.1, n_along, n, [=](double u) {
    const int i = static_cast<int>(std::lround(u * n));
    if (i <= n_plate) return base::Vec3{0.0, 0.0, -0.05 + 0.05 * i / n_plate};
    if (i >= n_plate + n_arc) return base::Vec3{radius + 0.05 * (i - n_plate - n_arc) / n_plate, 0.0, radius};
    const double angle = 0.5 * pi * (i - n_plate) / n_arc;
    return base::Vec3{radius * (1 - std::cos(angle)), 0.0, radius * std::sin(angle)};
  });
}

/// A closed box.
inline shape::Surface box(const base::Vec3& low, const base::Vec3& high) {
  shape::Surface s;
  s.patch_names = {"box"};
  for (int i = 0; i < 8; ++i) {
    s.points.push_back({i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z});
  }
  s.triangles = {{0, 2, 1},
                 {1, 2, 3},
                 {4, 5, 6},
                 {5, 7, 6},
                 {0, 1, 4},
                 {1, 5, 4},
                 {2, 6, 3},
                 {3, 6, 7},
                 {0, 4, 2},
                 {2, 4, 6},
                 {1, 3, 5},
                 {3, 7, 5}};
  s.patch.assign(12, 0);
  return s;
}

/// A block with a step that hangs over: 0.2 m wide (x), 0.1 m high (z), extruded 0.3 m along y, open at its
/// ends and bottom. Its right side goes 40 mm up, 30 mm out, and up again: seen from above the ledge's
/// underside (0.03 x 0.3 m²) faces away and the wall below it (0.04 x 0.3 m²) is hidden by it. Both are `n` x
/// n quads.
inline shape::Surface stepped_block(int n) {
  // From the left foot up, across, down the upper side, in under the ledge, down the lower side.
  const std::array<std::array<double, 2>, 6> corner{
      {{0.0, 0.0}, {0.0, 0.1}, {0.2, 0.1}, {0.2, 0.04}, {0.17, 0.04}, {0.17, 0.0}}};
  return extruded(0.3, n, 5 * n, [=](double u) {
    const int i = std::min(5 * n - 1, static_cast<int>(std::lround(u * 5 * n)));
    const int last = static_cast<int>(std::lround(u * 5 * n));
    const auto side = static_cast<std::size_t>(i / n);
    const double t = static_cast<double>(last - i / n * n) / n;
    const auto [x0, z0] = corner[side];
    const auto [x1, z1] = corner[side + 1];
    return base::Vec3{x0 + t * (x1 - x0), 0.0, z0 + t * (z1 - z0)};
  });
}

}  // namespace cowlwright::testing_support
