// SPDX-License-Identifier: GPL-3.0-or-later
//
// A box round the cowl.
#include "post/pictures/frame.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::post {

namespace {

constexpr double grid = 0.05;  // [m]

double rounded_down(double value) {
  return grid * std::floor(value / grid + 1e-6);
}
double rounded_up(double value) {
  return grid * std::ceil(value / grid - 1e-6);
}
double rounded(double value) {
  return grid * std::round(value / grid);
}

Frame frame_of_cowl(const Box& cowl) {
  const double length = rounded_up(cowl.high.x - cowl.low.x);
  const double margin = 0.35 * length;
  Frame frame;
  frame.length = length;
  frame.box.low = {rounded_down(cowl.low.x - margin),
                   rounded_down(cowl.low.y - margin),
                   rounded_down(cowl.low.z - margin)};
  frame.box.high = {
      rounded_up(cowl.high.x + margin), rounded_up(cowl.high.y + margin), rounded_up(cowl.high.z + margin)};
  frame.exit = {rounded(cowl.high.x), 0.0, rounded(cowl.low.z)};
  frame.opening_height = rounded(0.5 * (cowl.low.z + cowl.high.z));
  return frame;
}

}  // namespace

bool is_inside(const Box& box, const base::Vec3& point) {
  return point.x >= box.low.x && point.x <= box.high.x && point.y >= box.low.y && point.y <= box.high.y &&
         point.z >= box.low.z && point.z <= box.high.z;
}

Places3d places_of(const base::Manifest& manifest) {
  Places3d places;
  for (const base::PlaneRecord& plane : manifest.planes) {
    if (plane.role == base::PlaneRole::Inlet) {
      (plane.side == base::Side::Left ? places.inlet_left : places.inlet_right) = plane.origin;
    } else if (plane.role == base::PlaneRole::Exit) {
      places.exit = plane.origin;
    }
  }
  for (const base::PassageRecord& passage : manifest.passages) {
    const auto plane = std::find_if(manifest.planes.begin(), manifest.planes.end(), [&](const auto& record) {
      return record.name == passage.plane;
    });
    if (passage.kind != base::PassageKind::Core || plane == manifest.planes.end()) {
      continue;
    }
    const double reach = (0.5 + 1.0 / 3.0) * passage.depth;
    places.upper_deck = std::max(places.upper_deck.value_or(-1e9), plane->origin.z + reach);
    places.lower_deck = std::min(places.lower_deck.value_or(1e9), plane->origin.z - reach);
  }
  return places;
}

Frame frame_of(const base::Manifest& manifest, const std::optional<Box>& cowl) {
  const Places3d places = places_of(manifest);
  if (!places.inlet_left || !places.inlet_right || !places.exit) {
    if (!cowl) {
      throw base::InputError(fmt::format(
          "manifest.json of {}: no inlets or no exit, and no patch cowl: there is nothing to point a "
          "camera at. Prepare the case again.",
          manifest.variant));
    }
    return frame_of_cowl(*cowl);
  }
  const double nose = std::min(places.inlet_left->x, places.inlet_right->x);
  double half_width = 0.0;
  for (const base::PlaneRecord& plane : manifest.planes) {
    half_width = std::max(half_width, std::abs(plane.origin.y) + plane.radius);
  }
  const double height = 0.5 * (places.inlet_left->z + places.inlet_right->z);
  Frame frame;
  frame.length = rounded(places.exit->x - nose);
  frame.opening_height = rounded(height);
  for (const base::PlaneRecord& plane : manifest.planes) {
    if (plane.role == base::PlaneRole::Inlet) {
      frame.opening_reach =
          std::max(frame.opening_reach, rounded_up(std::abs(plane.origin.y) + plane.radius));
    }
  }
  frame.exit = {rounded(places.exit->x), 0.0, rounded(places.exit->z)};
  const double side = rounded_up(half_width + 0.25 * frame.length);
  frame.box.low = {
      rounded_down(nose - 0.45 * frame.length), -side, rounded_down(places.exit->z - 0.25 * frame.length)};
  frame.box.high = {
      rounded_up(places.exit->x + 0.5 * frame.length), side, rounded_up(height + 0.45 * frame.length)};
  return frame;
}

}  // namespace cowlwright::post
