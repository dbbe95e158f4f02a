// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/holes.h"

#include "geometry/imported/fill_polygon.h"

#include <algorithm>
#include <array>
#include <set>

namespace cowlwright::imported {

namespace {

using base::Vec3;
using shape::Surface;

std::vector<Vec3> border_points(const Surface& surface, const BorderLoop& loop) {
  std::vector<Vec3> points;
  points.reserve(loop.points.size());
  for (const std::uint32_t i : loop.points) points.push_back(surface.points[i]);
  return points;
}

/// Exact up to 2000 points; beyond, from each of 2000 points spread over the border to all others.
double greatest_distance(const std::vector<Vec3>& points) {
  constexpr std::size_t n_exact = 2000;
  const std::size_t step = points.size() / n_exact + 1;
  double greatest = 0.0;
  for (std::size_t i = 0; i < points.size(); i += step)
    for (const Vec3& q : points) greatest = std::max(greatest, dot(q - points[i], q - points[i]));
  return std::sqrt(greatest);
}

/// Triangles over the border in indices of the surface; a fan of one point is no fill, so that may be empty.
std::vector<std::array<std::uint32_t, 3>> lid(const Surface& surface, const BorderLoop& loop) {
  std::vector<std::array<std::uint32_t, 3>> triangles = fill_polygon(border_points(surface, loop));
  for (auto& t : triangles)
    for (std::uint32_t& k : t) k = loop.points[k];
  return triangles;
}

double area(const Surface& surface, const std::array<std::uint32_t, 3>& t) {
  const Vec3& a = surface.points[t[0]];
  return 0.5 * norm(cross(surface.points[t[1]] - a, surface.points[t[2]] - a));
}

std::uint16_t patch_number(Surface& surface, const std::string& name) {
  const auto found = std::find(surface.patch_names.begin(), surface.patch_names.end(), name);
  const auto number = static_cast<std::uint16_t>(found - surface.patch_names.begin());
  if (found == surface.patch_names.end()) surface.patch_names.push_back(name);
  return number;
}

}  // namespace

Opening measure_opening(const Surface& surface, const BorderLoop& loop) {
  const std::vector<Vec3> points = border_points(surface, loop);
  Opening opening;
  opening.n_points = points.size();
  opening.extent = greatest_distance(points);
  Vec3 sum, twice_area;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec3& next = points[(i + 1) % points.size()];
    sum = sum + points[i];
    twice_area = twice_area + cross(points[i] - points[0], next - points[0]);
    opening.perimeter += norm(next - points[i]);
  }
  opening.centre = (1.0 / static_cast<double>(points.size())) * sum;
  opening.area = 0.5 * norm(twice_area);
  return opening;
}

std::vector<Opening> openings(const Surface& surface) {
  std::vector<Opening> all;
  for (const BorderLoop& loop : border_loops(surface)) all.push_back(measure_opening(surface, loop));
  std::stable_sort(
      all.begin(), all.end(), [](const Opening& a, const Opening& b) { return a.extent > b.extent; });
  return all;
}

Filled fill_holes(TracedSurface& traced, double largest) {
  Filled filled;
  if (!(largest > 0.0)) return filled;
  Surface& surface = traced.surface;
  const std::vector<std::uint32_t> shell = shells(surface);
  std::vector<double> shell_area(surface.triangles.size(), 0.0);
  for (std::size_t i = 0; i < shell.size(); ++i) shell_area[shell[i]] += area(surface, surface.triangles[i]);
  // An edge inside a lid that the surface has already would get a third triangle.
  std::set<std::array<std::uint32_t, 2>> edges;
  const std::vector<BorderLoop> loops = border_loops(surface);
  std::vector<char> is_on_border(surface.points.size(), 0);
  for (const BorderLoop& loop : loops)
    for (const std::uint32_t i : loop.points) is_on_border[i] = 1;
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> edge) {
    const EdgeUse& use = edge.front();
    if (edge.size() == 2 && is_on_border[use.low] && is_on_border[use.high])
      edges.insert({use.low, use.high});
  });
  for (const BorderLoop& loop : loops) {
    const double extent = measure_opening(surface, loop).extent;
    if (!(extent <= largest)) continue;
    const auto triangles = lid(surface, loop);
    double lid_area = 0.0;
    bool is_free = !triangles.empty();
    for (const auto& t : triangles) {
      lid_area += area(surface, t);
      for (std::size_t k = 0; k < 3; ++k)
        is_free =
            is_free && !edges.contains({std::min(t[k], t[(k + 1) % 3]), std::max(t[k], t[(k + 1) % 3])});
    }
    if (!is_free || lid_area > 0.5 * shell_area[shell[loop.triangle]]) {
      ++filled.n_left_over;
      continue;
    }
    const std::uint16_t patch = patch_number(surface, filled_patch);
    for (const auto& t : triangles) traced.add(t, patch, TracedSurface::made);
    ++filled.n_holes;
    filled.n_triangles += triangles.size();
    filled.area += lid_area;
    filled.greatest = std::max(filled.greatest, extent);
  }
  return filled;
}

LiddedSurface with_lids(const Surface& surface) {
  // Beyond this many points the search for the flattest lid takes minutes; a fan from the middle serves.
  constexpr std::size_t most_points = 1500;
  LiddedSurface lidded{surface, surface.triangles.size()};
  Surface& all = lidded.surface;
  for (const BorderLoop& loop : border_loops(surface)) {
    auto triangles = loop.points.size() <= most_points ? lid(surface, loop) : decltype(lid(surface, loop)){};
    if (triangles.empty()) {
      const auto middle = static_cast<std::uint32_t>(all.points.size());
      all.points.push_back(measure_opening(surface, loop).centre);
      for (std::size_t i = 0; i < loop.points.size(); ++i)
        triangles.push_back({loop.points[i], loop.points[(i + 1) % loop.points.size()], middle});
    }
    for (const auto& t : triangles) {
      all.triangles.push_back(t);
      all.patch.push_back(0);
    }
  }
  return lidded;
}

}  // namespace cowlwright::imported
