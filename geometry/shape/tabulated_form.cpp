// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rays against the sections of the skin; then from each point found inward until the skin is far enough away
// in every direction.
#include "geometry/shape/tabulated_form.h"

#include "geometry/base/error.h"
#include "geometry/base/parallel.h"
#include "geometry/shape/triangle_tree.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int n_angles = 181;     // from keel to crown
constexpr double pitch = 0.012;   // of the stations [m]
constexpr double play = 0.00005;  // an inner form this much further in than wanted will do [m]

double angle_of(int j) {
  return -0.5 * pi + pi * j / (n_angles - 1);
}

std::size_t at(std::size_t row, int j) {
  return row * n_angles + static_cast<std::size_t>(j);
}

using Segment = std::array<std::array<double, 2>, 2>;

/// Where the plane at x cuts the triangles, in (y, z).
std::vector<Segment> cut(const Surface& skin, double x) {
  std::vector<Segment> segments;
  for (const auto& t : skin.triangles) {
    Segment segment{};
    std::size_t n = 0;
    for (std::size_t k = 0; k < 3 && n < 2; ++k) {
      const base::Vec3& a = skin.points[t[k]];
      const base::Vec3& b = skin.points[t[(k + 1) % 3]];
      if ((a.x < x) == (b.x < x)) continue;
      const double u = (x - a.x) / (b.x - a.x);
      segment[n++] = {a.y + u * (b.y - a.y), a.z + u * (b.z - a.z)};
    }
    if (n == 2) segments.push_back(segment);
  }
  return segments;
}

/// Distance from the axis along a ray to the outermost segment it meets; 0 when it meets none.
double outermost(const std::vector<Segment>& segments, double angle) {
  const double c = std::cos(angle);
  const double s = std::sin(angle);
  double farthest = 0.0;
  for (const auto& [a, b] : segments) {
    const double side_a = c * a[1] - s * a[0];
    const double side_b = c * b[1] - s * b[0];
    if ((side_a > 0.0) == (side_b > 0.0)) continue;
    const double u = side_a / (side_a - side_b);
    farthest = std::max(farthest, c * (a[0] + u * (b[0] - a[0])) + s * (a[1] + u * (b[1] - a[1])));
  }
  return farthest;
}

/// Radius at which the skin is `thickness` away in every direction, from the skin inward. The distance
/// changes by at most what the point moves, so a step of what is missing never goes too far.
double inset_radius(const TriangleTree& skin, double x, double angle, double outer, double thickness) {
  double radius = outer;
  while (radius > 0.0) {
    const base::Vec3 p{x, radius * std::cos(angle), radius * std::sin(angle)};
    const double missing = thickness - skin.nearest(p, thickness).distance;
    if (!(missing > 0.0)) return radius;
    radius -= missing + play;
  }
  return 0.0;
}

std::vector<double> stations_between(double from, double to, double rear_above) {
  constexpr double inside_the_edge = 0.0005;
  std::vector<double> stations;
  const int n = std::max(2, static_cast<int>(std::ceil((to - from) / pitch)));
  for (int i = 0; i < n; ++i) stations.push_back(from + (to - from) * i / n);
  stations.push_back(to - inside_the_edge);
  // The last section that is whole is one of them.
  const double last_whole = rear_above - inside_the_edge;
  if (last_whole > from && last_whole < to) {
    stations.insert(std::lower_bound(stations.begin(), stations.end(), last_whole), last_whole);
  }
  return stations;
}

/// Point of a line of points where `value` first reaches `target`, and its place along the line.
struct Crossing {
  bool found = false;
  std::size_t behind = 0;
  double share = 0.0;
};

template <typename Value>
Crossing first_crossing(
    const std::vector<base::Vec3>& line, std::size_t from, int step, double target, Value value) {
  for (std::size_t i = from;;) {
    const bool is_last = step > 0 ? i + 1 >= line.size() : i == 0;
    if (is_last) return {};
    const std::size_t next = step > 0 ? i + 1 : i - 1;
    const double a = value(line[i]);
    const double b = value(line[next]);
    if ((a <= target && target <= b) || (b <= target && target <= a)) {
      return {true, i, a == b ? 0.0 : (target - a) / (b - a)};
    }
    i = next;
  }
}

double blend(double a, double b, double share) {
  return a + share * (b - a);
}

}  // namespace

