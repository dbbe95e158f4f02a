// SPDX-License-Identifier: GPL-3.0-or-later
//
// Developments. The lip's profile is moved along the trailing edge without turning, so its rulings are
// parallel and it unrolls exactly; a duct on a scaled outline is a cone and unrolls exactly as well.
#include "geometry/templates/flat_patterns.h"

#include "geometry/base/error.h"
#include "geometry/shape/layout.h"
#include "geometry/shape/opening.h"
#include "geometry/shape/outline.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace cowlwright::templates {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double mm = 1000.0;   // per m
constexpr int n_contour = 960;  // points of an opening: its polygon is short by 2e-6
constexpr double most_stretch = 0.01;

void require(bool is_met, const char* option, double value, const char* rule) {
  if (!is_met) throw base::InputError(fmt::format("{} = {:g} mm: {}.", option, mm * value, rule));
}

std::vector<Point2> moved(const std::vector<shape::ContourPoint>& edge, double offset) {
  std::vector<Point2> points;
  for (const shape::ContourPoint& p : edge) {
    points.push_back({p.y + offset * p.normal_y, p.z + offset * p.normal_z});
  }
  return points;
}

/// The opening's edge from its foot on, so that a seam lies there.
std::vector<Point2> contour_from_foot(const shape::InletSpec& inlet) {
  std::vector<Point2> points = moved(shape::opening_contour(inlet, n_contour), 0.0);
  const auto foot = std::min_element(points.begin(), points.end(), [](const Point2& a, const Point2& b) {
    return std::pair(a[1], std::abs(a[0])) < std::pair(b[1], std::abs(b[0]));
  });
  std::rotate(points.begin(), foot, points.end());
  return points;
}

double gap(const Point2& a, const Point2& b) {
  return std::hypot(b[0] - a[0], b[1] - a[1]);
}

/// One part of the ring between two points of its contour, laid flat, its middle line upward.
struct Gore {
  std::vector<double> rise;
  std::vector<double> half_width;
  double edge = 0.0;
};

Gore gore(const std::vector<std::vector<Point2>>& rows,
          const std::vector<double>& rise,
          std::size_t from,
          std::size_t to) {
  Gore flat;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    double width = 0.0;
    for (std::size_t k = from; k < to; ++k)
      width += gap(rows[i][k % rows[i].size()], rows[i][(k + 1) % rows[i].size()]);
    flat.rise.push_back(rise[i]);
    flat.half_width.push_back(0.5 * width);
    if (i > 0) {
      flat.edge += std::hypot(rise[i] - rise[i - 1], flat.half_width[i] - flat.half_width[i - 1]);
    }
  }
  return flat;
}

Curve gore_outline(const Gore& flat, double middle) {
  Curve curve{{}, true};
  for (std::size_t i = 0; i < flat.rise.size(); ++i) {
    curve.points.push_back({middle + flat.half_width[i], flat.rise[i]});
  }
  for (std::size_t i = flat.rise.size(); i-- > 0;) {
    curve.points.push_back({middle - flat.half_width[i], flat.rise[i]});
  }
  return curve;
}

/// Points of a contour where gores end, the first again at the end, counted on past the contour's number of
/// points. Straight parts are gores of their own; curved ones are parted by equal turns of at most
/// `most_turn`.
std::vector<std::size_t> gore_ends(const std::vector<shape::ContourPoint>& edge, double most_turn) {
  constexpr double straight = 1e-9;  // [rad]
  const std::size_t n = edge.size();
  const auto turn = [&](std::size_t k) {
    const shape::ContourPoint& a = edge[k % n];
    const shape::ContourPoint& b = edge[(k + 1) % n];
    return std::atan2(a.normal_y * b.normal_z - a.normal_z * b.normal_y,
                      a.normal_y * b.normal_y + a.normal_z * b.normal_z);
  };
  const auto is_straight = [&](std::size_t k) { return std::abs(turn(k)) < straight; };
  std::size_t start = 0;  // of a curved part, where there is a straight one
  while (start < n && !(is_straight(start + n - 1) && !is_straight(start))) ++start;
  start %= n;
  std::vector<std::size_t> ends{start};
  for (std::size_t from = start; from < start + n;) {
    std::size_t to = from;
    double whole = 0.0;
    while (to < start + n && is_straight(to) == is_straight(from)) whole += turn(to++);
    if (!is_straight(from)) {
      const double parts = std::ceil(whole / most_turn - 1e-6);  // the share is rounding
      double turned = 0.0;
      double next = 1.0;
      for (std::size_t k = from; k + 1 < to; ++k) {
        turned += turn(k);
        if (turned < whole * next / parts - straight) continue;
        ends.push_back(k + 1);
        next += 1.0;
      }
    }
    if (ends.back() != to) ends.push_back(to);
    from = to;
  }
  return ends;
}

