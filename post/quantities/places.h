// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/quantities: finding planes and zones by what they are for, and means over several of them.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/field_means.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

/// Positions in the manifest's list of planes or zones.
using Places = std::vector<std::size_t>;

/// Factor from a fraction to the vocabulary's shares.
inline constexpr double percent = 100.0;

/// Planes of a role, of one side or of all.
Places planes_of(const base::Manifest& manifest,
                 base::PlaneRole role,
                 std::optional<base::Side> side = std::nullopt);

/// Zones of a role, of one side or of all.
Places zones_of(const base::Manifest& manifest,
                base::ZoneRole role,
                std::optional<base::Side> side = std::nullopt);

/// "left" or "right".
std::string side_name(base::Side side);

/// Volume-weighted mean of `value(place)` over some zones.
template <typename Value>
double zone_mean(const std::vector<ZoneMean>& zones, const Places& places, Value value) {
  double sum = 0.0;
  double volume = 0.0;
  for (const std::size_t place : places) {
    sum += zones[place].volume * value(place);
    volume += zones[place].volume;
  }
  return sum / volume;
}

}  // namespace cowlwright::post
