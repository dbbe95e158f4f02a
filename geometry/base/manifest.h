// SPDX-License-Identifier: GPL-3.0-or-later
//
// The manifest: one JSON file in every case folder. It says what the case is and where its results are, so
// that the postprocessor needs nothing but the case folder itself. Written by cases/foam, read by post.
#pragma once

#include "geometry/base/study_file.h"
#include "geometry/base/vec3.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::base {

enum class Side { Left, Right, Centre };  ///< the pilot's left and right

/// Outlet: the face by which air leaves a core or the oil cooler.
enum class PlaneRole { Inlet, Core, Cooler, Leak, Outlet, Exit };

/// A surface the flow passes; a faceZone of the same name in the mesh.
struct PlaneRecord {
  std::string name;  ///< "inlet_left", "core_l1", "exit"; also the faceZone's name
  PlaneRole role = PlaneRole::Inlet;
  Side side = Side::Centre;
  Vec3 origin;          ///< a point on the plane, inside the passage [m]
  Vec3 normal;          ///< unit, along the intended flow (in at inlets, down through cores, out at the exit)
  double area = 0.0;    ///< of the passage where the plane cuts it, from the geometry [m²]
  double radius = 0.0;  ///< of a sphere round `origin` that holds the whole section [m]
};

enum class ZoneRole { UpperDeck, LowerDeck, Core, Cooler, Leak, PropellerDisk };

/// A volume of the mesh; a cellZone of the same name.
struct ZoneRecord {
  std::string name;  ///< "upper_deck_left", "upper_deck_right", "lower_deck", "core_l1", "propeller_disk"
  ZoneRole role = ZoneRole::UpperDeck;
  Side side = Side::Centre;
  double volume = 0.0;  ///< from the geometry [m³]; for the propeller disk the nominal annulus
};

/// What air is forced through: fins, the oil cooler or a leak.
enum class PassageKind { Core, Cooler, Leak };
/// Role of the plane across a passage's middle, and of its zone.
PlaneRole plane_role(PassageKind kind);
ZoneRole zone_role(PassageKind kind);

/// One passage with a resistance: dp = viscous*mu*v + inertial*rho*v² [Pa], v the superficial speed through
/// `area`.
struct PassageRecord {
  std::string zone;  ///< name of its cellZone: "core_l1", "core_l1_head", "oil_cooler", "leak_cowl_seal_left"
  std::string plane;          ///< name of its faceZone, across the middle
  double area = 0.0;          ///< flow area [m²]
  double depth = 0.0;         ///< in the flow direction [m]
  double viscous = 0.0;       ///< a [1/m]
  double inertial = 0.0;      ///< b [-]
  double fit_residual = 0.0;  ///< largest relative deviation of the fit from the stated law over its range
  double heat = 0.0;          ///< released into the air [W]
  PassageKind kind = PassageKind::Core;
  Vec3 direction{0.0, 0.0, -1.0};   ///< unit, of the intended flow
  double transverse_ratio = 100.0;  ///< resistance across `direction` over that along it
  std::string outlet{};             ///< name of the faceZone by which the air leaves; empty: none is measured
  std::string
      cylinder{};  ///< "l1": of a core; head and barrel of one cylinder share it. Empty for the others
  bool joins_decks = true;      ///< from the upper to the lower deck; false for a leak between the halves
  double effective_area = 0.0;  ///< of a leak, Cd A in m = Cd A sqrt(2 rho dp) [m²]; 0 for the others
};

struct FlightRecord {
  double true_airspeed = 0.0;     ///< [m/s]
  double pressure = 0.0;          ///< free stream, static [Pa]
  double temperature = 0.0;       ///< [K]
  double density = 0.0;           ///< [kg/m³]
  double dynamic_pressure = 0.0;  ///< 0.5 rho V² [Pa]
  /// What pressures are divided by, > 0 [Pa]: q in flight; thrust per disk area on the ground, where q says
  /// nothing. flight::reference_pressure() draws the line.
  double reference_pressure = 0.0;
  std::string reference_name{"q"};  ///< "q" or "thrust per disk area"
  double pressure_altitude = 0.0;   ///< [m]
  double density_altitude = 0.0;    ///< [m]
  double incidence = 0.0;           ///< of the free stream to the shaft line, nose up positive [rad]
  double sideslip = 0.0;            ///< wind from the pilot's right positive [rad]
};

/// Whether pressures are divided by q; near standstill they are by the propeller's thrust per disk area, and
/// the two do not compare.
bool is_by_q(const FlightRecord& flight);

/// Unit vector along the wind at this incidence and sideslip [rad]: x aft, y to the pilot's right, z up.
Vec3 wind_direction(double incidence, double sideslip);

