// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/templates/section.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <unordered_map>
#include <utility>

namespace cowlwright::templates {

namespace {

/// Points of an outline nearer than this are one [m]: a corner in the plane is met by several edges.
constexpr double same_point = 1e-9;

double coordinate(const base::Vec3& p, Cut cut) {
  return cut == Cut::Station ? p.x : cut == Cut::ButtLine ? p.y : p.z;
}

Point2 in_plane(const base::Vec3& p, Cut cut) {
  if (cut == Cut::Station) return {p.y, p.z};
  if (cut == Cut::ButtLine) return {p.x, p.z};
  return {p.x, p.y};
}

double distance(const Point2& a, const Point2& b) {
  return std::hypot(b[0] - a[0], b[1] - a[1]);
}

/// Twice the area, positive when counter-clockwise.
double turning(const std::vector<Point2>& points) {
  double sum = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Point2& a = points[i];
    const Point2& b = points[(i + 1) % points.size()];
    sum += a[0] * b[1] - a[1] * b[0];
  }
  return sum;
}

/// The crossed edges of the surface as points, and the crossed triangles as segments between them.
struct Crossing {
  std::vector<Point2> points;
  std::vector<std::array<std::uint32_t, 2>> segments;
  std::vector<std::vector<std::uint32_t>> at_point;  ///< segments that end at a point
};

template <typename IsBeyond>
Crossing cross(const shape::Surface& surface, Cut cut, double value, const IsBeyond& is_beyond) {
  Crossing crossing;
  std::unordered_map<std::uint64_t, std::uint32_t> point_of_edge;
  const auto side = [&](std::uint32_t k) { return is_beyond(coordinate(surface.points[k], cut)); };
  const auto point_on = [&](std::uint32_t a, std::uint32_t b) {
    if (a > b) std::swap(a, b);
    const auto next = static_cast<std::uint32_t>(crossing.points.size());
    const auto [entry, is_new] = point_of_edge.emplace(std::uint64_t{a} << 32U | b, next);
    if (is_new) {
      const base::Vec3& p = surface.points[a];
      const base::Vec3& q = surface.points[b];
      const double from = coordinate(p, cut);
      const double to = coordinate(q, cut);
      const double t = from == value ? 0.0 : to == value ? 1.0 : (value - from) / (to - from);
      crossing.points.push_back(t == 1.0 ? in_plane(q, cut) : in_plane(p + t * (q - p), cut));
    }
    return entry->second;
  };
  for (const auto& t : surface.triangles) {
    const std::array<bool, 3> beyond{side(t[0]), side(t[1]), side(t[2])};
    std::array<std::uint32_t, 2> ends{};
    std::size_t n = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const std::size_t next = (k + 1) % 3;
      if (beyond[k] != beyond[next]) ends[n++] = point_on(t[k], t[next]);
    }
    if (n == 2) crossing.segments.push_back(ends);
  }
  crossing.at_point.resize(crossing.points.size());
  for (std::uint32_t s = 0; s < crossing.segments.size(); ++s) {
    for (const std::uint32_t end : crossing.segments[s]) crossing.at_point[end].push_back(s);
  }
  return crossing;
}

/// Takes pieces of outline out of a crossing, each segment once.
class Walker {
 public:
  explicit Walker(const Crossing& crossing)
      : crossing_(crossing), is_used_(crossing.segments.size(), false) {}

  /// All pieces: first those with ends, then the closed ones.
  std::vector<Curve> all() {
    std::vector<Curve> curves;
    const auto walk_from = [&](std::uint32_t point) {
      for (const std::uint32_t segment : crossing_.at_point[point]) {
        if (!is_used_[segment]) curves.push_back(walk(point, segment));
      }
    };
    const auto n = static_cast<std::uint32_t>(crossing_.points.size());
    for (std::uint32_t p = 0; p < n; ++p) {
      if (crossing_.at_point[p].size() != 2) walk_from(p);
    }
    for (std::uint32_t p = 0; p < n; ++p) walk_from(p);
    return curves;
  }

 private:
  Curve walk(std::uint32_t start, std::uint32_t segment) {
    Curve curve;
    std::uint32_t point = start;
    curve.points.push_back(crossing_.points[start]);
    for (;;) {
      is_used_[segment] = true;
      const auto& ends = crossing_.segments[segment];
      point = ends[0] == point ? ends[1] : ends[0];
      if (point == start) {
        curve.is_closed = true;
        return curve;
      }
      curve.points.push_back(crossing_.points[point]);
      const auto& here = crossing_.at_point[point];
      if (here.size() != 2) return curve;
      segment = here[0] == segment ? here[1] : here[0];
    }
  }

  const Crossing& crossing_;
  std::vector<bool> is_used_;
};

