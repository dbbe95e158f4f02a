// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/normals.h"

#include "geometry/base/parallel.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::mold {
namespace {

double turn_at(const Sheet& sheet, std::size_t face, std::size_t k) {
  const std::int32_t other = sheet.neighbour[face][k];
  if (other < 0) return 0.0;
  const auto o = static_cast<std::size_t>(other);
  const Vec3& a = sheet.normal[face];
  const Vec3& b = sheet.normal[o];
  if (norm(a) == 0.0 || norm(b) == 0.0) return 0.0;
  const Vec3 along = unit(sheet.corner(face, k + 1) - sheet.corner(face, k));
  return std::atan2(dot(along, cross(a, b)), dot(a, b));
}

/// Whether the lines beside an edge turn far less than it does: those parallel to it, within two faces, that
/// do not run on from its ends.
bool stands_alone(const Sheet& sheet, const Creases& creases, std::size_t face, std::size_t k) {
  constexpr double parallel = 0.8;  // cosine
  const std::uint32_t p = sheet.faces[face][k];
  const std::uint32_t q = sheet.faces[face][(k + 1) % 3];
  const Vec3 along = unit(sheet.points[q] - sheet.points[p]);
  double largest = 0.0;
  std::array<std::size_t, 2> sides{face, static_cast<std::size_t>(sheet.neighbour[face][k])};
  const auto look_at = [&](std::size_t f) {
    for (std::size_t e = 0; e < 3; ++e) {
      const std::uint32_t a = sheet.faces[f][e];
      const std::uint32_t b = sheet.faces[f][(e + 1) % 3];
      if (a == p || a == q || b == p || b == q) continue;
      if (std::abs(dot(unit(sheet.points[b] - sheet.points[a]), along)) < parallel) continue;
      largest = std::max(largest, std::abs(creases.turn[f][e]));
    }
  };
  for (const std::size_t side : sides) {
    for (const std::int32_t n : sheet.neighbour[side]) {
      if (n >= 0) look_at(static_cast<std::size_t>(n));
    }
  }
  return largest < 0.25 * std::abs(creases.turn[face][k]);
}

/// Index of the edge of `face` that leads to `other`.
std::size_t edge_to(const Sheet& sheet, std::size_t face, std::size_t other) {
  const auto& n = sheet.neighbour[face];
  return n[0] == static_cast<std::int32_t>(other) ? 0 : n[1] == static_cast<std::int32_t>(other) ? 1 : 2;
}

std::size_t corner_of(const Sheet& sheet, std::size_t face, std::uint32_t point) {
  const auto& f = sheet.faces[face];
  return f[0] == point ? 0 : f[1] == point ? 1 : 2;
}

Vec3 weighted_normal(const Sheet& sheet, std::size_t face, std::size_t corner) {
  const Vec3 a = sheet.corner(face, corner + 1) - sheet.corner(face, corner);
  const Vec3 b = sheet.corner(face, corner + 2) - sheet.corner(face, corner);
  return std::atan2(norm(cross(a, b)), dot(a, b)) * sheet.normal[face];
}

/// Sum over the faces round a point from `face` on, in one sense, up to a sharp edge, a trim edge or back.
/// @return whether it came back to where it began.
bool walk_round(const Sheet& sheet,
                const Creases& creases,
                std::size_t face,
                std::size_t corner,
                bool forward,
                Vec3& sum) {
  constexpr int most = 4096;
  const std::uint32_t point = sheet.faces[face][corner];
  std::size_t f = face;
  std::size_t c = corner;
  for (int i = 0; i < most; ++i) {
    // Edge c runs from this corner on, edge c + 2 comes to it.
    const std::size_t edge = forward ? (c + 2) % 3 : c;
    const std::int32_t next = sheet.neighbour[f][edge];
    if (next < 0 || creases.is_sharp[f][edge]) return false;
    f = static_cast<std::size_t>(next);
    c = corner_of(sheet, f, point);
    if (f == face) return true;
    sum = sum + weighted_normal(sheet, f, c);
  }
  return true;
}

}  // namespace

Creases find_creases(const Sheet& sheet) {
  Creases creases;
  creases.turn.resize(sheet.n_faces());
  creases.is_sharp.resize(sheet.n_faces());
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    for (std::size_t k = 0; k < 3; ++k) creases.turn[f][k] = turn_at(sheet, f, k);
  });
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    for (std::size_t k = 0; k < 3; ++k) {
      const double turn = std::abs(creases.turn[f][k]);
      creases.is_sharp[f][k] = turn > sharp_turn || (turn > lone_turn && stands_alone(sheet, creases, f, k));
    }
  });
  // Seen from both sides alike.
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    for (std::size_t k = 0; k < 3; ++k) {
      if (!creases.is_sharp[f][k]) continue;
      const auto other = static_cast<std::size_t>(sheet.neighbour[f][k]);
      creases.is_sharp[other][edge_to(sheet, other, f)] = true;
    }
  }
  return creases;
}

CornerNormals corner_normals(const Sheet& sheet, const Creases& creases) {
  CornerNormals normals(sheet.n_faces());
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    for (std::size_t c = 0; c < 3; ++c) {
      Vec3 sum = weighted_normal(sheet, f, c);
      if (!walk_round(sheet, creases, f, c, true, sum)) walk_round(sheet, creases, f, c, false, sum);
      const Vec3 mean = unit(sum);
      normals[f][c] = norm(mean) > 0.0 ? mean : sheet.normal[f];
    }
  });
  return normals;
}

}  // namespace cowlwright::mold
