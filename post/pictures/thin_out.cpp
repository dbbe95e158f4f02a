// SPDX-License-Identifier: GPL-3.0-or-later
//
// Half-edge collapses with a check of every point that was ever left out.
#include "post/pictures/thin_out.h"

#include "geometry/base/nearest_on_triangle.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

namespace cowlwright::post {

namespace {

using base::Vec3;
using Index = std::uint32_t;
using Triangle = std::array<Index, 3>;

/// Least cosine between a triangle's normal before and after a step.
constexpr double least_turn = 0.8;
/// Passes with rising shares of the limits: what costs little goes first.
constexpr std::array<double, 4> shares{0.1, 0.3, 1.0, 1.0};

double distance_to_segment(const Vec3& point, const Vec3& a, const Vec3& b) {
  const Vec3 along = b - a;
  const double length2 = dot(along, along);
  const double share = length2 > 0.0 ? std::clamp(dot(point - a, along) / length2, 0.0, 1.0) : 0.0;
  return norm(point - (a + share * along));
}

bool has(const Triangle& triangle, Index point) {
  return triangle[0] == point || triangle[1] == point || triangle[2] == point;
}

Triangle replaced(Triangle triangle, Index old_point, Index new_point) {
  std::replace(triangle.begin(), triangle.end(), old_point, new_point);
  return triangle;
}

class Thinning {
 public:
  Thinning(const ScenePiece& piece, const ThinningLimits& limits)
      : piece_(piece),
        limits_(limits),
        triangles_(piece.triangles),
        is_alive_(triangles_.size(), true),
        assigned_(triangles_.size()),
        off_(triangles_.size(), 0.0),
        around_(piece.points.size()),
        is_fixed_(piece.points.size(), false),
        border_(piece.points.size()),
        on_border_(piece.points.size()) {
    places_.reserve(piece.points.size());
    for (const std::array<float, 3>& point : piece.points) {
      places_.push_back({point[0], point[1], point[2]});
    }
    for (Index t = 0; t < triangles_.size(); ++t) {
      for (const Index point : triangles_[t]) {
        around_[point].push_back(t);
      }
    }
    find_border();
  }

  void run() {
    for (const double share : shares) {
      share_ = share;
      for (Index point = 0; point < places_.size(); ++point) {
        if (!around_[point].empty() && !is_fixed_[point]) {
          leave_out(point);
        }
      }
    }
  }

  /// The rest, with points renumbered in the order of first use.
  ScenePiece result() const {
    ScenePiece rest{.id = piece_.id, .title = piece_.title, .kind = piece_.kind, .shows = piece_.shows};
    std::vector<std::int64_t> number(places_.size(), -1);
    std::vector<Index> used;
    for (Index t = 0; t < triangles_.size(); ++t) {
      if (!is_alive_[t]) {
        continue;
      }
      Triangle corners{};
      for (std::size_t i = 0; i < 3; ++i) {
        const Index point = triangles_[t][i];
        if (number[point] < 0) {
          number[point] = static_cast<std::int64_t>(used.size());
          used.push_back(point);
        }
        corners[i] = static_cast<Index>(number[point]);
      }
      rest.triangles.push_back(corners);
    }
    for (const Index point : used) {
      rest.points.push_back(piece_.points[point]);
    }
    for (std::size_t i = 0; i < piece_.values.size(); ++i) {
      ScenePiece::Values& values = rest.values.emplace_back();
      values.names = piece_.values[i].names;
      values.deviation = largest_change(i);
      for (const Index point : used) {
        values.numbers.push_back(piece_.values[i].numbers[point]);
      }
    }
    return rest;
  }

 private:
  std::vector<Index> neighbours(Index point) const {
    std::vector<Index> found;
    for (const Index t : around_[point]) {
      for (const Index other : triangles_[t]) {
        if (other != point) {
          found.push_back(other);
        }
      }
    }
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
  }

  std::size_t n_common_triangles(Index a, Index b) const {
    return static_cast<std::size_t>(
        std::count_if(around_[a].begin(), around_[a].end(), [&](Index t) { return has(triangles_[t], b); }));
  }

  /// Border edges have one triangle. Points where more than one border passes, or an edge has more than two
  /// triangles, are kept.
  void find_border() {
    for (Index point = 0; point < places_.size(); ++point) {
      for (const Index other : neighbours(point)) {
        const std::size_t n = n_common_triangles(point, other);
        if (n == 1) {
          border_[point].push_back(other);
        } else if (n > 2) {
          is_fixed_[point] = true;
        }
      }
      is_fixed_[point] = is_fixed_[point] || (!border_[point].empty() && border_[point].size() != 2);
    }
  }

