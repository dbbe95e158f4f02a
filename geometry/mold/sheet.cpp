// SPDX-License-Identifier: GPL-3.0-or-later
//
// Checks and neighbours of a surface.
#include "geometry/mold/sheet.h"

#include "geometry/base/error.h"
#include "geometry/base/parallel.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace cowlwright::mold {
namespace {

constexpr double largest_size = 50.0;    // [m] no cowl is larger: the unit is wrong
constexpr double smallest_size = 0.005;  // [m] nor smaller
constexpr const char* advice =
    "`cowlwright inspect` lists and marks every fault, `cowlwright repair` mends them.";

void require_sound_numbers(const shape::Surface& surface) {
  if (surface.triangles.empty()) {
    throw base::InputError("surface: no triangles: nothing to check. Give a surface with at least one.");
  }
  for (std::size_t i = 0; i < surface.points.size(); ++i) {
    const Vec3& p = surface.points[i];
    if (std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z)) continue;
    throw base::InputError(fmt::format(
        "surface: point {} = ({}, {}, {}): must be finite numbers. {}", i, p.x, p.y, p.z, advice));
  }
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    for (const std::uint32_t k : surface.triangles[i]) {
      if (k < surface.points.size()) continue;
      throw base::InputError(fmt::format("surface: triangle {} names point {}: there are {} points. {}",
                                         i,
                                         k,
                                         surface.points.size(),
                                         advice));
    }
  }
}

void require_sound_size(const Sheet& sheet) {
  const double size = sheet.size();
  if (size <= largest_size && size >= smallest_size) return;
  throw base::InputError(
      fmt::format("surface: size = {:.4g} m corner to corner: must be {} to {} m. Check the unit.",
                  size,
                  smallest_size,
                  largest_size));
}

struct HalfEdge {
  std::uint64_t key;   ///< both points, the smaller first
  std::uint32_t slot;  ///< 3 face + k
  bool is_rising;      ///< runs from the smaller point to the larger
};

std::vector<HalfEdge> sorted_half_edges(const Sheet& sheet) {
  std::vector<HalfEdge> edges(3 * sheet.n_faces());
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = sheet.faces[f][k];
      const std::uint32_t b = sheet.faces[f][(k + 1) % 3];
      const std::uint64_t low = std::min(a, b);
      edges[3 * f + k] = {low << 32 | std::max(a, b), static_cast<std::uint32_t>(3 * f + k), a < b};
    }
  });
  std::sort(edges.begin(), edges.end(), [](const HalfEdge& a, const HalfEdge& b) {
    return a.key != b.key ? a.key < b.key : a.slot < b.slot;
  });
  return edges;
}

void refuse(const char* what, std::size_t number, const Sheet& sheet, std::uint32_t slot) {
  if (number == 0) return;
  throw base::InputError(
      fmt::format("surface: {} {}, first at {}: a mold needs a sheet with one face on each "
                  "side of an edge, all turned alike. {}",
                  number,
                  what,
                  place_text(sheet.corner(slot / 3, slot % 3)),
                  advice));
}

void join_neighbours(Sheet& sheet) {
  const std::vector<HalfEdge> edges = sorted_half_edges(sheet);
  sheet.neighbour.assign(sheet.n_faces(), {-1, -1, -1});
  std::size_t n_crowded = 0, n_turned = 0, n_trim = 0;
  std::uint32_t first_crowded = 0, first_turned = 0;
  for (std::size_t i = 0; i < edges.size();) {
    std::size_t end = i + 1;
    while (end < edges.size() && edges[end].key == edges[i].key) ++end;
    if (end - i == 1) ++n_trim;
    if (end - i > 2 && n_crowded++ == 0) first_crowded = edges[i].slot;
    if (end - i == 2) {
      const HalfEdge& a = edges[i];
      const HalfEdge& b = edges[i + 1];
      if (a.is_rising == b.is_rising && n_turned++ == 0) first_turned = a.slot;
      sheet.neighbour[a.slot / 3][a.slot % 3] = static_cast<std::int32_t>(b.slot / 3);
      sheet.neighbour[b.slot / 3][b.slot % 3] = static_cast<std::int32_t>(a.slot / 3);
    }
    i = end;
  }
  refuse("edges with three or more faces", n_crowded, sheet, first_crowded);
  refuse("edges between faces turned against each other", n_turned, sheet, first_turned);
  sheet.is_closed = n_trim == 0;
}

