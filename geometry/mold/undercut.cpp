// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/undercut.h"

#include "geometry/base/parallel.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::mold {
namespace {

constexpr double faces_over_size = 300.0;
constexpr std::size_t most_samples = 2048;

std::size_t sample_count(const Sheet& sheet, std::size_t face, double spacing) {
  const double wanted =
      std::max(2.0 * sheet.area[face] / (spacing * spacing), longest_edge(sheet, face) / spacing);
  return static_cast<std::size_t>(std::clamp(wanted, 1.0, static_cast<double>(most_samples)));
}

/// Weights of the i-th of n samples: the centroid alone, else an additive recurrence with the plastic number,
/// which fills the unit square evenly, folded into the triangle.
std::array<double, 3> sample_weights(std::size_t i, std::size_t n) {
  if (n == 1) return {1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0};
  constexpr double plastic = 1.32471795724474602596;
  const auto k = static_cast<double>(i + 1);
  double whole = 0.0;
  double u = std::modf(0.5 + k / plastic, &whole);
  double v = std::modf(0.5 + k / (plastic * plastic), &whole);
  if (u + v > 1.0) {
    u = 1.0 - u;
    v = 1.0 - v;
  }
  return {1.0 - u - v, u, v};
}

struct View {
  const Sheet& sheet;
  const CornerNormals& normals;
  const Tree& tree;
  Vec3 pull;
  double reach;
};

/// -2: seen; -1: faces away; else the face in the way.
std::int32_t look(const View& view,
                  std::size_t face,
                  const std::array<double, 3>& w,
                  const std::array<std::int32_t, 4>& skip) {
  const Sheet& sheet = view.sheet;
  if (dot(normal_at(view.normals[face], w), view.pull) < -std::sin(draft_noise)) return -1;
  const Vec3 p = w[0] * sheet.corner(face, 0) + w[1] * sheet.corner(face, 1) + w[2] * sheet.corner(face, 2);
  const Ray ray{p + surface_roughness * sheet.normal[face], view.pull, view.reach};
  const Hit hit = view.tree.first_hit(ray, skip);
  return hit.face < 0 ? -2 : hit.face;
}

/// The face itself and those it runs on into smoothly: their facets are one surface.
std::array<std::int32_t, 4> own_faces(const Sheet& sheet, const Creases& creases, std::size_t face) {
  std::array<std::int32_t, 4> own{static_cast<std::int32_t>(face), -1, -1, -1};
  for (std::size_t k = 0; k < 3; ++k) {
    if (!creases.is_sharp[face][k]) own[k + 1] = sheet.neighbour[face][k];
  }
  return own;
}

}  // namespace

Sight sight_along(const Sheet& sheet,
                  const CornerNormals& normals,
                  const Creases& creases,
                  const Tree& tree,
                  const Vec3& pull) {
  Sight sight{std::vector<double>(sheet.n_faces(), 0.0), std::vector<std::int32_t>(sheet.n_faces(), -1)};
  const View view{sheet, normals, tree, pull, 2.0 * sheet.size()};
  const double spacing = sheet.size() / faces_over_size;
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    if (!(sheet.area[f] > 0.0)) return;
    const std::size_t n = sample_count(sheet, f, spacing);
    const std::array<std::int32_t, 4> skip = own_faces(sheet, creases, f);
    std::size_t n_hidden = 0;
    for (std::size_t i = 0; i < n; ++i) {
      const std::int32_t seen = look(view, f, sample_weights(i, n), skip);
      if (seen == -2) continue;
      ++n_hidden;
      if (seen >= 0 && sight.hidden_by[f] < 0) sight.hidden_by[f] = seen;
    }
    sight.hidden[f] = static_cast<double>(n_hidden) / static_cast<double>(n);
  });
  return sight;
}

}  // namespace cowlwright::mold