  void leave_out(Index point) {
    std::vector<Index> candidates = border_[point].empty() ? neighbours(point) : border_[point];
    std::sort(candidates.begin(), candidates.end(), [&](Index a, Index b) {
      return norm(places_[a] - places_[point]) < norm(places_[b] - places_[point]);
    });
    for (const Index target : candidates) {
      if (draw(point, target)) {
        return;
      }
    }
  }

  /// Draws a point onto a neighbour if everything allows it.
  bool draw(Index point, Index target) {
    std::vector<Index> changed;
    std::vector<Index> dying;
    for (const Index t : around_[point]) {
      (has(triangles_[t], target) ? dying : changed).push_back(t);
    }
    if (changed.empty() || !keeps_topology(point, target, dying.size()) ||
        turns_over(point, target, changed) || !keeps_border(point, target)) {
      return false;
    }
    std::vector<Index> left_out{point};
    for (const Index t : around_[point]) {
      left_out.insert(left_out.end(), assigned_[t].begin(), assigned_[t].end());
    }
    std::vector<Index> homes;
    for (const Index old_point : left_out) {
      const std::optional<Index> home = home_of(old_point, point, target, changed);
      if (!home) {
        return false;
      }
      homes.push_back(*home);
    }
    std::vector<double> off;
    for (const Index t : changed) {
      off.push_back(distance_off(replaced(triangles_[t], point, target), point));
      if (!(off.back() <= share_ * limits_.distance)) {
        return false;
      }
    }
    commit(point, target, changed, dying);
    for (std::size_t i = 0; i < changed.size(); ++i) {
      off_[changed[i]] = off[i];
    }
    for (std::size_t i = 0; i < left_out.size(); ++i) {
      assigned_[homes[i]].push_back(left_out[i]);
    }
    return true;
  }

  /// The two points share no neighbours but the corners of the triangles that vanish.
  bool keeps_topology(Index point, Index target, std::size_t n_dying) const {
    const std::vector<Index> a = neighbours(point);
    const std::vector<Index> b = neighbours(target);
    std::vector<Index> common;
    std::set_intersection(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(common));
    const bool is_border = !border_[point].empty();
    return common.size() == n_dying && n_dying == (is_border ? 1U : 2U) &&
           !(is_border && n_common_triangles(border_[point][0], border_[point][1]) > 0);
  }

  Vec3 normal(const Triangle& t) const {
    return cross(places_[t[1]] - places_[t[0]], places_[t[2]] - places_[t[0]]);
  }

  bool turns_over(Index point, Index target, const std::vector<Index>& changed) const {
    return std::any_of(changed.begin(), changed.end(), [&](Index t) {
      const Vec3 before = normal(triangles_[t]);
      const Vec3 after = normal(replaced(triangles_[t], point, target));
      return !(dot(before, after) > least_turn * norm(before) * norm(after)) || !(norm(after) > 0.0);
    });
  }

  /// How far a new triangle may be from the full surface at most: its middle and its edges' middles against
  /// the old triangles round the point, plus what those were off already.
  double distance_off(const Triangle& t, Index point) const {
    const Vec3& a = places_[t[0]];
    const Vec3& b = places_[t[1]];
    const Vec3& c = places_[t[2]];
    double worst = 0.0;
    for (const Vec3& place : {(1.0 / 3.0) * (a + b + c), 0.5 * (a + b), 0.5 * (b + c), 0.5 * (c + a)}) {
      double nearest = std::numeric_limits<double>::infinity();
      for (const Index old : around_[point]) {
        const Triangle& corners = triangles_[old];
        nearest = std::min(nearest, base::norm(place - nearest_on(corners, place).point) + off_[old]);
      }
      worst = std::max(worst, nearest);
    }
    return worst;
  }

  /// Every left-out border point stays near the border's new piece.
  bool keeps_border(Index point, Index target) const {
    if (border_[point].empty()) {
      return true;
    }
    const Index other = border_[point][0] == target ? border_[point][1] : border_[point][0];
    const auto is_near = [&](Index left_out) {
      return distance_to_segment(places_[left_out], places_[target], places_[other]) <=
             share_ * limits_.distance;
    };
    const std::vector<Index>& first = border_points(point, target);
    const std::vector<Index>& second = border_points(point, other);
    return is_near(point) && std::all_of(first.begin(), first.end(), is_near) &&
           std::all_of(second.begin(), second.end(), is_near);
  }

