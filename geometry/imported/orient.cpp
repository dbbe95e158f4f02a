// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/orient.h"

#include "geometry/imported/topology.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>
#include <vector>

namespace cowlwright::imported {

namespace {

using base::Vec3;
using shape::Surface;

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

/// Slot 3 i + k: edge behind corner k of triangle i. Holds the slot across, or none.
using Links = std::vector<std::uint32_t>;

std::uint32_t slot(const EdgeUse& use) {
  return 3 * use.triangle + use.corner;
}

void link(Links& links, std::uint32_t a, std::uint32_t b) {
  links[a] = b;
  links[b] = a;
}

/// Turns triangles until linked ones agree; cuts the links where they cannot. @return shell of each triangle.
struct Senses {
  std::vector<char> is_turned;
  std::vector<std::uint32_t> shell;
  std::size_t n_cut = 0;
  std::uint32_t n_shells = 0;
};

Senses agree(const Surface& surface, Links& links) {
  const std::size_t n = surface.triangles.size();
  Senses senses{std::vector<char>(n, 0), std::vector<std::uint32_t>(n, none)};
  const auto start_of = [&](std::uint32_t s) { return surface.triangles[s / 3][s % 3]; };
  std::vector<std::uint32_t> todo;
  for (std::uint32_t first = 0; first < n; ++first) {
    if (senses.shell[first] != none) continue;
    senses.shell[first] = senses.n_shells;
    todo.assign(1, first);
    for (std::size_t at = 0; at < todo.size(); ++at) {
      const std::uint32_t triangle = todo[at];
      for (std::uint32_t k = 0; k < 3; ++k) {
        const std::uint32_t here = 3 * triangle + k, across = links[here];
        if (across == none) continue;
        const std::uint32_t other = across / 3;
        // As they stand in the file, the two agree when they run along the edge in opposite directions.
        const bool as_filed = start_of(here) != start_of(across);
        const char wanted =
            as_filed ? senses.is_turned[triangle] : static_cast<char>(!senses.is_turned[triangle]);
        if (senses.shell[other] == none) {
          senses.shell[other] = senses.n_shells;
          senses.is_turned[other] = wanted;
          todo.push_back(other);
        } else if (senses.is_turned[other] != wanted) {
          links[here] = links[across] = none;
          ++senses.n_cut;
        }
      }
    }
    ++senses.n_shells;
  }
  return senses;
}

/// Angle between two triangles at the edge they share: pi for a flat pair.
double opening_angle(const Surface& surface, const EdgeUse& a, const EdgeUse& b) {
  const Vec3 low = surface.points[a.low], along = surface.points[a.high] - low;
  const auto away = [&](const EdgeUse& use) {
    const Vec3 v = surface.points[surface.triangles[use.triangle][(use.corner + 2u) % 3]] - low;
    return v - (dot(v, along) / dot(along, along)) * along;
  };
  const Vec3 u = away(a), v = away(b);
  return std::atan2(norm(cross(u, v)), dot(u, v));
}

/// The pairs of one crowded edge, best first: within one shell and agreeing in sense, then the flattest.
void pair_up(const Surface& surface, std::span<const EdgeUse> edge, const Senses& senses, Links& links) {
  struct Pair {
    double worth;
    std::uint32_t a, b;
  };
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i < edge.size(); ++i) {
    for (std::size_t j = i + 1; j < edge.size(); ++j) {
      const EdgeUse &a = edge[i], &b = edge[j];
      const bool same_shell = senses.shell[a.triangle] == senses.shell[b.triangle];
      const bool a_up = a.runs_up != (senses.is_turned[a.triangle] != 0);
      const bool b_up = b.runs_up != (senses.is_turned[b.triangle] != 0);
      if (same_shell && a_up == b_up) continue;
      pairs.push_back(
          {opening_angle(surface, a, b) + (same_shell ? std::numbers::pi : 0.0), slot(a), slot(b)});
    }
  }
  std::stable_sort(
      pairs.begin(), pairs.end(), [](const Pair& p, const Pair& q) { return p.worth > q.worth; });
  for (const Pair& pair : pairs)
    if (links[pair.a] == none && links[pair.b] == none) link(links, pair.a, pair.b);
}

double area(const Surface& surface, std::size_t i) {
  const auto& t = surface.triangles[i];
  const Vec3& a = surface.points[t[0]];
  return 0.5 * norm(cross(surface.points[t[1]] - a, surface.points[t[2]] - a));
}

void turn(Surface& surface, const std::vector<char>& is_turned) {
  for (std::size_t i = 0; i < is_turned.size(); ++i)
    if (is_turned[i]) std::swap(surface.triangles[i][1], surface.triangles[i][2]);
}

/// The sense that most of a shell's area has in the file wins.
void keep_majority(const Surface& surface, Senses& senses) {
  std::vector<double> turned(senses.n_shells, 0.0), total(senses.n_shells, 0.0);
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    total[senses.shell[i]] += area(surface, i);
    if (senses.is_turned[i]) turned[senses.shell[i]] += area(surface, i);
  }
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    const std::uint32_t s = senses.shell[i];
    if (turned[s] > 0.5 * total[s]) senses.is_turned[i] = static_cast<char>(!senses.is_turned[i]);
  }
}

