// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/flange.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::mold {
namespace {

constexpr double step = 0.005;         // between rays [m]
constexpr double off_edge = 0.0005;    // where a ray starts, so that the line's own faces are not met [m]
constexpr double off_parting = 0.005;  // smoothing moves a parting line off its facets: further [m]

/// Looks along `out` from places `lifts` away from p.
void look(FlangeRoom& room,
          const Tree& tree,
          const Vec3& p,
          const Vec3& out,
          std::span<const Vec3> lifts,
          double start,
          double length,
          double limit) {
  double least = flange_reach;
  for (const Vec3& lift : lifts) {
    const Hit hit = tree.first_hit({p + start * out + lift, out, flange_reach - start});
    if (hit.face >= 0) least = std::min(least, hit.distance + start);
  }
  room.length += length;
  if (least < limit) room.length_below += length;
  if (least < room.least) {
    room.least = least;
    room.place = p;
  }
}

/// Calls act(point, share of the piece, length) along a piece of a line.
template <class Act>
void along(const Vec3& a, const Vec3& b, const Act& act) {
  const double length = norm(b - a);
  const int n = std::max(1, static_cast<int>(std::ceil(length / step)));
  for (int i = 0; i < n; ++i) {
    const double t = (i + 0.5) / n;
    act(a + t * (b - a), length / n);
  }
}

}  // namespace

FlangeRoom room_at(const TrimEdge& edge, const Tree& tree, double limit) {
  FlangeRoom room;
  room.place = edge.line.front();
  for (std::size_t i = 0; i + 1 < edge.line.size(); ++i) {
    const Vec3& n = edge.normals[i];
    const Vec3 out = unit(cross(edge.line[i + 1] - edge.line[i], n));
    if (norm(out) == 0.0) continue;
    const std::array<Vec3, 2> lifts{0.0005 * n, 0.005 * n};
    along(edge.line[i], edge.line[i + 1], [&](const Vec3& p, double length) {
      look(room, tree, p, out, lifts, off_edge, length, limit);
    });
  }
  return room;
}

FlangeRoom room_at(const PartingLine& line, const Tree& tree, double limit) {
  FlangeRoom room;
  if (!line.pieces.empty()) room.place = line.pieces.front().front();
  for (std::size_t k = 0; k < line.pieces.size(); ++k) {
    for (std::size_t i = 0; i + 1 < line.pieces[k].size(); ++i) {
      const Vec3 out = unit(line.normals[k][i] + line.normals[k][i + 1]);
      const Vec3 across = unit(cross(line.pieces[k][i + 1] - line.pieces[k][i], out));
      if (norm(out) == 0.0 || norm(across) == 0.0) continue;
      const std::array<Vec3, 2> lifts{-0.003 * across, 0.003 * across};
      along(line.pieces[k][i], line.pieces[k][i + 1], [&](const Vec3& p, double length) {
        look(room, tree, p, out, lifts, off_parting, length, limit);
      });
    }
  }
  return room;
}

}  // namespace cowlwright::mold