/// Whether the blades' pitch was turned until they absorb the shaft power, or taken as the study gives it.
enum class PitchMode { ToPower, Fixed };

/// Absent when the study has no propeller.
struct PropellerRecord {
  double diameter = 0.0;          ///< [m]
  double hub_diameter = 0.0;      ///< inner edge of the bladed annulus [m]
  double rotational_speed = 0.0;  ///< [rad/s]
  bool clockwise = true;          ///< as the pilot sees it
  double shaft_power = 0.0;       ///< of the engine [W]
  PitchMode pitch_mode = PitchMode::ToPower;
  double power = 0.0;           ///< absorbed, predicted in free air [W]
  double power_mismatch = 0.0;  ///< (power - shaft_power) / shaft_power; 0 but for rounding when trimmed
  double collective = 0.0;      ///< pitch change found by the blade-element solve [rad]; 0 when fixed
  double thrust = 0.0;          ///< predicted in free air [N]
  double torque = 0.0;          ///< predicted in free air [N m]
  double efficiency = 0.0;      ///< predicted in free air
  std::string force_field;      ///< volVectorField of the force on the blades per volume [N/m³]; empty for a
                                ///< uniform disk, whose thrust is imposed and whose torque is nil
  std::string zone;             ///< cellZone of the disk
};

/// One wall patch of the installation.
struct PatchRecord {
  std::string name;
  double area = 0.0;  ///< of the surface the mesh was snapped to [m²]
};

/// One monitor of the solver: a function object whose table gives a history over iterations.
struct MonitorRecord {
  std::string quantity;  ///< "mass_flow", "mean_pressure", "y_plus"; "pressure_force", "viscous_force",
                         ///< "porous_force": of the air on the solid, along the wind [N]
  std::string subject;   ///< plane or zone name; "walls" for y_plus; "outside" or "inside" for forces
  std::string function_object;  ///< folder below postProcessing/
  std::string file;             ///< table's file name
  int column = 0;               ///< of the numbers behind the iteration, from 1; 0: the last
};

/// Whether it is one of the forces on the solid.
bool is_force(const MonitorRecord& monitor);

struct Manifest {
  std::string study;       ///< study title
  std::string question;    ///< as the user put it; may be empty
  std::string study_file;  ///< file name, without directories
  std::string study_hash;  ///< SHA-256 of its text
  std::string input_hash;  ///< SHA-256 of everything that decides this case's result
  std::string variant;     ///< variant name
  bool is_baseline = false;
  int variant_index = 0;  ///< order in the study
  std::vector<Setting> settings;
  std::string program_version;
  std::string openfoam_version;
  std::string grid_level;          ///< "draft", "coarse", "medium", "fine"
  double cell_size = 0.0;          ///< edge of the fine interior's cells, mean of three directions [m]
  std::string start_from;          ///< case folder beside this one that gave the start field; may be empty
  std::string reference;           ///< case folder beside this one with inlets and exit closed; may be empty
  bool is_reference = false;       ///< inlets and exit of this case are closed
  int n_grids = 1;                 ///< grids this variant is to be compared on, this one included
  double expected_cells = 0.0;     ///< estimate before meshing
  int last_iteration = 0;          ///< ceiling on solver iterations
  int window = 0;                  ///< iterations over which means and bands are taken
  double closure_tolerance = 0.0;  ///< accepted |closure| of mass
  double energy_tolerance = 0.0;   ///< accepted |closure| of energy
  double settled_tolerance = 0.0;  ///< accepted half-width of the band over the window, relative to the mean
  double stop_tolerance = 0.0;     ///< the same for stopping the solver before its ceiling
  bool stop_when_held = false;     ///< whether the driver stops it
  FlightRecord flight;
  std::optional<PropellerRecord> propeller;
  std::vector<PlaneRecord> planes;
  std::vector<ZoneRecord> zones;
  std::vector<PassageRecord> passages;
  std::vector<PlaneRecord> surveys;  ///< discs where fields are sampled; no faceZone of the mesh, no monitor
  std::vector<MonitorRecord> monitors;
  std::vector<PatchRecord> patches;  ///< wall patches of the installation
  double solid_volume = 0.0;         ///< inside the wetted surface [m³]
  double air_volume = 0.0;           ///< between the wetted surface and the far field [m³]
};

/// File name of the manifest inside a case folder.
inline constexpr const char* manifest_file_name = "manifest.json";

/// @throws ExternalError  when the file cannot be written (written to a temporary name first, then renamed).
void write_manifest(const Manifest& manifest, const std::filesystem::path& case_dir);

/// @throws InputError  when it is missing, is not JSON, lacks a member or has another format version; names
/// which.
Manifest read_manifest(const std::filesystem::path& case_dir);

}  // namespace cowlwright::base
