// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a mold is checked for. All limits are common practice, no source: a mold maker may know better.
#pragma once

#include "geometry/mold/extent.h"
#include "geometry/mold/parting.h"

#include <optional>

namespace cowlwright::mold {

inline constexpr double one_degree = 3.14159265358979323846 / 180.0;

struct Limits {
  double draft_warning = 2.0 * one_degree;  ///< [rad]
  double draft_error = 1.0 * one_degree;    ///< [rad]
  double wall_height = 0.020;  ///< low draft over less than this along the pull is a warning, not a fault [m]
  double least_area = 1e-4;    ///< of an undercut or a place of low draft; smaller ones are passed over [m²]
  double inside_radius = 0.003;   ///< of the mold's hollows [m]
  double outside_radius = 0.001;  ///< of the mold's edges [m]
  double flange_warning = 0.040;  ///< free room for a flange [m]
  double flange_error = 0.015;    ///< [m]
  double thickness = 0.001;       ///< of a closed part's section [m]
  double clearance = 0.025;       ///< from the skin to another body [m]
};

struct Options {
  MoldSide side = MoldSide::Outside;
  std::vector<Vec3> pulls;          ///< unit, at least one: the way each part of the mold is drawn off
  std::optional<SplitPlane> split;  ///< none: proposed, when there are two pulls or more
  Limits limits;
  LayUp lay_up;
  double radius_window = 0.001;  ///< of the curvature fit [m]
};

/// Another body the surface must keep clear of.
struct NearBody {
  std::string name;
  shape::Surface surface;
  double least = 0.0;  ///< [m]
  double skin =
      0.0;  ///< thickness of the part behind the surface, taken off where the body lies behind it [m]
  bool may_touch = false;  ///< modelled as standing on the surface, as baffles with their seals and the
                           ///< spinner: stated, not judged
};

}  // namespace cowlwright::mold
