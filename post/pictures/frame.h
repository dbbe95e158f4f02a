// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where the cameras stand: a box round the cowl and the places of its openings, from the manifest alone, so
// that all variants of a study can share them.
#pragma once

#include "geometry/base/manifest.h"
#include "geometry/base/vec3.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

struct Box {
  base::Vec3 low;
  base::Vec3 high;
};

/// Whether a point lies in the box; one on its faces does.
bool is_inside(const Box& box, const base::Vec3& point);

/// Places as the manifest tells them; none of them rounded.
struct Places3d {
  std::optional<base::Vec3> inlet_left;
  std::optional<base::Vec3> inlet_right;
  std::optional<base::Vec3> exit;
  std::optional<double> upper_deck;  ///< height of a level a third of the fins' depth above them [m]
  std::optional<double> lower_deck;  ///< the same below them [m]
};
Places3d places_of(const base::Manifest& manifest);

/// The frame of one picture series.
struct Frame {
  Box box;                      ///< what is shown [m]
  double length = 0.0;          ///< from the inlets to the exit [m]
  base::Vec3 exit;              ///< middle of the exit's close-up [m]
  double opening_height = 0.0;  ///< of the inlets [m]
  double opening_reach = 0.0;   ///< how far the inlets reach to the sides [m]
};

/// From the planes of inlets, passages and exit, rounded outwards to 5 cm; from `cowl`, the cowl's own
/// bounds, when the manifest has no openings (a closed reference).
/// @throws InputError  when there are neither.
Frame frame_of(const base::Manifest& manifest, const std::optional<Box>& cowl);

}  // namespace cowlwright::post
