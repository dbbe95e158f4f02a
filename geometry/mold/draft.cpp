// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/draft.h"

#include "geometry/base/parallel.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::mold {
namespace {

/// Share of a triangle where a function linear across it lies below a limit.
double linear_share_below(std::array<double, 3> v, double limit) {
  std::sort(v.begin(), v.end());
  const auto [a, b, c] = v;
  if (limit <= a) return 0.0;
  if (limit >= c) return 1.0;
  if (limit <= b) return (limit - a) * (limit - a) / ((b - a) * (c - a));
  return 1.0 - (c - limit) * (c - limit) / ((c - a) * (c - b));
}

double face_share_below(const std::array<Vec3, 3>& normals, const Vec3& pull, double sine) {
  return linear_share_below({dot(normals[0], pull), dot(normals[1], pull), dot(normals[2], pull)}, sine);
}

}  // namespace

std::vector<std::uint8_t> halves_touched(const Sheet& sheet, const Halves& halves) {
  std::vector<std::uint8_t> at_point(sheet.points.size(), 0), at_face(sheet.n_faces(), 0);
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    for (const std::uint32_t p : sheet.faces[f])
      at_point[p] = static_cast<std::uint8_t>(at_point[p] | 1U << halves[f]);
  }
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    for (const std::uint32_t p : sheet.faces[f]) at_face[f] |= at_point[p];
  }
  return at_face;
}

double share_in_both(double own, double other) {
  return std::clamp(own + other - 1.0, 0.0, own);
}

Vec3 normal_at(const std::array<Vec3, 3>& corners, const std::array<double, 3>& weight) {
  return unit(weight[0] * corners[0] + weight[1] * corners[1] + weight[2] * corners[2]);
}

std::vector<double> draft_angles(const Sheet& sheet,
                                 const CornerNormals& normals,
                                 std::span<const Vec3> pulls,
                                 const Halves& halves) {
  std::vector<double> angles(sheet.n_faces(), 0.0);
  const std::vector<std::uint8_t> touched = halves_touched(sheet, halves);
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    const Vec3 n = normal_at(normals[f], {1.0, 1.0, 1.0});
    double sine = dot(n, pulls[halves[f]]);
    for (std::size_t k = 0; k < pulls.size(); ++k) {
      if ((touched[f] >> k & 1U) != 0) sine = std::max(sine, dot(n, pulls[k]));
    }
    angles[f] = std::asin(std::clamp(sine, -1.0, 1.0));
  });
  return angles;
}

std::vector<double> share_below(const Sheet& sheet,
                                const CornerNormals& normals,
                                std::span<const Vec3> pulls,
                                const Halves& halves,
                                double limit) {
  const double sine = std::sin(limit);
  std::vector<double> shares(sheet.n_faces(), 0.0);
  const std::vector<std::uint8_t> touched = halves_touched(sheet, halves);
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    const double own = face_share_below(normals[f], pulls[halves[f]], sine);
    shares[f] = own;
    for (std::size_t k = 0; k < pulls.size(); ++k) {
      if (k == halves[f] || (touched[f] >> k & 1U) == 0) continue;
      shares[f] = std::min(shares[f], share_in_both(own, face_share_below(normals[f], pulls[k], sine)));
    }
  });
  return shares;
}

}  // namespace cowlwright::mold