void measure_faces(Sheet& sheet) {
  sheet.normal.resize(sheet.n_faces());
  sheet.area.resize(sheet.n_faces());
  sheet.centroid.resize(sheet.n_faces());
  base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
    const Vec3& a = sheet.corner(f, 0);
    const Vec3 n = cross(sheet.corner(f, 1) - a, sheet.corner(f, 2) - a);
    sheet.area[f] = 0.5 * norm(n);
    sheet.normal[f] = unit(n);
    sheet.centroid[f] = (1.0 / 3.0) * (a + sheet.corner(f, 1) + sheet.corner(f, 2));
  });
}

Vec3 place_on_surface(const Sheet& sheet,
                      const std::vector<std::uint32_t>& faces,
                      const std::vector<double>& weight) {
  Vec3 sum;
  double total = 0.0;
  for (const std::uint32_t f : faces) {
    const double w = sheet.area[f] * weight[f];
    sum = sum + w * sheet.centroid[f];
    total += w;
  }
  const Vec3 mean = total > 0.0 ? (1.0 / total) * sum : sheet.centroid[faces.front()];
  const auto nearest = std::min_element(faces.begin(), faces.end(), [&](std::uint32_t a, std::uint32_t b) {
    return norm(sheet.centroid[a] - mean) < norm(sheet.centroid[b] - mean);
  });
  return sheet.centroid[*nearest];
}

}  // namespace

Vec3 unit(const Vec3& v) {
  const double length = norm(v);
  return length > 0.0 ? (1.0 / length) * v : Vec3{};
}

std::string place_text(const Vec3& p) {
  // Adding 0 turns a rounded -0 into 0.
  const auto mm = [](double v) { return std::round(1000.0 * v) + 0.0; };
  return fmt::format("FS {:.0f} BL {:.0f} WL {:.0f}", mm(p.x), mm(p.y), mm(p.z));
}

double longest_edge(const Sheet& sheet, std::size_t face) {
  double longest = 0.0;
  for (std::size_t k = 0; k < 3; ++k) {
    longest = std::max(longest, norm(sheet.corner(face, k + 1) - sheet.corner(face, k)));
  }
  return longest;
}

double face_width(const Sheet& sheet, std::size_t face) {
  const double longest = longest_edge(sheet, face);
  return longest > 0.0 ? 2.0 * sheet.area[face] / longest : 0.0;
}

Sheet make_sheet(const shape::Surface& surface, MoldSide side) {
  require_sound_numbers(surface);
  Sheet sheet;
  sheet.points = surface.points;
  sheet.faces = surface.triangles;
  sheet.patch = surface.patch;
  sheet.patch_names = surface.patch_names;
  if (side == MoldSide::Inside) {
    for (auto& face : sheet.faces) std::swap(face[1], face[2]);
  }
  constexpr double far = std::numeric_limits<double>::infinity();
  sheet.low = {far, far, far};
  sheet.high = {-far, -far, -far};
  for (const auto& face : sheet.faces) {
    for (const std::uint32_t k : face) {
      const Vec3& p = sheet.points[k];
      sheet.low = {std::min(sheet.low.x, p.x), std::min(sheet.low.y, p.y), std::min(sheet.low.z, p.z)};
      sheet.high = {std::max(sheet.high.x, p.x), std::max(sheet.high.y, p.y), std::max(sheet.high.z, p.z)};
    }
  }
  require_sound_size(sheet);
  measure_faces(sheet);
  join_neighbours(sheet);
  return sheet;
}

std::vector<Region> connected_regions(const Sheet& sheet,
                                      const std::vector<bool>& is_picked,
                                      const std::vector<double>& weight) {
  std::vector<Region> regions;
  std::vector<bool> is_seen(sheet.n_faces(), false);
  for (std::uint32_t start = 0; start < sheet.n_faces(); ++start) {
    if (!is_picked[start] || is_seen[start]) continue;
    Region region;
    region.faces.push_back(start);
    is_seen[start] = true;
    for (std::size_t i = 0; i < region.faces.size(); ++i) {
      const std::uint32_t f = region.faces[i];
      region.area += sheet.area[f] * weight[f];
      for (const std::int32_t n : sheet.neighbour[f]) {
        if (n < 0) continue;
        const auto next = static_cast<std::uint32_t>(n);
        if (!is_picked[next] || is_seen[next]) continue;
        is_seen[next] = true;
        region.faces.push_back(next);
      }
    }
    region.place = place_on_surface(sheet, region.faces, weight);
    regions.push_back(std::move(region));
  }
  std::stable_sort(
      regions.begin(), regions.end(), [](const Region& a, const Region& b) { return a.area > b.area; });
  return regions;
}

}  // namespace cowlwright::mold
