// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/clearance.h"

#include "geometry/base/error.h"
#include "geometry/base/nearest_on_triangle.h"
#include "geometry/base/parallel.h"

#include <fmt/format.h>

#include <atomic>
#include <cmath>
#include <limits>
#include <mutex>

namespace cowlwright::mold {

Clearance clearance_to(const Sheet& sheet, const Tree& tree, const shape::Surface& body) {
  if (body.triangles.empty()) throw base::InputError("second surface: no triangles: at least one is needed.");
  for (const Vec3& p : body.points) {
    if (!std::isfinite(p.x + p.y + p.z)) {
      throw base::InputError(
          fmt::format("second surface: point ({}, {}, {}): must be finite numbers. See `cowlwright inspect`.",
                      p.x,
                      p.y,
                      p.z));
    }
  }
  std::atomic<double> bound{std::numeric_limits<double>::infinity()};
  std::mutex mutex;
  Approach best;
  best.distance = bound;
  base::for_each_index(body.triangles.size(), [&](std::size_t i) {
    const auto& t = body.triangles[i];
    const Approach found = tree.nearest({body.points[t[0]], body.points[t[1]], body.points[t[2]]}, bound);
    if (found.face < 0) return;
    const std::lock_guard lock(mutex);
    if (!(found.distance < best.distance)) return;
    best = found;
    bound = found.distance;
  });
  // At an edge or a corner one face alone does not tell the side: all that meet there do.
  constexpr double same_place = 1e-7;  // [m]
  Vec3 normal;
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    const Vec3 near =
        base::nearest_on_triangle(sheet.corner(f, 0), sheet.corner(f, 1), sheet.corner(f, 2), best.here)
            .point;
    if (norm(near - best.here) < same_place) normal = normal + sheet.normal[f];
  }
  return {best.distance, best.here, best.there, dot(best.there - best.here, normal) > 0.0};
}

}  // namespace cowlwright::mold
