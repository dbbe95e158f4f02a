// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/radii.h"

#include "geometry/base/parallel.h"
#include "geometry/mold/draft.h"
#include "geometry/shape/connectivity.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace cowlwright::mold {
namespace {

/// Three facets over 90 deg are each pi/6 of the radius wide; a facet's width is at least 0.7 of its side.
constexpr double radius_over_width = 2.7;
/// An arc of 90 deg two windows long: 2 / (pi / 2).
constexpr double radius_over_window = 1.3;
constexpr std::size_t most_faces = 2000;  // of a window
constexpr double flat = 0.1;              // curvature times the surface's size that counts as none

std::vector<std::uint32_t> window_faces(const Sheet& sheet,
                                        const Creases& creases,
                                        std::uint32_t face,
                                        double window) {
  // Which window last took each face; a face is the seed of one window only.
  thread_local std::vector<std::uint32_t> taken_by;
  taken_by.resize(std::max(taken_by.size(), sheet.n_faces()), 0);
  const std::uint32_t stamp = face + 1;
  std::vector<std::uint32_t> found{face};
  taken_by[face] = stamp;
  // A facet wider than the window stands for itself; a narrower one at least goes with its neighbours, so
  // that a needle does not.
  if (face_width(sheet, face) >= window) return found;
  for (std::size_t i = 0; i < found.size() && found.size() < most_faces; ++i) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::int32_t n = sheet.neighbour[found[i]][k];
      if (n < 0 || creases.is_sharp[found[i]][k]) continue;
      const auto next = static_cast<std::uint32_t>(n);
      const bool is_near = i == 0 || norm(sheet.centroid[next] - sheet.centroid[face]) <= window;
      if (!is_near || taken_by[next] == stamp) continue;
      taken_by[next] = stamp;
      found.push_back(next);
    }
  }
  return found;
}

/// Sums for a linear fit of the normal's two components in the tangent plane over the place in it.
struct Sums {
  double w = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0, m = 0, n = 0, mx = 0, my = 0, nx = 0, ny = 0;
  void add(double weight, double px, double py, double pm, double pn) {
    w += weight;
    x += weight * px;
    y += weight * py;
    xx += weight * px * px;
    xy += weight * px * py;
    yy += weight * py * py;
    m += weight * pm;
    n += weight * pn;
    mx += weight * pm * px;
    my += weight * pm * py;
    nx += weight * pn * px;
    ny += weight * pn * py;
  }
};

/// Principal curvatures, larger first; none for places in one line.
std::array<double, 2> principal(const Sums& s) {
  if (!(s.w > 0.0)) return {0.0, 0.0};
  const double xx = s.xx - s.x * s.x / s.w, xy = s.xy - s.x * s.y / s.w, yy = s.yy - s.y * s.y / s.w;
  const double det = xx * yy - xy * xy;
  if (!(det > 1e-12 * (xx + yy) * (xx + yy))) return {0.0, 0.0};
  const double mx = s.mx - s.m * s.x / s.w, my = s.my - s.m * s.y / s.w;
  const double nx = s.nx - s.n * s.x / s.w, ny = s.ny - s.n * s.y / s.w;
  const double a = (mx * yy - my * xy) / det, b = (my * xx - mx * xy) / det;
  const double c = (nx * yy - ny * xy) / det, d = (ny * xx - nx * xy) / det;
  const double mean = 0.5 * (a + d);
  const double spread = std::hypot(0.5 * (a - d), 0.5 * (b + c));
  return {mean + spread, mean - spread};
}

std::array<double, 2> fit(const Sheet& sheet,
                          const CornerNormals& normals,
                          std::uint32_t face,
                          const std::vector<std::uint32_t>& window) {
  const Vec3 n = normal_at(normals[face], {1.0, 1.0, 1.0});
  const Vec3 aside = std::abs(n.x) < 0.6 ? Vec3{1, 0, 0} : Vec3{0, 1, 0};
  const Vec3 t = unit(cross(n, aside));
  const Vec3 b = cross(n, t);
  Sums sums;
  for (const std::uint32_t f : window) {
    // The middles of the edges integrate a quadratic exactly.
    for (std::size_t k = 0; k < 3; ++k) {
      std::array<double, 3> w{};
      w[k] = w[(k + 1) % 3] = 0.5;
      const Vec3 p = 0.5 * (sheet.corner(f, k) + sheet.corner(f, k + 1)) - sheet.centroid[face];
      const Vec3 m = normal_at(normals[f], w);
      sums.add(sheet.area[f], dot(p, t), dot(p, b), dot(m, t), dot(m, b));
    }
  }
  return principal(sums);
}

const std::vector<double>& of(const Curvatures& curvatures, Bend bend) {
  return bend == Bend::Hollow ? curvatures.hollow : curvatures.edge;
}

struct SharpEdge {
  std::uint32_t a, b;  ///< points
  double length, turn, resolvable;
};

