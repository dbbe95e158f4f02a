// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/templates/inset.h"

#include "geometry/base/error.h"

#include <boost/geometry.hpp>
#include <boost/geometry/geometries/multi_polygon.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::templates {

namespace {

namespace bg = boost::geometry;
using Point = bg::model::d2::point_xy<double>;
using Polygon = bg::model::polygon<Point>;
using MultiPolygon = bg::model::multi_polygon<Polygon>;

Polygon to_polygon(const Curve& curve) {
  Polygon polygon;
  for (const Point2& p : curve.points) bg::append(polygon.outer(), Point(p[0], p[1]));
  bg::append(polygon.outer(), Point(curve.points.front()[0], curve.points.front()[1]));
  bg::correct(polygon);
  return polygon;
}

template <typename Ring>
Curve to_curve(const Ring& ring) {
  Curve curve{{}, true};
  for (std::size_t i = 0; i + 1 < ring.size(); ++i) curve.points.push_back({ring[i].x(), ring[i].y()});
  return curve;
}

}  // namespace

std::vector<Curve> inset_curves(const std::vector<Curve>& curves, double distance) {
  if (!(distance > 0.0)) {
    throw base::InputError(fmt::format("--inset = {:g} mm: must be > 0 mm.", 1000.0 * distance));
  }
  // Inside is what an odd number of outlines goes round.
  MultiPolygon inside;
  bool is_any_closed = false;
  for (const Curve& curve : curves) {
    if (!curve.is_closed || curve.points.size() < 3) continue;
    is_any_closed = true;
    MultiPolygon next;
    bg::sym_difference(inside, to_polygon(curve), next);
    inside = std::move(next);
  }
  if (!is_any_closed) return {};
  constexpr int points_per_circle = 720;
  MultiPolygon moved;
  bg::buffer(inside,
             moved,
             bg::strategy::buffer::distance_symmetric<double>(-distance),
             bg::strategy::buffer::side_straight(),
             bg::strategy::buffer::join_round(points_per_circle),
             bg::strategy::buffer::end_flat(),
             bg::strategy::buffer::point_circle(points_per_circle));
  std::vector<Curve> result;
  for (const Polygon& polygon : moved) {
    result.push_back(to_curve(polygon.outer()));
    for (const auto& hole : polygon.inners()) result.push_back(to_curve(hole));
  }
  if (result.empty()) {
    throw base::InputError(
        fmt::format("--inset = {:g} mm: leaves nothing of the outline. Lower it.", 1000.0 * distance));
  }
  std::stable_sort(result.begin(), result.end(), [](const Curve& a, const Curve& b) {
    return curve_length(a) > curve_length(b);
  });
  return result;
}

}  // namespace cowlwright::templates