TabulatedForm::TabulatedForm(const Surface& skin, double from, double to, double rear_above, double thickness)
    : stations_(stations_between(from, to, rear_above)),
      outer_(stations_.size() * n_angles),
      inner_(stations_.size() * n_angles),
      thickness_(thickness) {
  const TriangleTree tree(skin);
  std::vector<double> left(outer_.size());
  constexpr std::size_t one_station = 1;
  base::for_each_range(stations_.size(), one_station, [&](std::size_t i, std::size_t) {
    const double x = stations_[i];
    const std::vector<Segment> segments = cut(skin, x);
    for (int j = 0; j < n_angles; ++j) {
      const double angle = angle_of(j);
      const double r = outermost(segments, angle);
      const double l = outermost(segments, pi - angle);
      outer_[at(i, j)] = r;
      left[at(i, j)] = l;
      inner_[at(i, j)] = std::min(inset_radius(tree, x, angle, r, thickness),
                                  inset_radius(tree, x, pi - angle, l, thickness));
    }
  });

  for (std::size_t i = 0; i < stations_.size(); ++i) {
    for (int j = 0; j < n_angles; ++j) {
      double& r = outer_[at(i, j)];
      const double l = left[at(i, j)];
      const bool is_behind_the_edge = stations_[i] >= rear_above - thickness && j > n_angles / 4 && i > 0;
      if (is_behind_the_edge && !(std::min(r, l) > 0.0)) {
        r = outer_[at(i - 1, j)];
        inner_[at(i, j)] = inner_[at(i - 1, j)];
        continue;
      }
      const base::Vec3 place{stations_[i], r * std::cos(angle_of(j)), r * std::sin(angle_of(j))};
      if (!(std::min(r, l) > 0.0) || !(inner_[at(i, j)] > 0.0)) {
        throw base::InputError(
            fmt::format("no skin{} in the direction of {:.0f} deg {} the shaft line's height at FS {:.0f} "
                        "mm, seen from the "
                        "shaft line: every station between {:.0f} and {:.0f} mm needs a whole section. Fill "
                        "the hole, name it "
                        "as an opening, or correct the placement.",
                        std::min(r, l) > 0.0 ? " thick enough" : (r > 0.0 ? " on the left" : " on the right"),
                        std::abs(angle_of(j)) * 180.0 / pi,
                        j < n_angles / 2 ? "below" : "above",
                        1000.0 * stations_[i],
                        1000.0 * from,
                        1000.0 * to));
      }
      if (std::abs(r - l) > asymmetry_) {
        asymmetry_ = std::abs(r - l);
        most_asymmetric_ = place;
      }
      r = std::min(r, l);
    }
  }
}

std::vector<base::Vec3> TabulatedForm::right_half(double x, double inset) const {
  const double clamped = std::clamp(x, stations_.front(), stations_.back());
  const auto above = std::upper_bound(stations_.begin() + 1, stations_.end() - 1, clamped);
  const auto row = static_cast<std::size_t>(above - stations_.begin());
  const double share = (clamped - stations_[row - 1]) / (stations_[row] - stations_[row - 1]);
  const double depth = inset / thickness_;
  std::vector<base::Vec3> points;
  points.reserve(n_angles);
  for (int j = 0; j < n_angles; ++j) {
    const double outer = blend(outer_[at(row - 1, j)], outer_[at(row, j)], share);
    const double inner = blend(inner_[at(row - 1, j)], inner_[at(row, j)], share);
    const double r = blend(outer, inner, depth);
    points.push_back(
        {x, j == 0 || j == n_angles - 1 ? 0.0 : r * std::cos(angle_of(j)), r * std::sin(angle_of(j))});
  }
  return points;
}

base::Vec3 TabulatedForm::point(double x, double angle, double inset) const {
  const std::vector<base::Vec3> line = right_half(x, inset);
  const double right = std::asin(std::clamp(std::sin(angle), -1.0, 1.0));
  const double place = (right + 0.5 * pi) / pi * (n_angles - 1);
  const auto i = std::min(static_cast<std::size_t>(std::max(place, 0.0)), line.size() - 2);
  const double r = blend(base::norm({0.0, line[i].y, line[i].z}),
                         base::norm({0.0, line[i + 1].y, line[i + 1].z}),
                         place - static_cast<double>(i));
  return {x, r * std::cos(angle), r * std::sin(angle)};
}

double TabulatedForm::lower_z(double x, double y, double inset) const {
  const std::vector<base::Vec3> line = right_half(x, inset);
  const Crossing c = first_crossing(line, 0, 1, std::abs(y), [](const base::Vec3& p) { return p.y; });
  if (!c.found || line[c.behind].z > 0.0) return 0.0;
  return blend(line[c.behind].z, line[c.behind + 1].z, c.share);
}

double TabulatedForm::upper_z(double x, double y, double inset) const {
  const std::vector<base::Vec3> line = right_half(x, inset);
  const Crossing c =
      first_crossing(line, line.size() - 1, -1, std::abs(y), [](const base::Vec3& p) { return p.y; });
  if (!c.found || line[c.behind].z < 0.0) return 0.0;
  return blend(line[c.behind].z, line[c.behind - 1].z, c.share);
}

namespace {

/// From the shaft line's height up or down to height z.
Crossing crossing_at_height(const std::vector<base::Vec3>& line, double z) {
  const std::size_t middle = line.size() / 2;
  return first_crossing(line, middle, z >= 0.0 ? 1 : -1, z, [](const base::Vec3& p) { return p.z; });
}

base::Vec3 point_at(const std::vector<base::Vec3>& line, const Crossing& c, int step) {
  const base::Vec3& a = line[c.behind];
  const base::Vec3& b = line[step > 0 ? c.behind + 1 : c.behind - 1];
  return a + c.share * (b - a);
}

}  // namespace

double TabulatedForm::half_width_at(double x, double z, double inset) const {
  const std::vector<base::Vec3> line = right_half(x, inset);
  const Crossing c = crossing_at_height(line, z);
  return c.found ? point_at(line, c, z >= 0.0 ? 1 : -1).y : 0.0;
}

double TabulatedForm::angle_at_height(double x, double z, double inset) const {
  const std::vector<base::Vec3> line = right_half(x, inset);
  const Crossing c = crossing_at_height(line, z);
  if (!c.found) return z >= 0.0 ? 0.5 * pi : -0.5 * pi;
  const base::Vec3 p = point_at(line, c, z >= 0.0 ? 1 : -1);
  return std::atan2(p.z, p.y);
}

double TabulatedForm::lower_angle_at(double x, double y, double inset) const {
  const std::vector<base::Vec3> line = right_half(x, inset);
  const Crossing c = first_crossing(line, 0, 1, y, [](const base::Vec3& p) { return p.y; });
  if (!c.found) return 0.0;
  const base::Vec3 p = point_at(line, c, 1);
  return std::atan2(p.z, p.y);
}

}  // namespace cowlwright::shape
