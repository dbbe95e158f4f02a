// SPDX-License-Identifier: GPL-3.0-or-later
//
// What solved cases say about the parts of the air's way: written by post, read by cases/network. One JSON
// file for the cases of a study.
#pragma once

#include "geometry/base/manifest.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::base {

struct SolvedInlet {
  Side side = Side::Left;
  double area = 0.0;                  ///< throat, as meshed [m²]
  double mass_flow = 0.0;             ///< [kg/s]
  double velocity_ratio = 0.0;        ///< 0 at rest
  double total_pressure_ahead = 0.0;  ///< gauge, mean over the survey disc ahead [Pa]
  double deck_pressure = 0.0;         ///< static, gauge, of this side's half [Pa]
  double loss = 0.0;                  ///< (total_pressure_ahead - deck_pressure) / (0.5 rho v_throat²)
  double recovery = 0.0;              ///< total pressure in this half over the reference pressure
  double mass_flow_band = 0.0;        ///< published half width, relative; 0: not known
  double loss_band = 0.0;             ///< likewise of `loss`, of what its parts have
};

struct SolvedPassage {
  std::string name;  ///< "l1", "oil_cooler", "leak_rear_baffle_left"
  PassageKind kind = PassageKind::Core;
  double area = 0.0;            ///< [m²]
  double viscous = 0.0;         ///< law put into the solver, a [1/m]
  double inertial = 0.0;        ///< b [-]
  double mass_flow = 0.0;       ///< [kg/s]
  double heat = 0.0;            ///< [W]
  double pressure_drop = 0.0;   ///< from deck to deck, of its side [Pa]
  double effective_area = 0.0;  ///< of a leak as computed, m / sqrt(2 rho dp) [m²]; 0 for the others
  bool joins_decks = true;      ///< false: a leak in the centre wall, from left to right
  double mass_flow_band = 0.0;  ///< published half width, relative; 0: not known
};

struct SolvedExit {
  double area = 0.0;                  ///< as meshed [m²]
  double mass_flow = 0.0;             ///< [kg/s]
  double density = 0.0;               ///< mean on the plane [kg/m³]
  double pressure = 0.0;              ///< mean static, gauge [Pa]
  double lower_deck_pressure = 0.0;   ///< gauge [Pa]
  double discharge = 0.0;             ///< m / (A sqrt(2 rho (p_lower - p_exit)))
  double pressure_coefficient = 0.0;  ///< pressure / (q + disk loading)
  double temperature_rise = 0.0;      ///< mixed, over the inlets' [K]
  double mass_flow_band = 0.0;        ///< published half width, relative; 0: not known
  double pressure_band = 0.0;         ///< likewise of `pressure_coefficient`, absolute
};

struct SolvedCase {
  std::string folder;   ///< name of the case folder
  std::string variant;  ///< of the study
  std::string grid;     ///< level
  std::size_t n_cells = 0;
  std::string status;              ///< "settled", "oscillating", "not settled"
  std::vector<std::string> flags;  ///< what forbids to use it as it stands
  std::string discretisation;      ///< what is known of the error of the grid
  FlightRecord flight;
  std::optional<PropellerRecord> propeller;
  double disk_loading = 0.0;              ///< predicted thrust over disk area [Pa]; 0 without a propeller
  double deck_pressure_difference = 0.0;  ///< [Pa]
  double deck_pressure_band = 0.0;        ///< published half width, same unit; 0: not known
  bool bands_hold_grids = false;          ///< the published bands hold the grid's error too
  std::vector<SolvedInlet> inlets;        ///< left, right
  std::vector<SolvedPassage> passages;
  SolvedExit exit;
};

struct SolvedFlow {
  std::filesystem::path file;  ///< that it was read from; not written
  std::string study_file;      ///< name
  std::string study_text;      ///< whole, so that every variant's dimensions are known
  std::string study_hash;
  std::vector<SolvedCase> cases;      ///< at least one
  std::vector<std::string> left_out;  ///< cases that could not be handed over, each with the reason
};

inline constexpr const char* solved_flow_file_name = "solved_flow.json";

std::string solved_flow_json(const SolvedFlow& flow);

/// @throws InputError  naming file and key when something is missing, not finite, of another version, or the
///                      study's text is not the one the cases were made from.
SolvedFlow read_solved_flow(const std::filesystem::path& file);

}  // namespace cowlwright::base
