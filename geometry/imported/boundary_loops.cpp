// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/boundary_loops.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace cowlwright::imported {

namespace {

using base::Vec3;

/// One end of an open edge.
struct End {
  std::uint32_t point = 0;
  std::uint32_t fan = 0;
  std::uint32_t edge = 0;
  friend bool operator<(const End& a, const End& b) {
    return a.point != b.point ? a.point < b.point : (a.fan != b.fan ? a.fan < b.fan : a.edge < b.edge);
  }
};

class Walker {
 public:
  explicit Walker(const std::vector<OpenEdge>& edges) : edges_(&edges), is_used_(edges.size(), false) {
    ends_.reserve(2 * edges.size());
    for (std::uint32_t e = 0; e < edges.size(); ++e) {
      for (std::size_t k = 0; k < 2; ++k) ends_.push_back({edges[e].points[k], edges[e].fans[k], e});
    }
    std::sort(ends_.begin(), ends_.end());
  }

  struct Loop {
    std::vector<std::uint32_t> points{};
    bool is_closed = true;  ///< false for a chain that ends, as at a non-manifold edge
  };

  /// The loop that an edge belongs to; empty when it has been passed.
  Loop loop_from(std::uint32_t edge) {
    Loop loop;
    if (is_used_[edge]) return loop;
    is_used_[edge] = true;
    const OpenEdge& first = (*edges_)[edge];
    loop.points.push_back(first.points[0]);
    loop.is_closed = walk({first.points[1], first.fans[1], edge}, loop.points);
    if (!loop.is_closed) {
      // Backwards from the first edge to the chain's other end.
      std::vector<std::uint32_t> before{first.points[1]};
      walk({first.points[0], first.fans[0], edge}, before);
      loop.points.insert(loop.points.begin(), before.rbegin(), before.rend() - 2);
    }
    return loop;
  }

 private:
  static constexpr std::uint32_t none = Faults::no_shell;

  /// Appends points until the walk comes back to the first of them (true) or cannot go on (false).
  bool walk(End at, std::vector<std::uint32_t>& points) {
    while (at.point != points.front()) {
      points.push_back(at.point);
      std::uint32_t next = unused_at(at.point, at.fan);
      if (next == none) next = any_unused_at(at.point);
      if (next == none) return false;
      is_used_[next] = true;
      const OpenEdge& step = (*edges_)[next];
      const std::size_t far = step.points[0] == at.point ? 1 : 0;
      at = {step.points[far], step.fans[far], next};
    }
    return true;
  }

  std::uint32_t unused_at(std::uint32_t point, std::uint32_t fan) const {
    auto at = std::lower_bound(ends_.begin(), ends_.end(), End{point, fan, 0});
    for (; at != ends_.end() && at->point == point && at->fan == fan; ++at) {
      if (!is_used_[at->edge]) return at->edge;
    }
    return none;
  }

  /// Goes on where it stopped the last time: thousands of chains may end in one point.
  std::uint32_t any_unused_at(std::uint32_t point) {
    const auto first = std::lower_bound(ends_.begin(), ends_.end(), End{point, 0, 0});
    std::size_t& at =
        cursor_.try_emplace(point, static_cast<std::size_t>(first - ends_.begin())).first->second;
    while (at < ends_.size() && ends_[at].point == point && is_used_[ends_[at].edge]) ++at;
    return at < ends_.size() && ends_[at].point == point ? ends_[at].edge : none;
  }

  std::unordered_map<std::uint32_t, std::size_t> cursor_{};
  const std::vector<OpenEdge>* edges_;
  std::vector<End> ends_{};
  std::vector<bool> is_used_;
};

double largest_distance(std::vector<Vec3> points) {
  constexpr std::size_t most_pairwise = 2000;
  if (points.size() > most_pairwise) {
    // Extremes along 49 directions over the half sphere, 15 deg apart: the largest distance is missed by at
    // most 1 - cos of the largest angle to the next direction, below 3 %.
    std::vector<Vec3> extremes;
    for (int latitude = 0; latitude <= 6; ++latitude) {
      for (int longitude = 0; longitude < 24; ++longitude) {
        const double theta = latitude * 0.2617993877991494;
        const double phi = longitude * 0.2617993877991494;
        const Vec3 direction{
            std::cos(theta) * std::cos(phi), std::cos(theta) * std::sin(phi), std::sin(theta)};
        const auto [low, high] =
            std::minmax_element(points.begin(), points.end(), [&](const Vec3& a, const Vec3& b) {
              return dot(direction, a) < dot(direction, b);
            });
        extremes.push_back(*low);
        extremes.push_back(*high);
      }
    }
    points = std::move(extremes);
  }
  double largest = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k)
      largest = std::max(largest, dot(points[i] - points[k], points[i] - points[k]));
  }
  return std::sqrt(largest);
}

BoundaryLoop measured(const shape::Surface& surface, const Walker::Loop& walked) {
  const std::vector<std::uint32_t>& loop = walked.points;
  BoundaryLoop result;
  result.n_edges = walked.is_closed ? loop.size() : loop.size() - 1;
  std::vector<Vec3> points;
  Vec3 moment;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Vec3& a = surface.points[loop[i]];
    const Vec3& b = surface.points[loop[(i + 1) % loop.size()]];
    const double length = i < result.n_edges ? norm(b - a) : 0.0;
    result.length += length;
    moment = moment + (0.5 * length) * (a + b);
    points.push_back(a);
  }
  result.centre = result.length > 0 ? (1.0 / result.length) * moment : points.front();
  result.diagonal = largest_distance(std::move(points));
  return result;
}

}  // namespace

std::vector<BoundaryLoop> boundary_loops(const shape::Surface& surface, const std::vector<OpenEdge>& edges) {
  Walker walker(edges);
  std::vector<BoundaryLoop> loops;
  for (std::uint32_t edge = 0; edge < edges.size(); ++edge) {
    const Walker::Loop loop = walker.loop_from(edge);
    if (!loop.points.empty()) loops.push_back(measured(surface, loop));
  }
  std::stable_sort(loops.begin(), loops.end(), [](const BoundaryLoop& a, const BoundaryLoop& b) {
    return a.length > b.length;
  });
  return loops;
}

}  // namespace cowlwright::imported