/// A corner is its own point for each fan of linked triangles round it. Slot 3 i + k is corner k of triangle
/// i.
std::size_t split_fans(Surface& surface, const Links& links_as_filed, const std::vector<char>& is_turned) {
  // Turning swaps corners 1 and 2, so the edges behind corners 0 and 2 change places.
  const auto now = [&](std::uint32_t s) {
    const std::uint32_t k = s % 3;
    return is_turned[s / 3] && k != 1 ? s - k + (2 - k) : s;
  };
  DisjointSets fans(3 * surface.triangles.size());
  const auto corner_behind = [](std::uint32_t s) { return s - s % 3 + (s % 3 + 1) % 3; };
  for (std::uint32_t s = 0; s < links_as_filed.size(); ++s) {
    if (links_as_filed[s] == none || links_as_filed[s] < s) continue;
    const std::uint32_t a = now(s), b = now(links_as_filed[s]);
    fans.unite(a, corner_behind(b));
    fans.unite(corner_behind(a), b);
  }
  std::vector<std::uint32_t> fan_of_point(surface.points.size(), none),
      copy(3 * surface.triangles.size(), none);
  std::size_t n_copies = 0;
  for (std::uint32_t s = 0; s < copy.size(); ++s) {
    std::uint32_t& corner = surface.triangles[s / 3][s % 3];
    const std::uint32_t fan = fans.find(s);
    if (fan_of_point[corner] == none) fan_of_point[corner] = fan;
    if (fan_of_point[corner] == fan) continue;
    if (copy[fan] == none) {
      copy[fan] = static_cast<std::uint32_t>(surface.points.size());
      surface.points.push_back(Vec3(surface.points[corner]));
      ++n_copies;
    }
    corner = copy[fan];
  }
  return n_copies;
}

/// What turning outward needs of each shell.
struct Shell {
  double volume = 0.0;  ///< with lids [m³]
  double area = 0.0;
  bool is_closed = true;
  std::vector<std::uint32_t> triangles{};
  Vec3 low, high;
};

double tetrahedron(const Vec3& a, const Vec3& b, const Vec3& c) {
  return dot(a, cross(b, c)) / 6.0;
}

Vec3 middle(const Surface& surface, const BorderLoop& loop) {
  Vec3 sum;
  for (const std::uint32_t i : loop.points) sum = sum + surface.points[i];
  return (1.0 / static_cast<double>(loop.points.size())) * sum;
}

double lid_volume(const Surface& surface, const BorderLoop& loop, const Vec3& origin) {
  const Vec3 m = middle(surface, loop) - origin;
  double sum = 0.0;
  for (std::size_t i = 0; i < loop.points.size(); ++i) {
    const Vec3 a = surface.points[loop.points[i]] - origin;
    const Vec3 b = surface.points[loop.points[(i + 1) % loop.points.size()]] - origin;
    sum += tetrahedron(a, b, m);
  }
  return sum;
}

std::vector<Shell> describe_shells(const Surface& surface, const std::vector<std::uint32_t>& label) {
  constexpr double far = std::numeric_limits<double>::infinity();
  std::vector<Shell> all;
  const Vec3 origin = surface.points.empty() ? Vec3{} : surface.points.front();
  for (std::uint32_t i = 0; i < surface.triangles.size(); ++i) {
    if (label[i] >= all.size())
      all.resize(label[i] + 1, {.low = {far, far, far}, .high = {-far, -far, -far}});
    Shell& shell = all[label[i]];
    shell.triangles.push_back(i);
    shell.area += area(surface, i);
    const auto& t = surface.triangles[i];
    shell.volume += tetrahedron(
        surface.points[t[0]] - origin, surface.points[t[1]] - origin, surface.points[t[2]] - origin);
    for (const std::uint32_t k : t) {
      const Vec3& p = surface.points[k];
      shell.low = {std::min(shell.low.x, p.x), std::min(shell.low.y, p.y), std::min(shell.low.z, p.z)};
      shell.high = {std::max(shell.high.x, p.x), std::max(shell.high.y, p.y), std::max(shell.high.z, p.z)};
    }
  }
  for (const BorderLoop& loop : border_loops(surface)) {
    Shell& shell = all[label[loop.triangle]];
    shell.is_closed = false;
    shell.volume += lid_volume(surface, loop, origin);
  }
  return all;
}

