// SPDX-License-Identifier: GPL-3.0-or-later
//
// Volumes and areas of air measured with parallel rays, knowing nothing of how a surface was made: along each
// ray the crossings of a closed surface alternate between entry and exit.
#pragma once

#include "geometry/shape/installation.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <utility>
#include <vector>

namespace cowlwright::shape {

enum class Axis { X = 0, Y = 1, Z = 2 };

inline double coordinate(const base::Vec3& p, int axis) {
  return axis == 0 ? p.x : axis == 1 ? p.y : p.z;
}

/// Rays along `along` through a grid of the two other coordinates (in cyclic order after `along`).
struct RayGrid {
  Axis along = Axis::Z;
  std::vector<double> u;
  std::vector<double> v;
};

/// Sorted crossings of each ray, (u.size() * v.size()), v fastest.
inline std::vector<std::vector<double>> ray_crossings(const Surface& surface, const RayGrid& grid) {
  const int w = static_cast<int>(grid.along);
  const int a = (w + 1) % 3;
  const int b = (w + 2) % 3;
  std::vector<std::vector<double>> crossings(grid.u.size() * grid.v.size());
  const auto index_range = [](const std::vector<double>& values, double low, double high) {
    const auto first = std::lower_bound(values.begin(), values.end(), low) - values.begin();
    const auto last = std::upper_bound(values.begin(), values.end(), high) - values.begin();
    return std::pair<std::size_t, std::size_t>(first, last);
  };
  for (const auto& t : surface.triangles) {
    std::array<double, 3> pu{};
    std::array<double, 3> pv{};
    std::array<double, 3> pw{};
    for (std::size_t k = 0; k < 3; ++k) {
      pu[k] = coordinate(surface.points[t[k]], a);
      pv[k] = coordinate(surface.points[t[k]], b);
      pw[k] = coordinate(surface.points[t[k]], w);
    }
    // Side of an edge, the same number with the opposite sign in the neighbour triangle, ties to one of the
    // two: a ray on a common edge is counted once.
    const auto is_left = [&](std::size_t from, std::size_t to, double x, double y) {
      const bool is_ordered = t[from] < t[to];
      const std::size_t p = is_ordered ? from : to;
      const std::size_t q = is_ordered ? to : from;
      const double side = (pu[q] - pu[p]) * (y - pv[p]) - (pv[q] - pv[p]) * (x - pu[p]);
      return side == 0.0 ? is_ordered : (side > 0.0) == is_ordered;
    };
    const double area = (pu[1] - pu[0]) * (pv[2] - pv[0]) - (pu[2] - pu[0]) * (pv[1] - pv[0]);
    if (area == 0.0) continue;
    const auto [i0, i1] =
        index_range(grid.u, *std::min_element(pu.begin(), pu.end()), *std::max_element(pu.begin(), pu.end()));
    const auto [j0, j1] =
        index_range(grid.v, *std::min_element(pv.begin(), pv.end()), *std::max_element(pv.begin(), pv.end()));
    for (std::size_t i = i0; i < i1; ++i) {
      for (std::size_t j = j0; j < j1; ++j) {
        const double x = grid.u[i];
        const double y = grid.v[j];
        const bool first = is_left(0, 1, x, y);
        if (is_left(1, 2, x, y) != first || is_left(2, 0, x, y) != first) continue;
        const double s0 = ((pu[1] - x) * (pv[2] - y) - (pu[2] - x) * (pv[1] - y)) / area;
        const double s1 = ((pu[2] - x) * (pv[0] - y) - (pu[0] - x) * (pv[2] - y)) / area;
        const double s2 = 1.0 - s0 - s1;
        crossings[i * grid.v.size() + j].push_back(s0 * pw[0] + s1 * pw[1] + s2 * pw[2]);
      }
    }
  }
  for (auto& ray : crossings) std::sort(ray.begin(), ray.end());
  return crossings;
}

/// `n` midpoints of equal intervals, moved a little so that no ray runs along an edge.
inline std::vector<double> ray_positions(double low, double high, int n) {
  constexpr double nudge = 0.0137;  // of an interval
  std::vector<double> positions;
  for (int i = 0; i < n; ++i) positions.push_back(low + (high - low) * (i + 0.5 + nudge) / n);
  return positions;
}

/// Length of a ray inside the first body (crossings in pairs) and outside the second.
inline double length_inside_only(const std::vector<double>& first, const std::vector<double>& second) {
  if (first.size() % 2 != 0 || second.size() % 2 != 0) {
    throw std::logic_error("a ray enters a body more often than it leaves: the surface is not closed");
  }
  double length = 0.0;
  for (std::size_t i = 0; i < first.size(); i += 2) {
    length += first[i + 1] - first[i];
    for (std::size_t j = 0; j < second.size(); j += 2) {
      length -= std::max(0.0, std::min(first[i + 1], second[j + 1]) - std::max(first[i], second[j]));
    }
  }
  return length;
}

/// Volume of air (not inside `solid`) inside a closed zone surface.
inline double air_volume(const Surface& solid, const Surface& zone, Axis along, int n) {
  const Box box = bounding_box(zone);
  const int w = static_cast<int>(along);
  const int a = (w + 1) % 3;
  const int b = (w + 2) % 3;
  const std::array<double, 2> low{coordinate(box.low, a), coordinate(box.low, b)};
  const std::array<double, 2> high{coordinate(box.high, a), coordinate(box.high, b)};
  const RayGrid grid{along, ray_positions(low[0], high[0], n), ray_positions(low[1], high[1], n)};
  const auto in_zone = ray_crossings(zone, grid);
  const auto in_solid = ray_crossings(solid, grid);
  double sum = 0.0;
  for (std::size_t k = 0; k < in_zone.size(); ++k) sum += length_inside_only(in_zone[k], in_solid[k]);
  return sum * (high[0] - low[0]) * (high[1] - low[1]) / (static_cast<double>(n) * n);
}

/// Area of air inside a plane surface normal to `normal`, measured along the next axis after the normal's.
inline double air_area(const Surface& solid, const Surface& plane, Axis normal, int n) {
  // The plane as a thin slab: its triangles moved to either side, the volume of air divided by the thickness.
  constexpr double thickness = 1e-6;
  const int w = static_cast<int>(normal);
  const int along = (w + 1) % 3;
  const int across = (w + 2) % 3;
  const Box box = bounding_box(plane);
  const double station = coordinate(box.low, w) + 0.31 * thickness;
  const std::vector<double> v = ray_positions(coordinate(box.low, across), coordinate(box.high, across), n);
  // Order of the two other coordinates after `along`: across, then w.
  const RayGrid grid{static_cast<Axis>(along), v, {station}};
  const auto in_solid = ray_crossings(solid, grid);
  double sum = 0.0;
  for (std::size_t k = 0; k < v.size(); ++k) {
    std::vector<double> inside;
    for (const auto& t : plane.triangles) {
      std::vector<double> ends;
      for (std::size_t e = 0; e < 3; ++e) {
        const base::Vec3& p = plane.points[t[e]];
        const base::Vec3& q = plane.points[t[(e + 1) % 3]];
        const double from = coordinate(p, across) - v[k];
        const double to = coordinate(q, across) - v[k];
        if ((from < 0.0) == (to < 0.0)) continue;
        const double s = from / (from - to);
        ends.push_back(coordinate(p, along) + s * (coordinate(q, along) - coordinate(p, along)));
      }
      std::sort(ends.begin(), ends.end());
      inside.insert(inside.end(), ends.begin(), ends.end());
    }
    sum += length_inside_only(inside, in_solid[k]);
  }
  return sum * (coordinate(box.high, across) - coordinate(box.low, across)) / n;
}

/// Area of air on a measurement plane normal to an axis, taken a little upstream of it: an outlet's plane
/// lies where its passage opens into a room.
inline double air_area(const Surface& solid, const MeasurementPlane& plane, int n) {
  constexpr double upstream = 2e-6;  // [m]
  const base::Vec3& normal = plane.record.normal;
  Surface moved = plane.surface;
  for (base::Vec3& p : moved.points) p = p - upstream * normal;
  const Axis axis = normal.x != 0.0 ? Axis::X : normal.y != 0.0 ? Axis::Y : Axis::Z;
  return air_area(solid, moved, axis, n);
}

/// Sum of the triangles' area vectors [m²]; zero for a closed surface.
inline base::Vec3 area_vector_sum(const Surface& surface) {
  base::Vec3 sum;
  for (const auto& t : surface.triangles) {
    const base::Vec3& a = surface.points[t[0]];
    sum = sum + 0.5 * cross(surface.points[t[1]] - a, surface.points[t[2]] - a);
  }
  return sum;
}

}  // namespace cowlwright::shape
