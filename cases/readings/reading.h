// SPDX-License-Identifier: GPL-3.0-or-later
//
// What was measured in one steady moment of flight: what temperatures and the network are calibrated on.
#pragma once

#include "geometry/base/air.h"
#include "geometry/base/study_file.h"

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::readings {

struct Measured {
  double value = 0.0;    ///< SI
  double scatter = 0.0;  ///< standard deviation over the moment, same unit; 0: a single reading

  bool operator==(const Measured&) const = default;
};

/// Temperatures in K, order of the cylinders L1..Ln, R1..Rn front to rear; empty where none was measured, an
/// absent entry where a sensor is missing or was refused.
using PerCylinder = std::vector<std::optional<Measured>>;

struct Reading {
  std::string name;                 ///< "reading_1"
  std::string source;               ///< as stated: who, when, which instrument
  double true_airspeed = 0.0;       ///< [m/s]
  base::AirState air;               ///< outside
  double incidence = 0.0;           ///< [rad]
  double shaft_power = 0.0;         ///< [W]
  double rotational_speed = 0.0;    ///< [rad/s]
  std::optional<double> fuel_flow;  ///< [kg/s]
  PerCylinder head_bottom;          ///< at the bottom of the head
  PerCylinder under_plug;           ///< under the spark plug
  PerCylinder barrel;
  std::optional<Measured> oil_hot;                   ///< before the cooler [K]
  std::optional<Measured> oil_cooled;                ///< behind the cooler [K]
  std::optional<Measured> deck_pressure_difference;  ///< upper less lower [Pa]
  std::optional<Measured> upper_deck_pressure;       ///< over the free stream's static pressure [Pa]
  std::optional<Measured> lower_deck_pressure;       ///< the same
};

/// Whether it says something of the pressures in the decks.
inline bool has_deck_pressures(const Reading& reading) {
  return reading.deck_pressure_difference || (reading.upper_deck_pressure && reading.lower_deck_pressure);
}

/// Readings in the sections [reading_1] to [reading_9] of a study, or of the file that its `[readings] file`
/// names (relative to the study). Complains of what is missing or contradictory. The keys stand in the
/// README.
///
/// @param n_cylinders  of the engine; `cylinders` says which of them the values of a list belong to.
std::vector<Reading> read_readings(const base::StudyFile& file,
                                   const base::Variant& variant,
                                   int n_cylinders,
                                   base::Complaints& complaints);

/// The same from a file of readings alone, without a study. @throws InputError with all complaints.
std::vector<Reading> read_readings_file(const std::filesystem::path& file, int n_cylinders);

/// "reading_1" ... "reading_9" and "readings".
std::span<const std::string_view> reading_section_names();

/// The same as text of such a file: every number exactly, in SI, with practical units in a comment.
/// @param heading  lines of comment at its head, without "#".
std::string readings_toml(const std::vector<Reading>& readings, const std::vector<std::string>& heading = {});

}  // namespace cowlwright::readings
