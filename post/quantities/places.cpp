// SPDX-License-Identifier: GPL-3.0-or-later
//
// Looking up planes and zones.
#include "post/quantities/places.h"

namespace cowlwright::post {

using base::PlaneRole;
using base::Side;
using base::ZoneRole;

Places planes_of(const base::Manifest& manifest, PlaneRole role, std::optional<Side> side) {
  Places places;
  for (std::size_t i = 0; i < manifest.planes.size(); ++i) {
    if (manifest.planes[i].role == role && (!side || manifest.planes[i].side == *side)) {
      places.push_back(i);
    }
  }
  return places;
}

Places zones_of(const base::Manifest& manifest, ZoneRole role, std::optional<Side> side) {
  Places places;
  for (std::size_t i = 0; i < manifest.zones.size(); ++i) {
    if (manifest.zones[i].role == role && (!side || manifest.zones[i].side == *side)) {
      places.push_back(i);
    }
  }
  return places;
}

std::string side_name(Side side) {
  return side == Side::Left ? "left" : "right";
}

}  // namespace cowlwright::post
