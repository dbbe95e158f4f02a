// SPDX-License-Identifier: GPL-3.0-or-later
//
// What was measured in one steady moment of flight: what temperatures and the network are calibrated on.
#pragma once

#include "geometry/base/air.h"
#include "geometry/base/study_file.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::readings {

struct Measured {
  double value = 0.0;    ///< SI
  double scatter = 0.0;  ///< standard deviation over the moment, same unit; 0: a single reading
};

/// Temperatures in K, order of the cylinders L1..Ln, R1..Rn front to rear; empty where none was measured, an
/// absent entry where a sensor is missing or was refused.
using PerCylinder = std::vector<std::optional<Measured>>;

struct Reading {
  std::string name;    ///< "reading_1"
  std::string source;  ///< as stated: who, when, which instrument
  double true_airspeed = 0.0;     ///< [m/s]
  base::AirState air;             ///< outside
  double incidence = 0.0;         ///< [rad]
  double shaft_power = 0.0;       ///< [W]
  double rotational_speed = 0.0;  ///< [rad/s]
  std::optional<double> fuel_flow;  ///< [kg/s]
  PerCylinder head_bottom;        ///< at the bottom of the head
  PerCylinder under_plug;         ///< under the spark plug
  PerCylinder barrel;
  std::optional<Measured> oil_hot;     ///< before the cooler [K]
  std::optional<Measured> oil_cooled;  ///< behind the cooler [K]
  std::optional<Measured> deck_pressure_difference;  ///< upper less lower [Pa]
};

/// Readings in the sections [reading_1] to [reading_9] of a study or of a file of readings. Complains of what
/// is missing or contradictory. Keys: see DEVELOPERS.md.
///
/// @param n_cylinders  that a list of temperatures must have.
std::vector<Reading> read_readings(const base::StudyFile& file,
                                   const base::Variant& variant,
                                   int n_cylinders,
                                   base::Complaints& complaints);

/// The names [reading_1] ... [reading_9].
std::vector<std::string> reading_section_names();

/// The same as text of such a file.
std::string readings_toml(const std::vector<Reading>& readings);

}  // namespace cowlwright::readings
