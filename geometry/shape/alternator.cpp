// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cylinder and foot of the alternator.
#include "geometry/shape/alternator.h"

#include "geometry/shape/boolean.h"
#include "geometry/shape/builder.h"

#include <algorithm>
#include <array>
#include <numbers>

namespace cowlwright::shape {

bool alternator_sinks_into_ramp(const ShapeSpec& spec) {
  const AlternatorSpec& a = spec.alternator;
  return deck_floor_at(spec, layout(spec), a.station + a.length) > a.height - 0.5 * a.diameter;
}

Surface alternator_body(const ShapeSpec& spec) {
  constexpr int n_around = 88;
  constexpr double root = 0.010;  // of the foot below the lowest floor under it [m]
  const AlternatorSpec& a = spec.alternator;
  const double y = sign_of(*a.side) * a.distance;
  const double radius = 0.5 * a.diameter;
  const std::array rings{Ring{a.station, radius}, Ring{a.station + a.length, radius}};
  Surface cylinder = revolved_surface(y, a.height, rings, std::array{Patch::Alternator}, n_around);
  if (alternator_sinks_into_ramp(spec)) return cylinder;

  const double front = a.station + 0.1 * a.length;
  const double floor = deck_floor_at(spec, layout(spec), front);
  const double half = 0.5 * radius;
  Solid body(cylinder);
  body.unite(Solid(box_surface({front, y - half, floor - root},
                               {a.station + 0.5 * a.length, y + half, a.height},
                               Patch::Alternator)),
             "join alternator and foot");
  return body.to_surface(patch_names());
}

double alternator_volume_behind(const ShapeSpec& spec, base::Side side, double station) {
  const AlternatorSpec& a = spec.alternator;
  if (a.side != side) return 0.0;
  const double length = std::clamp(a.station + a.length - station, 0.0, a.length);
  return 0.25 * std::numbers::pi * a.diameter * a.diameter * length;
}

}  // namespace cowlwright::shape
