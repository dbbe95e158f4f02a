// SPDX-License-Identifier: GPL-3.0-or-later
//
// The line between the halves.
#include "geometry/mold/parting.h"

#include "geometry/mold/lines.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <unordered_map>
#include <utility>

namespace cowlwright::mold {
namespace {

struct MarkedPoint {
  Vec3 place;
  Vec3 normal;  ///< sum of the faces' normals met there
};
using Marked = std::unordered_map<std::uint64_t, MarkedPoint>;

PartingLine finish(const std::vector<std::array<std::uint64_t, 2>>& segments,
                   const Marked& points,
                   bool smooth) {
  PartingLine line;
  for (const std::vector<std::uint64_t>& chain : join_segments(segments)) {
    std::vector<Vec3> places, normals;
    for (const std::uint64_t id : chain) {
      places.push_back(points.at(id).place);
      normals.push_back(unit(points.at(id).normal));
    }
    if (smooth) places = smoothed(std::move(places));
    line.pieces.push_back(std::move(places));
    line.normals.push_back(std::move(normals));
  }
  std::vector<double> lengths;
  for (const auto& piece : line.pieces) lengths.push_back(line_length(piece));
  std::vector<std::size_t> order(lengths.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(
      order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return lengths[a] > lengths[b]; });
  PartingLine sorted;
  for (const std::size_t i : order) {
    sorted.pieces.push_back(std::move(line.pieces[i]));
    sorted.normals.push_back(std::move(line.normals[i]));
    sorted.length += lengths[i];
  }
  const FittedPlane plane = fit_plane(sorted.pieces);
  sorted.plane_point = plane.point;
  sorted.plane_normal = plane.normal;
  sorted.off_plane = plane.off_plane;
  return sorted;
}

}  // namespace

PartingLine line_between(const Sheet& sheet, const Halves& halves) {
  std::vector<std::array<std::uint64_t, 2>> segments;
  Marked points;
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::int32_t n = sheet.neighbour[f][k];
      if (n < static_cast<std::int32_t>(f) || halves[static_cast<std::size_t>(n)] == halves[f]) continue;
      const std::uint64_t a = sheet.faces[f][k];
      const std::uint64_t b = sheet.faces[f][(k + 1) % 3];
      segments.push_back({a, b});
      for (const std::uint64_t p : {a, b}) {
        MarkedPoint& mark = points[p];
        mark.place = sheet.points[p];
        mark.normal = mark.normal + sheet.normal[f] + sheet.normal[static_cast<std::size_t>(n)];
      }
    }
  }
  return finish(segments, points, true);
}

PartingLine line_of_plane(const Sheet& sheet, const SplitPlane& plane) {
  std::vector<std::array<std::uint64_t, 2>> segments;
  Marked points;
  const auto height = [&](std::uint32_t p) { return dot(sheet.points[p], plane.normal) - plane.offset; };
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    std::array<std::uint64_t, 2> ends{};
    std::size_t n_ends = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      std::uint32_t a = sheet.faces[f][k];
      std::uint32_t b = sheet.faces[f][(k + 1) % 3];
      if (a > b) std::swap(a, b);  // both faces of an edge find the same point
      const double ha = height(a), hb = height(b);
      if ((ha >= 0.0) == (hb >= 0.0) || n_ends == 2) continue;
      const std::uint64_t id = static_cast<std::uint64_t>(a) << 32 | b;
      MarkedPoint& mark = points[id];
      mark.place = sheet.points[a] + (ha / (ha - hb)) * (sheet.points[b] - sheet.points[a]);
      mark.normal = mark.normal + sheet.normal[f];
      ends[n_ends++] = id;
    }
    if (n_ends == 2) segments.push_back(ends);
  }
  return finish(segments, points, false);
}

}  // namespace cowlwright::mold