std::vector<SharpEdge> sharp_edges(const Sheet& sheet, const Creases& creases, Bend bend) {
  std::vector<SharpEdge> edges;
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::int32_t other = sheet.neighbour[f][k];
      if (!creases.is_sharp[f][k] || other < static_cast<std::int32_t>(f)) continue;
      if ((creases.turn[f][k] > 0.0) != (bend == Bend::Hollow)) continue;
      const double width = std::min(face_width(sheet, f), face_width(sheet, static_cast<std::size_t>(other)));
      edges.push_back({sheet.faces[f][k],
                       sheet.faces[f][(k + 1) % 3],
                       norm(sheet.corner(f, k + 1) - sheet.corner(f, k)),
                       std::abs(creases.turn[f][k]),
                       radius_over_width * width});
    }
  }
  return edges;
}

/// Edges that share a point, as lists of edge numbers.
std::vector<std::vector<std::size_t>> joined(const std::vector<SharpEdge>& edges) {
  shape::DisjointSets sets(edges.size());
  std::map<std::uint32_t, std::uint32_t> first_at;
  for (std::uint32_t i = 0; i < edges.size(); ++i) {
    for (const std::uint32_t p : {edges[i].a, edges[i].b}) {
      const auto [entry, is_new] = first_at.emplace(p, i);
      if (!is_new) sets.unite(i, entry->second);
    }
  }
  std::map<std::uint32_t, std::vector<std::size_t>> groups;
  for (std::uint32_t i = 0; i < edges.size(); ++i) groups[sets.find(i)].push_back(i);
  std::vector<std::vector<std::size_t>> lists;
  for (auto& [key, list] : groups) lists.push_back(std::move(list));
  return lists;
}

}  // namespace

Curvatures fit_curvatures(const Sheet& sheet,
                          const Creases& creases,
                          const CornerNormals& normals,
                          double window) {
  Curvatures result;
  result.hollow.resize(sheet.n_faces());
  result.edge.resize(sheet.n_faces());
  result.resolvable.resize(sheet.n_faces());
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    const auto face = static_cast<std::uint32_t>(f);
    const auto [most, least] = fit(sheet, normals, face, window_faces(sheet, creases, face, window));
    result.hollow[f] = std::max(0.0, most);
    result.edge[f] = std::max(0.0, -least);
    result.resolvable[f] = std::max(radius_over_width * face_width(sheet, f), radius_over_window * window);
  });
  return result;
}

SmallestRadius smallest_radius(
    const Sheet& sheet, const Curvatures& curvatures, Bend bend, double limit, double least_area) {
  const std::vector<double>& curvature = of(curvatures, bend);
  SmallestRadius result;
  std::vector<std::uint32_t> resolved;
  for (std::uint32_t f = 0; f < sheet.n_faces(); ++f) {
    if (!(curvature[f] * sheet.size() > flat) || !(sheet.area[f] > 0.0)) continue;
    if (curvature[f] * limit > 1.0) result.area_below += sheet.area[f];
    if (curvature[f] * curvatures.resolvable[f] > 1.0) {
      result.area_unresolved += sheet.area[f];
    } else {
      resolved.push_back(f);
    }
  }
  std::sort(resolved.begin(), resolved.end(), [&](std::uint32_t a, std::uint32_t b) {
    return curvature[a] > curvature[b];
  });
  double area = 0.0;
  for (const std::uint32_t f : resolved) {
    area += sheet.area[f];
    result = {true,
              1.0 / curvature[f],
              curvatures.resolvable[f],
              sheet.centroid[f],
              result.area_below,
              result.area_unresolved};
    if (area >= least_area) break;
  }
  return result;
}

std::vector<SharpRun> sharp_runs(const Sheet& sheet, const Creases& creases, Bend bend) {
  const std::vector<SharpEdge> edges = sharp_edges(sheet, creases, bend);
  std::vector<SharpRun> runs;
  for (const std::vector<std::size_t>& list : joined(edges)) {
    SharpRun run;
    Vec3 sum;
    std::vector<double> resolvable;
    for (const std::size_t i : list) {
      run.length += edges[i].length;
      run.turn = std::max(run.turn, edges[i].turn);
      resolvable.push_back(edges[i].resolvable);
      sum = sum + 0.5 * edges[i].length * (sheet.points[edges[i].a] + sheet.points[edges[i].b]);
    }
    std::nth_element(resolvable.begin(),
                     resolvable.begin() + static_cast<std::ptrdiff_t>(resolvable.size() / 2),
                     resolvable.end());
    run.resolvable = resolvable[resolvable.size() / 2];
    const Vec3 mean = run.length > 0.0 ? (1.0 / run.length) * sum : sum;
    double least = 2.0 * sheet.size();
    for (const std::size_t i : list) {
      const Vec3 middle = 0.5 * (sheet.points[edges[i].a] + sheet.points[edges[i].b]);
      if (norm(middle - mean) >= least) continue;
      least = norm(middle - mean);
      run.place = middle;
    }
    runs.push_back(run);
  }
  std::stable_sort(
      runs.begin(), runs.end(), [](const SharpRun& a, const SharpRun& b) { return a.length > b.length; });
  return runs;
}

}  // namespace cowlwright::mold