Gores gores_of(const shape::InletSpec& inlet, double most_turn) {
  constexpr int n_rows = 24;
  constexpr double between = 0.004;  // gores side by side [m]
  const std::vector<shape::ContourPoint> edge = shape::opening_contour(inlet, n_contour);
  std::vector<std::vector<Point2>> rows;
  std::vector<double> rise;
  for (int i = 0; i <= n_rows; ++i) {
    const double t = 0.5 * pi * i / n_rows;
    rows.push_back(moved(edge, inlet.lip_radius * (1.0 - std::cos(t))));
    rise.push_back(inlet.lip_radius * t);
  }
  Gores gores{0, rise.back(), 0.0, {}};
  const std::vector<std::size_t> ends = gore_ends(edge, most_turn);
  double x = 0.0;
  for (std::size_t g = 0; g + 1 < ends.size(); ++g) {
    const Gore flat = gore(rows, rise, ends[g], ends[g + 1]);
    gores.stretch = std::max(gores.stretch, flat.edge / gores.height - 1.0);
    gores.outlines.push_back(gore_outline(flat, x + flat.half_width.back()));
    x += 2.0 * flat.half_width.back() + between;
  }
  gores.n = static_cast<int>(gores.outlines.size());
  return gores;
}

/// Mean height of the skin's middle at the trailing edge, where the lip's plate is hung.
double edge_height(const shape::ShapeSpec& spec, const shape::Outline& outline, double y) {
  const double edge = shape::layout(spec).trailing_edge;
  return 0.5 * (outline.lower_z(edge, y, 0.0) + outline.lower_z(edge, y, spec.cowl.skin_thickness));
}

/// The trailing edge unrolled for plates that leave it at an angle: across the plate's rulings and along
/// them.
struct UnrolledEdge {
  std::vector<double> across;  ///< 0 in the plane of symmetry
  std::vector<double> along;   ///< of the bend line, >= 0
};

UnrolledEdge unroll_edge(const shape::ShapeSpec& spec, int n_steps) {
  const shape::Outline outline(spec);
  const double c = std::cos(spec.exit.lip_angle);
  const double s = std::sin(spec.exit.lip_angle);
  UnrolledEdge edge;
  double last_y = 0.0;
  double last_z = 0.0;
  for (int i = 0; i <= n_steps; ++i) {
    const double y = spec.exit.width * (static_cast<double>(i) / n_steps - 0.5);
    const double z = edge_height(spec, outline, y);
    const double step = i > 0 ? std::hypot(y - last_y, c * (z - last_z)) : 0.0;
    edge.across.push_back(i > 0 ? edge.across.back() + step : 0.0);
    edge.along.push_back(-s * z);
    last_y = y;
    last_z = z;
  }
  const double half = 0.5 * edge.across.back();
  const double nearest = *std::min_element(edge.along.begin(), edge.along.end());
  for (double& a : edge.across) a -= half;
  for (double& a : edge.along) a -= nearest;
  return edge;
}

/// Indices where tabs end: between them the bend line stays within `tolerance` of a chord.
std::vector<std::size_t> tab_ends(const UnrolledEdge& edge, double tolerance) {
  std::vector<std::size_t> ends{0};
  const auto bow = [&](std::size_t from, std::size_t to) {
    double worst = 0.0;
    for (std::size_t k = from; k <= to; ++k) {
      const double t = (edge.across[k] - edge.across[from]) / (edge.across[to] - edge.across[from]);
      worst = std::max(worst, std::abs(edge.along[k] - std::lerp(edge.along[from], edge.along[to], t)));
    }
    return worst;
  };
  while (ends.back() + 1 < edge.across.size()) {
    std::size_t to = ends.back() + 1;
    while (to + 1 < edge.across.size() && bow(ends.back(), to + 1) <= tolerance) ++to;
    ends.push_back(to);
  }
  return ends;
}

}  // namespace

BentPlate bend_flat(const Plate& plate, double lip_length, double angle) {
  require(plate.thickness > 0.0, "--sheet", plate.thickness, "must be > 0 mm");
  require(plate.bend_radius > 0.0, "--bend-radius", plate.bend_radius, "must be > 0 mm");
  if (!(plate.k_factor >= 0.0 && plate.k_factor <= 0.5)) {
    throw base::InputError(fmt::format("--k-factor = {:g}: must be 0 to 0.5.", plate.k_factor));
  }
  BentPlate bent;
  bent.setback = (plate.bend_radius + plate.thickness) * std::tan(0.5 * angle);
  bent.allowance = angle * (plate.bend_radius + plate.k_factor * plate.thickness);
  const auto need_leg = [&](const char* what, double leg) {
    if (!(leg > bent.setback)) {
      throw base::InputError(
          fmt::format("{} = {:g} mm: must be > {:.1f} mm, what the bend takes of it. Lower "
                      "--bend-radius or lengthen it.",
                      what,
                      mm * leg,
                      mm * bent.setback));
    }
  };
  need_leg("--flange", plate.flange);
  need_leg("[exit] lip_length", lip_length);
  bent.developed = plate.flange + lip_length - 2.0 * bent.setback + bent.allowance;
  return bent;
}

