// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/wrap.h"

#include "geometry/base/error.h"
#include "geometry/base/parallel.h"
#include "geometry/imported/alpha_wrap.h"
#include "geometry/imported/cross_shells.h"
#include "geometry/imported/holes.h"
#include "geometry/imported/orient.h"
#include "geometry/imported/side_normals.h"
#include "geometry/shape/triangle_tree.h"

#include <fmt/format.h>

#include <atomic>
#include <cmath>
#include <limits>

namespace cowlwright::imported {

namespace {

using base::Vec3;
using shape::Surface;

/// Share of points that may be misjudged beside needles and crossings, whose normals say little.
constexpr double stray_share = 1e-3;
constexpr double far = std::numeric_limits<double>::infinity();

void check(const Surface& surface, const WrapSettings& settings) {
  if (!(settings.tolerance >= 1e-4 && settings.tolerance <= 1.0)) {
    throw base::InputError(
        fmt::format("wrap: tolerance = {} mm: must be 0.1 to 1000 mm.", 1e3 * settings.tolerance));
  }
  if (!(settings.deviation_limit > 0.0))
    throw base::InputError(
        fmt::format("wrap: limit of deviation = {} mm: must be > 0 mm.", 1e3 * settings.deviation_limit));
  if (surface.triangles.empty()) throw base::InputError("wrap: the surface has no triangle. Check the file.");
  // A closed surface round a box needs about box area / alpha² triangles; memory is about 2 kB for each.
  constexpr double most_triangles = 2e7;
  const double n = 4.0 * surface_area(surface) / (settings.tolerance * settings.tolerance);
  if (!(n <= most_triangles)) {
    throw base::InputError(
        fmt::format("wrap: tolerance = {} mm: would give about {:.0f} million triangles, limit {:.0f} "
                    "million. Use a greater one.",
                    1e3 * settings.tolerance,
                    1e-6 * n,
                    1e-6 * most_triangles));
  }
}

/// Points of the wrap that lie inside the lidded body and not just under a lid.
std::size_t points_inside(const Surface& wrapped, const LiddedSurface& body, double alpha) {
  const shape::TriangleTree tree(body.surface);
  const SideNormals normals(body.surface);
  Surface lids{body.surface.points, {}, {}, {}};
  lids.triangles.assign(body.surface.triangles.begin() + static_cast<std::ptrdiff_t>(body.first_lid),
                        body.surface.triangles.end());
  const shape::TriangleTree lid_tree(lids);
  std::atomic<std::size_t> n{0};
  base::for_each_index(wrapped.points.size(), [&](std::size_t i) {
    const Vec3& p = wrapped.points[i];
    const shape::NearestPoint found = tree.nearest(p, far);
    if (normals.side(p, found) < 0.0 && std::isinf(lid_tree.nearest(p, alpha).distance)) ++n;
  });
  return n;
}

/// By how much lids may sag: a ball resting on a border sinks in by less than its radius.
double sag(const std::vector<Opening>& all, double alpha) {
  double sum = 0.0;
  for (const Opening& opening : all) sum += opening.area * std::min(alpha, 0.5 * opening.extent);
  return sum;
}

std::string opening_list(const std::vector<Opening>& all, double alpha) {
  std::string text;
  std::size_t n = 0, shown = 0;
  for (const Opening& opening : all) {
    if (!(opening.extent > alpha)) continue;
    ++n;
    if (++shown > 3) continue;
    text += fmt::format("{}{:.1f} mm across at FS {:.0f}, BL {:.0f}, WL {:.0f} mm",
                        shown > 1 ? "; " : "",
                        1e3 * opening.extent,
                        1e3 * opening.centre.x,
                        1e3 * opening.centre.y,
                        1e3 * opening.centre.z);
  }
  if (n > 3) text += fmt::format("; and {} more", n - 3);
  return text;
}

[[noreturn]] void refuse_entered(const Surface& surface, const WrappedSurface& result, std::size_t n_inside) {
  const std::vector<Opening> all = openings(surface);
  const double largest = all.empty() ? 0.0 : all.front().extent;
  throw base::ResultError(
      fmt::format("wrap: the wrap went in through an opening and lines the inside: {:.6f} m³ where the body "
                  "with lids over its "
                  "openings has {:.6f} m³, {} of {} points inside. Opening{} larger than the ball's radius "
                  "of {:.1f} mm: {}. Close "
                  "{} (--fill-holes \"{:.0f} mm\" would), or wrap with --shell when a thin shell round an "
                  "open sheet is wanted.",
                  result.after.volume,
                  result.before.volume,
                  n_inside,
                  result.after.n_points,
                  all.size() == 1 ? "" : "s",
                  1e3 * result.alpha,
                  opening_list(all, result.alpha),
                  all.size() == 1 ? "it" : "them",
                  std::ceil(1e3 * largest)));
}

}  // namespace

double wrap_alpha(double tolerance) {
  return tolerance;
}

double wrap_offset(double tolerance) {
  return 0.1 * tolerance;
}

WrappedSurface wrap(const Surface& surface, const WrapSettings& settings) {
  check(surface, settings);
  WrappedSurface result{.alpha = wrap_alpha(settings.tolerance), .offset = wrap_offset(settings.tolerance)};
  result.before = condition_of(surface);
  if (settings.accept_shell && result.before.is_closed()) {
    throw base::ResultError(
        "wrap: a shell was asked for, but the surface is closed and has no open sheet. Leave out --shell.");
  }
  // 1. Wrap.
  result.surface = alpha_wrap(surface, result.alpha, result.offset);
  turn_outward(result.surface);
  result.after = condition_of(result.surface);
  if (!result.after.is_closed())
    throw base::ResultError("wrap: the result is not closed. Try another tolerance, and report the file.");
  // 2. Body or shell.
  const LiddedSurface body = with_lids(surface);
  const std::size_t n_inside = points_inside(result.surface, body, result.alpha);
  const double least = result.before.volume - sag(openings(surface), result.alpha);
  const bool has_entered =
      static_cast<double>(n_inside) > stray_share * static_cast<double>(result.after.n_points) ||
      !(result.after.volume >= least);
  const bool is_thin = result.after.volume < 2.0 * 2.0 * result.offset * result.before.area;
  // A closed surface has no way in; what the wrap leaves out of it, the coverage below shows.
  if (!result.before.is_closed() && (has_entered || is_thin)) {
    if (!settings.accept_shell) refuse_entered(surface, result, n_inside);
    result.kind = WrapKind::Shell;
    result.thickness = 2.0 * result.after.volume / result.after.area;
  }
  // 3. Patches, deviation.
  result.surface.patch_names = surface.patch_names;
  std::fill(result.surface.patch.begin(), result.surface.patch.end(), std::uint16_t{0xffff});
  take_patches(result.surface, surface);
  result.deviation = deviation(result.surface, surface);
  result.coverage = coverage(surface, result.surface, sample_spacing(surface));
  result.broken_tolerance =
      tolerance_breach(result.deviation.figures, result.coverage, settings.deviation_limit);
  return result;
}

}  // namespace cowlwright::imported