/// Turns of the closed shell about the point: 1 or -1 inside, 0 outside.
/// Source: Van Oosterom and Strackee, IEEE Trans. Biomedical Engineering 30 (1983) 125.
double winding(const Surface& surface, const Shell& shell, const Vec3& p) {
  double sum = 0.0;
  for (const std::uint32_t i : shell.triangles) {
    const auto& t = surface.triangles[i];
    const Vec3 a = surface.points[t[0]] - p, b = surface.points[t[1]] - p, c = surface.points[t[2]] - p;
    const double la = norm(a), lb = norm(b), lc = norm(c);
    sum += std::atan2(dot(a, cross(b, c)), la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb);
  }
  return sum / (2.0 * std::numbers::pi);
}

bool lies_within(const Surface& surface, const Shell& inner, const Shell& outer) {
  if (!(inner.low.x > outer.low.x && inner.low.y > outer.low.y && inner.low.z > outer.low.z &&
        inner.high.x < outer.high.x && inner.high.y < outer.high.y && inner.high.z < outer.high.z))
    return false;
  // Shells that cross are not nested: all of some corners spread over the inner one must be inside.
  constexpr std::size_t n_probes = 32;
  const std::size_t step = std::max<std::size_t>(1, inner.triangles.size() / n_probes);
  for (std::size_t i = 0; i < inner.triangles.size(); i += step) {
    const Vec3& p = surface.points[surface.triangles[inner.triangles[i]][0]];
    if (std::abs(winding(surface, outer, p)) < 0.5) return false;
  }
  return true;
}

}  // namespace

Oriented orient(Surface& surface) {
  Oriented report;
  const std::vector<EdgeUse> uses = edge_uses(surface);
  Links links(3 * surface.triangles.size(), none);
  for_each_edge(uses, [&](std::span<const EdgeUse> edge) {
    if (edge.size() == 2) link(links, slot(edge[0]), slot(edge[1]));
    if (edge.size() > 2) ++report.n_crowded_edges;
  });
  Senses senses = agree(surface, links);
  report.n_one_sided = senses.n_cut;
  if (report.n_crowded_edges > 0) {
    for_each_edge(uses, [&](std::span<const EdgeUse> edge) {
      if (edge.size() > 2) pair_up(surface, edge, senses, links);
    });
    senses = agree(surface, links);
    report.n_one_sided += senses.n_cut;
  }
  keep_majority(surface, senses);
  report.n_turned = static_cast<std::size_t>(std::count(senses.is_turned.begin(), senses.is_turned.end(), 1));
  turn(surface, senses.is_turned);
  report.n_split_points = split_fans(surface, links, senses.is_turned);
  return report;
}

std::size_t turn_outward(Surface& surface) {
  // Less than this of area^1.5 is no body but a sheet: a shallow dish of a tenth of its radius has 0.02.
  constexpr double least_bulge = 1e-3;
  const std::vector<Shell> all = describe_shells(surface, shells(surface));
  std::size_t n = 0;
  for (const Shell& shell : all) {
    double wanted = 1.0;
    for (const Shell& other : all) {
      if (!shell.is_closed || !other.is_closed || &other == &shell) continue;
      if (lies_within(surface, shell, other)) wanted = -wanted;
    }
    const bool is_sheet =
        !shell.is_closed && std::abs(shell.volume) < least_bulge * std::pow(shell.area, 1.5);
    if (is_sheet || shell.volume * wanted >= 0.0) continue;
    n += shell.triangles.size();
    for (const std::uint32_t i : shell.triangles) std::swap(surface.triangles[i][1], surface.triangles[i][2]);
  }
  return n;
}

double lidded_volume(const Surface& surface) {
  double sum = enclosed_volume(surface);
  if (surface.points.empty()) return sum;
  for (const BorderLoop& loop : border_loops(surface))
    sum += lid_volume(surface, loop, surface.points.front());
  return sum;
}

}  // namespace cowlwright::imported
