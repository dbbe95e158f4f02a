// SPDX-License-Identifier: GPL-3.0-or-later
//
// The propeller: blade, speed, power and the sense it turns.
#pragma once

#include "geometry/base/study_file.h"

#include <vector>

namespace cowlwright::propeller {

enum class Rotation { Clockwise, Anticlockwise };  ///< as the pilot sees it

/// One blade station.
struct BladeStation {
  double radius_ratio = 0.0;  ///< r/R
  double chord_ratio = 0.0;   ///< c/D
  double pitch_ratio = 0.0;   ///< geometric pitch p/D at zero collective
};

struct PropellerSpec {
  bool present = true;  ///< false: `[propeller] kind = "none"`
  /// `kind = "uniform_disk"`: the blades' thrust in free air spread evenly over the disk, without swirl.
  bool is_uniform = false;
  int n_blades = 2;
  double diameter = 1.80;      ///< [m]
  double hub_diameter = 0.36;  ///< inner edge of the blades [m], >= spinner diameter
  Rotation rotation = Rotation::Clockwise;
  double rotational_speed = 0.0;    ///< [rad/s]
  double shaft_power = 0.0;         ///< [W]
  std::vector<BladeStation> blade;  ///< rising in radius; the default family when the file gives none
};

/// An invented two-blade family for light aircraft, from 0.2 R to the tip; taken when a study gives no blade.
std::vector<BladeStation> default_blade();

/// Reads [propeller]; `engine` gives shaft_power and rotational_speed. Does not finish() either reader.
PropellerSpec read_propeller_spec(base::SectionReader& propeller,
                                  base::SectionReader& engine,
                                  base::Complaints& complaints);

}  // namespace cowlwright::propeller