Gores ring_gores(const shape::InletSpec& inlet) {
  Gores gores;
  for (const int n : {8, 12, 16, 24, 32, 48}) {  // of a whole turn
    gores = gores_of(inlet, 2.0 * pi / n);
    if (gores.stretch < most_stretch) break;
  }
  return gores;
}

std::vector<Curve> duct_development(const shape::InletSpec& inlet, double throat_length) {
  std::vector<Curve> parts;
  const std::vector<Point2> edge = contour_from_foot(inlet);
  const std::size_t n = edge.size();
  double top = 0.0;
  if (throat_length > 0.0) {
    double around = 0.0;
    for (std::size_t k = 0; k < n; ++k) around += gap(edge[k], edge[(k + 1) % n]);
    parts.push_back({{{0.0, 0.0}, {around, 0.0}, {around, throat_length}, {0.0, throat_length}}, true});
    top = throat_length + 0.010;
  }
  const double end_scale = std::sqrt(inlet.diffuser_area_ratio);
  if (!(inlet.diffuser_length > 0.0)) return parts;
  if (!(end_scale > 1.0)) {  // it does not widen: a cylinder
    const double around = parts.empty() ? shape::opening_perimeter(inlet) : parts.front().points[1][0];
    const double high = top + inlet.diffuser_length;
    parts.push_back({{{0.0, top}, {around, top}, {around, high}, {0.0, high}}, true});
    return parts;
  }
  // The cone's tip lies on the axis, ahead of the throat; distances from it are true lengths.
  const double tip = inlet.diffuser_length / (end_scale - 1.0);
  std::vector<Point2> inner;
  std::vector<Point2> outer;
  double turn = 0.0;
  for (std::size_t k = 0; k <= n; ++k) {
    const Point2& p = edge[k % n];
    const double r = std::hypot(p[0], p[1], tip);
    if (k > 0) {
      const Point2& q = edge[k - 1];
      const double s = std::hypot(q[0], q[1], tip);
      const double chord = gap(p, q);
      turn += std::acos(std::clamp((r * r + s * s - chord * chord) / (2.0 * r * s), -1.0, 1.0));
    }
    inner.push_back({r * std::cos(turn), r * std::sin(turn)});
    outer.push_back({end_scale * inner.back()[0], end_scale * inner.back()[1]});
  }
  Curve fan{inner, true};
  fan.points.insert(fan.points.end(), outer.rbegin(), outer.rend());
  double left = fan.points.front()[0];
  double low = fan.points.front()[1];
  for (const Point2& p : fan.points) {
    left = std::min(left, p[0]);
    low = std::min(low, p[1]);
  }
  for (Point2& p : fan.points) p = {p[0] - left, p[1] - low + top};
  parts.push_back(std::move(fan));
  return parts;
}

LipPattern lip_pattern(const shape::ShapeSpec& spec, const Plate& plate) {
  constexpr int n_steps = 200;
  constexpr double straight_within = 0.0005;  // of a tab's bend: what a hand brake holds, no source [m]
  LipPattern pattern;
  pattern.bend = bend_flat(plate, spec.exit.lip_length, spec.exit.lip_angle);
  const UnrolledEdge edge = unroll_edge(spec, n_steps);
  // Along the plate from the bend's beginning: the flange lies at negative values, the lip behind the bend.
  const double flange = plate.flange - pattern.bend.setback;
  const double tip = pattern.bend.allowance + spec.exit.lip_length - pattern.bend.setback;
  const std::size_t n = edge.across.size();
  const auto row = [&](double run) {
    Curve curve;
    for (std::size_t k = 0; k < n; ++k) curve.points.push_back({edge.across[k], -edge.along[k] - run});
    return curve;
  };
  pattern.outline = row(-flange);
  const Curve end = row(tip);
  pattern.outline.points.insert(pattern.outline.points.end(), end.points.rbegin(), end.points.rend());
  pattern.outline.is_closed = true;
  if (spec.exit.lip_angle > 0.0) pattern.bends = {row(0.0), row(pattern.bend.allowance)};
  pattern.bow = *std::max_element(edge.along.begin(), edge.along.end());
  // A tab's sides lean against its bend by the bend line's slope, and so they do on the skin.
  const auto lean = [&](std::size_t k) {
    const double rise = edge.along[k + 1] - edge.along[k];
    return rise / std::hypot(rise, edge.across[k + 1] - edge.across[k]);
  };
  pattern.tab_spread = flange * (lean(0) - lean(n - 2));
  const std::vector<std::size_t> ends = tab_ends(edge, straight_within);
  for (std::size_t i = 1; i + 1 < ends.size(); ++i) {
    const Point2 foot{edge.across[ends[i]], -edge.along[ends[i]]};
    pattern.slits.push_back({{foot, {foot[0], foot[1] + flange}}, false});
  }
  return pattern;
}

}  // namespace cowlwright::templates