  /// Left-out points along the border edge between two points, kept at the lower one.
  const std::vector<Index>& border_points(Index a, Index b) const {
    static const std::vector<Index> none;
    const Index low = std::min(a, b);
    const Index high = std::max(a, b);
    const auto found = std::find_if(on_border_[low].begin(),
                                    on_border_[low].end(),
                                    [&](const BorderEdge& edge) { return edge.other == high; });
    return found == on_border_[low].end() ? none : found->left_out;
  }

  base::OnTriangle nearest_on(const Triangle& t, const Vec3& place) const {
    return base::nearest_on_triangle(places_[t[0]], places_[t[1]], places_[t[2]], place);
  }

  /// Error of a point against a triangle, over the limits; at most 1 when all hold.
  double error_of(Index left_out, const Triangle& t) const {
    const base::OnTriangle nearest = nearest_on(t, places_[left_out]);
    double error = base::norm(places_[left_out] - nearest.point) / limits_.distance;
    for (std::size_t i = 0; i < piece_.values.size() && error <= share_; ++i) {
      error = std::max(error, change_at(i, left_out, t, nearest) / limits_.values[i]);
    }
    return error;
  }

  double change_at(std::size_t field,
                   Index left_out,
                   const Triangle& t,
                   const base::OnTriangle& nearest) const {
    const std::vector<float>& numbers = piece_.values[field].numbers;
    double value = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
      value += nearest.weights[i] * numbers[t[i]];
    }
    return std::abs(value - numbers[left_out]);
  }

  /// The changed triangle that stands for a left-out point best; none when no one does within the limits.
  std::optional<Index> home_of(Index left_out,
                               Index point,
                               Index target,
                               const std::vector<Index>& changed) const {
    double best = share_;
    std::optional<Index> home;
    for (const Index t : changed) {
      const double error = error_of(left_out, replaced(triangles_[t], point, target));
      if (error <= best) {
        best = error;
        home = t;
      }
    }
    return home;
  }

  void commit(Index point, Index target, const std::vector<Index>& changed, const std::vector<Index>& dying) {
    for (const Index t : dying) {
      is_alive_[t] = false;
      assigned_[t].clear();
      for (const Index corner : triangles_[t]) {
        std::erase(around_[corner], t);
      }
    }
    for (const Index t : changed) {
      triangles_[t] = replaced(triangles_[t], point, target);
      assigned_[t].clear();
      around_[target].push_back(t);
    }
    around_[point].clear();
    if (!border_[point].empty()) {
      join_border(point, target);
    }
  }

  void join_border(Index point, Index target) {
    const Index other = border_[point][0] == target ? border_[point][1] : border_[point][0];
    BorderEdge joined{std::max(target, other), {point}};
    for (const Index end : {target, other}) {
      const std::vector<Index>& old_points = border_points(point, end);
      joined.left_out.insert(joined.left_out.end(), old_points.begin(), old_points.end());
      std::erase_if(on_border_[std::min(point, end)],
                    [&](const BorderEdge& edge) { return edge.other == std::max(point, end); });
    }
    std::replace(border_[target].begin(), border_[target].end(), point, other);
    std::replace(border_[other].begin(), border_[other].end(), point, target);
    on_border_[std::min(target, other)].push_back(std::move(joined));
    border_[point].clear();
  }

  double largest_change(std::size_t field) const {
    double worst = 0.0;
    for (Index t = 0; t < triangles_.size(); ++t) {
      for (const Index left_out : assigned_[t]) {
        const Triangle& corners = triangles_[t];
        worst = std::max(worst, change_at(field, left_out, corners, nearest_on(corners, places_[left_out])));
      }
    }
    return worst;
  }

  struct BorderEdge {
    Index other = 0;
    std::vector<Index> left_out;
  };

  const ScenePiece& piece_;
  const ThinningLimits& limits_;
  std::vector<Vec3> places_;
  std::vector<Triangle> triangles_;
  std::vector<bool> is_alive_;
  std::vector<std::vector<Index>> assigned_;  // left-out points of each triangle
  std::vector<double> off_;                   // distance of each triangle to the full surface, at most
  std::vector<std::vector<Index>> around_;    // triangles of each point
  std::vector<bool> is_fixed_;
  std::vector<std::vector<Index>> border_;          // neighbours along the border
  std::vector<std::vector<BorderEdge>> on_border_;  // at the lower end of each border edge
  double share_ = 1.0;
};

}  // namespace

ScenePiece thinned_out(const ScenePiece& piece, const ThinningLimits& limits) {
  Thinning thinning(piece, limits);
  thinning.run();
  return thinning.result();
}

}  // namespace cowlwright::post
