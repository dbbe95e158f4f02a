// SPDX-License-Identifier: GPL-3.0-or-later
//
// The propeller: blade, speed, power and the sense it turns.
#pragma once

#include "geometry/base/manifest.h"
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

/// One row of a section's polar.
struct PolarPoint {
  double angle_of_attack = 0.0;  ///< to the face that blade angles are measured from [rad]
  double lift = 0.0;             ///< coefficient
  double drag = 0.0;             ///< coefficient, > 0
};

/// ToPower: the pitch is turned as a whole until the blades absorb the shaft power. Fixed: the pitch is taken
/// as given, whatever power that absorbs.
using base::PitchMode;

struct PropellerSpec {
  bool present = true;  ///< false: `[propeller] kind = "none"`
  /// `kind = "uniform_disk"`: the blades' thrust in free air spread evenly over the disk, without swirl.
  bool is_uniform = false;
  int n_blades = 2;
  double diameter = 1.80;      ///< [m]
  double hub_diameter = 0.36;  ///< inner edge of the blades [m], >= spinner diameter
  Rotation rotation = Rotation::Clockwise;
  double rotational_speed = 0.0;  ///< [rad/s]
  double shaft_power = 0.0;       ///< [W]
  PitchMode pitch_mode = PitchMode::ToPower;
  std::vector<BladeStation> blade;  ///< rising in radius; the default family when the file gives none
  std::vector<PolarPoint> polar;    ///< rising in angle, of all sections; empty: the default section
};

/// (power - shaft_power) / shaft_power beyond which a fixed pitch and the stated engine do not go together.
/// One degree of blade setting, to which power is known (NACA TR 640), is 12 % of it in the working range.
inline constexpr double noticeable_mismatch = 0.10;

/// An invented two-blade family for light aircraft, from 0.2 R to the tip; taken when a study gives no blade.
std::vector<BladeStation> default_blade();

/// Reads [propeller]; `engine` gives shaft_power and rotational_speed. Does not finish() either reader.
PropellerSpec read_propeller_spec(base::SectionReader& propeller,
                                  base::SectionReader& engine,
                                  base::Complaints& complaints);

}  // namespace cowlwright::propeller
