// SPDX-License-Identifier: GPL-3.0-or-later
//
// From dimensions to surfaces: one closed wetted surface with named patches, the closed zones and the
// measurement planes. Everything that is not air is solid, so the wetted surface bounds one solid body inside
// the far field.
#pragma once

#include "geometry/base/manifest.h"
#include "geometry/shape/spec.h"
#include "geometry/shape/surface.h"

#include <string>
#include <vector>

namespace cowlwright::shape {

/// A named closed volume, drawn a little into the surrounding solid so that the mesh, not the zone, sets its
/// edges.
struct Zone {
  base::ZoneRecord record;
  Surface surface;  ///< closed, outward
};

/// A named open surface that spans one passage, drawn a little into the surrounding solid.
struct MeasurementPlane {
  base::PlaneRecord record;
  Surface surface;  ///< planar, normal along record.normal
};

/// A passage with a resistance as the geometry has it; its zone and planes have the names given here.
struct Passage {
  std::string name;  ///< "core_l1", "core_l1_head", "core_l1_barrel", "oil_cooler", "leak_rear_baffle_left"
  base::PassageKind kind = base::PassageKind::Core;
  std::string cylinder;    ///< "l1", of a core
  base::Vec3 direction;    ///< unit, of the intended flow
  double area = 0.0;       ///< across the flow [m²]
  double depth = 0.0;      ///< along the flow [m]
  double narrowest = 0.0;  ///< least side of its box [m]
  std::string outlet;      ///< plane by which air leaves; empty: none
  bool joins_decks = true;
  double effective_area = 0.0;  ///< Cd A of a leak [m²]
};

/// What the checks measured; printed by `cowlwright check`, asserted by tests.
struct ShapeProof {
  std::size_t n_triangles = 0;
  bool is_closed = false;
  bool is_free_of_self_intersections = false;
  bool bounds_a_volume = false;
  std::size_t n_components = 0;
  int n_tunnels = 0;                ///< through the solid: inlets, cores and exit joined by the decks
  double volume = 0.0;              ///< of the solid [m³]
  double smallest_clearance = 0.0;  ///< between cavity and outer skin, measured on the surfaces [m]; 0 when
                                    ///< there is no cavity
};

struct Installation {
  Surface wetted;  ///< patches named in patch_names below
  std::vector<Zone> zones;
  std::vector<MeasurementPlane> planes;
  std::vector<base::PlaneRecord> surveys;  ///< discs ahead of the inlets
  std::vector<Passage> passages;           ///< cores first, in the order of the cylinders
  ShapeProof proof;
};

/// Names of all patches a wetted surface may have. Always there: spinner, cowl, fuselage, inlet_left,
/// inlet_right (throat and front duct), upper_deck, baffle, core_wall, crankcase, lower_deck, firewall,
/// exit_wall. Only with a cooler: oil_cooler_wall. Only with leaks: leak_wall. Only with a ring: ring_left,
/// ring_right. Only when split: centre_wall. Only with a lip: exit_lip; with side plates, strut or pipes:
/// side_plate, strut, exhaust. Only with an alternator: alternator. The closed reference has only
/// spinner, cowl, fuselage and the rings that stand proud.
std::vector<std::string> expected_patches(const ShapeSpec& spec);

/// Builds and proves the installation. The closed reference (ShapeSpec::is_closed) is one solid without any
/// air inside: inlets filled flush with the nose face or the ring's crest, the exit filled and faired into
/// the belly behind it, nothing standing in or behind the exit. It has neither zones nor planes nor passages.
///
/// @throws InputError   when shape_conflicts() is not empty: all conflicts, one per line.
/// @throws ResultError  when a proof fails (open edge, self-intersection, missing patch, ...), naming it and
/// the place.
Installation build_installation(const ShapeSpec& spec);

/// All passages: cores in the order of the cylinders, barrel before head; then the oil cooler; then leaks.
std::vector<Passage> make_passages(const ShapeSpec& spec);

/// The closed zone of the propeller: an annulus from `hub_diameter` to `diameter` of `thickness` about x = 0
/// [m].
Zone propeller_disk(double hub_diameter, double diameter, double thickness);

/// Sizes that follow from the dimensions, for `check` and for the mesh.
struct DerivedSizes {
  double inlet_area = 0.0;             ///< both throats [m²]
  double exit_area = 0.0;              ///< gap times width, measured along the curved belly [m²]
  double exit_to_inlet = 0.0;          ///< area ratio
  double core_area = 0.0;              ///< all cores [m²]
  double core_to_inlet = 0.0;          ///< area ratio
  double upper_deck_volume = 0.0;      ///< [m³]
  double lower_deck_volume = 0.0;      ///< [m³]
  double trailing_edge_station = 0.0;  ///< of the lower cowl [m]
};
DerivedSizes derived_sizes(const ShapeSpec& spec);

}  // namespace cowlwright::shape