/// Drops repeated points and turns the curve into its stated sense; no points when it has no length.
Curve tidied(Curve curve) {
  std::vector<Point2> points;
  for (const Point2& p : curve.points) {
    if (points.empty() || distance(points.back(), p) > same_point) points.push_back(p);
  }
  while (curve.is_closed && points.size() > 1 && distance(points.front(), points.back()) <= same_point) {
    points.pop_back();
  }
  if (points.size() < 2) points.clear();
  const bool is_backward =
      !points.empty() && (curve.is_closed ? turning(points) < 0.0 : points.back() < points.front());
  if (is_backward) std::reverse(points.begin(), points.end());
  curve.points = std::move(points);
  return curve;
}

/// A straight part of a curve and how far the curve turns at its end [rad].
struct Chord {
  double length = 0.0;
  double turn = 0.0;
};

/// Edges between corners; those that go straight on, at a facet's diagonal, are one.
std::vector<Chord> chords_of(const Curve& curve) {
  constexpr double straight = 0.002;  // [rad]
  const std::vector<Point2>& p = curve.points;
  const std::size_t n = p.size();
  const std::size_t n_edges = curve.is_closed ? n : n - 1;
  std::vector<Chord> chords{{}};
  for (std::size_t i = 0; i < n_edges; ++i) {
    const Point2& a = p[i];
    const Point2& b = p[(i + 1) % n];
    chords.back().length += distance(a, b);
    if (!curve.is_closed && i + 1 == n_edges) break;
    const Point2& c = p[(i + 2) % n];
    const double cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
    const double dot = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]);
    chords.back().turn = std::abs(std::atan2(cross, dot));
    if (chords.back().turn > straight) chords.push_back({});
  }
  if (curve.is_closed && chords.size() > 1) {  // what is left belongs before the first corner
    chords.front().length += chords.back().length;
    chords.pop_back();
  }
  return chords;
}

template <typename IsBeyond>
Section section_with(const shape::Surface& surface, Cut cut, double value, const IsBeyond& is_beyond) {
  const Crossing crossing = cross(surface, cut, value, is_beyond);
  Section section{cut, value, {}, 0};
  for (const auto& segments : crossing.at_point) section.n_branch_points += segments.size() > 2 ? 1 : 0;
  for (Curve& curve : Walker(crossing).all()) {
    Curve tidy = tidied(std::move(curve));
    if (!tidy.points.empty()) section.curves.push_back(std::move(tidy));
  }
  std::stable_sort(section.curves.begin(), section.curves.end(), [](const Curve& a, const Curve& b) {
    return curve_length(a) > curve_length(b);
  });
  return section;
}

}  // namespace

std::string cut_letters(Cut cut) {
  return cut == Cut::Station ? "FS" : cut == Cut::ButtLine ? "BL" : "WL";
}

double curve_length(const Curve& curve) {
  double sum = 0.0;
  for (std::size_t i = 0; i + 1 < curve.points.size(); ++i) {
    sum += distance(curve.points[i], curve.points[i + 1]);
  }
  if (curve.is_closed && curve.points.size() > 1) sum += distance(curve.points.back(), curve.points.front());
  return sum;
}

double facet_bulge(const Curve& curve) {
  constexpr double sharp = std::numbers::pi / 6.0;
  constexpr double long_chord = 3.0;  // times its longer neighbour: a straight that is meant
  const std::vector<Chord> chords = chords_of(curve);
  const std::size_t n = chords.size();
  double bulge = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    if (!curve.is_closed && (i == 0 || i + 1 == n)) continue;  // one end does not turn
    const Chord& chord = chords[i];
    const Chord& before = chords[(i + n - 1) % n];
    const Chord& after = chords[(i + 1) % n];
    if (before.turn > sharp || chord.turn > sharp) continue;
    if (chord.length > long_chord * std::max(before.length, after.length)) continue;
    bulge = std::max(bulge, 0.5 * chord.length * std::tan(0.125 * (before.turn + chord.turn)));
  }
  return bulge;
}

Section cut_section(const shape::Surface& surface, Cut cut, double value) {
  Section section = section_with(surface, cut, value, [&](double c) { return c >= value; });
  if (section.curves.empty()) {
    section = section_with(surface, cut, value, [&](double c) { return c > value; });
  }
  if (!section.curves.empty()) return section;
  const shape::Box box = shape::bounding_box(surface);
  throw base::InputError(
      fmt::format("{} {:.1f} mm: misses the surface, which lies from {:.1f} to {:.1f} mm. Choose a plane "
                  "between.",
                  cut_letters(cut),
                  1000.0 * value,
                  1000.0 * coordinate(box.low, cut),
                  1000.0 * coordinate(box.high, cut)));
}

}  // namespace cowlwright::templates
