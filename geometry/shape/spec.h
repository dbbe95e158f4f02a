// SPDX-License-Identifier: GPL-3.0-or-later
//
// Dimensions of a parametric tractor installation. Frame: x aft (fuselage station), y to the pilot's right
// (butt line), z up (waterline); origin on the crankshaft line at the propeller plane. All lengths in m,
// angles in rad.
#pragma once

#include "geometry/base/manifest.h"
#include "geometry/base/study_file.h"

#include <array>
#include <cstddef>
#include <functional>
#include <memory>
#include <optional>

namespace cowlwright::shape {

struct SpinnerSpec {
  double diameter = 0.32;
  double length = 0.30;  ///< tip ahead of the propeller plane
};

/// Outer skin from the flat nose face to the firewall, then the fuselage afterbody.
struct CowlSpec {
  double nose_station = 0.14;  ///< of the flat nose face, aft of the propeller plane
  double nose_length = 0.32;   ///< over which the nose face grows to the full section
  double firewall_station = 1.25;
  double width = 1.02;         ///< full width at the cylinders
  double height_above = 0.27;  ///< crown above the shaft line at the cylinders
  double depth_below = 0.42;   ///< keel below the shaft line at the cylinders
  double face_width = 0.86;    ///< of the nose face
  double face_height_above = 0.17;
  double face_depth_below = 0.17;
  double skin_thickness = 0.012;  ///< modelled thickness; thinner skins mesh badly and change nothing inside
  double corner_exponent = 3.0;   ///< of the superellipse sections: 2 is an ellipse, larger is squarer
};

struct FuselageSpec {
  double depth_below = 0.36;  ///< belly below the shaft line, aft of the firewall
  double length = 3.6;        ///< firewall to tail end
};

struct OwnCowl;     // own_cowl.h
struct OwnOpening;  // own_cowl.h

enum class RingStyle { None, Flush, Proud };
enum class OpeningShape { Round, Oval, Rectangular };

/// One inlet in the nose face. What follows from its opening is in opening.h.
struct InletSpec {
  OpeningShape opening = OpeningShape::Round;
  double diameter = 0.133;       ///< throat of a round inlet
  double opening_width = 0.16;   ///< throat of an oval or rectangular one, along y
  double opening_height = 0.09;  ///< along z
  double corner_radius = 0.02;   ///< of a rectangular one
  double height = 0.02;          ///< centre above the shaft line
  RingStyle ring = RingStyle::Flush;
  double lip_radius = 0.020;         ///< of the ring's inner rounding; must be 0 with RingStyle::None
  double ring_stand = 0.0;           ///< how far a proud ring's crest stands ahead of the nose face
  double diffuser_length = 0.0;      ///< of the widening duct that ends in the deck; 0: none
  double diffuser_area_ratio = 1.0;  ///< its end's area over the throat's
  std::shared_ptr<const OwnOpening> own{};  ///< the opening of a user's own cowl: then the outline is this one's

  bool operator==(const InletSpec&) const = default;
};

/// The two inlets are independent of each other but for their spacing.
struct InletPair {
  InletSpec left;
  InletSpec right;
  double spacing = 0.56;  ///< between the two centres, half of it on either side of the shaft
};

/// A cylinder along x behind one inlet in the upper deck, held by the front ramp of its floor or by a foot on
/// it.
struct AlternatorSpec {
  std::optional<base::Side> side;  ///< Left or Right; none: no alternator
  double diameter = 0.12;
  double length = 0.08;
  double station = 0.39;   ///< of its front face
  double distance = 0.28;  ///< |y| of its axis
  double height = 0.06;    ///< of its axis above the shaft line
};

struct EngineSpec {
  int n_cylinders = 4;               ///< 4 or 6
  double first_core_station = 0.50;  ///< front edge of the first core pair
  double core_length = 0.17;         ///< along x, per cylinder
  double core_gap = 0.03;            ///< solid between neighbouring cores along x
  double core_inner = 0.13;          ///< |y| of the core's inner edge
  double core_outer = 0.41;          ///< |y| of the core's outer edge
  double core_depth = 0.15;          ///< fin depth in the flow direction (z), centred on the shaft line
  double crankcase_width = 0.22;
  double crankcase_rise = 0.04;  ///< above the deck floor
  double sump_drop = 0.06;       ///< below the lower deck's ceiling
  double head_width =
      0.0;  ///< outer part of each core that is the head's, a passage of its own; 0: not split
};

enum class PlenumKind { Shared, Split };
/// What bounds the upper deck above: flexible seals against the cowl itself, or a lid of its own below it.
enum class PlenumRoof { Cowl, Lid };

struct PlenumSpec {
  PlenumKind kind = PlenumKind::Shared;
  double front_station = 0.36;          ///< front wall of the upper deck
  double rear_baffle_clearance = 0.05;  ///< rear baffle behind the last core
  double wall_thickness = 0.012;        ///< of the centre wall of a split plenum
  double wall_height = 1.0;  ///< of the centre wall as part of the deck's height; below 1 air passes over
  PlenumRoof roof = PlenumRoof::Cowl;
  double lid_height = 0.10;  ///< of a lid above the deck's floor
};

enum class LeakPlace {
  CowlSealLeft,
  CowlSealRight,
  RearBaffleLeft,
  RearBaffleRight,
  CrankcaseNose,
  BetweenCylindersLeft,
  BetweenCylindersRight,
  CentreWall
};
inline constexpr std::size_t n_leak_places = 8;

/// Effective area Cd A of each leak [m²], in the order of LeakPlace; 0: tight.
struct LeakSpec {
  std::array<double, n_leak_places> effective_area{};
};

enum class CoolerPlace { None, Rear, Front, Below };

/// Oil cooler: Rear stands on the rear baffle and passes air aft into a duct down to the lower deck; Front
/// lies in the deck's floor ahead of the first core, Below in the floor behind the last, both pass air down.
struct OilCoolerSpec {
  CoolerPlace place = CoolerPlace::None;
  base::Side side = base::Side::Left;  ///< Left or Right
  double width = 0.16;                 ///< of its face along y
  double height = 0.10;                ///< of its face, along z at the rear, along x in the floor
  double depth = 0.05;                 ///< in the flow direction
};

/// Gap under the belly, open aft; the lower cowl's trailing edge carries the lip.
struct ExitSpec {
  double gap = 0.075;  ///< height between belly and lower cowl
  double width = 0.53;
  double overhang = 0.10;     ///< lower cowl's trailing edge aft of the firewall
  double ramp_radius = 0.06;  ///< rounding of the firewall's lower edge
  double lip_length = 0.05;   ///< 0: no lip
  double lip_angle = 0.0;     ///< bent down from the local skin direction
  double lip_thickness = 0.010;
  bool side_plates = false;  ///< that close the ends of the lip up to the belly
  double strut_diameter =
      0.0;  ///< nose-leg strut upright through the channel in the plane of symmetry; 0: none
  double exhaust_diameter = 0.0;  ///< of each of two pipes that run out through the gap; 0: none
  double exhaust_spacing = 0.24;  ///< between the pipes' axes
};

struct ShapeSpec {
  SpinnerSpec spinner;
  CowlSpec cowl;
  FuselageSpec fuselage;
  InletPair inlets;
  AlternatorSpec alternator;
  EngineSpec engine;
  PlenumSpec plenum;
  LeakSpec leaks;
  OilCoolerSpec oil_cooler;
  ExitSpec exit;
  std::shared_ptr<const OwnCowl> own{};  ///< a user's own cowl in place of the parametric skin and inlets
  bool is_closed =
      false;  ///< inlets filled flush, exit filled and faired into the belly: the reference of cooling drag
};

/// The inlet on the left or the right. @param side  not Centre.
inline const InletSpec& inlet(const ShapeSpec& spec, base::Side side) {
  return side == base::Side::Left ? spec.inlets.left : spec.inlets.right;
}

struct OwnCowlRoom;  // own_cowl.h

/// Gives the study's own cowl, fitted to the room it leaves; nullptr when it cannot be had, which has then been
/// complained of. Empty for a study without one.
using OwnCowlSource = std::function<std::shared_ptr<const OwnCowl>(const OwnCowlRoom&)>;

/// Reads [cowl], [fuselage], [inlets] with [inlet_left] and [inlet_right], [alternator], [plenum], [leaks],
/// [exit], the dimensions in [engine] and [oil_cooler] and the spinner in [propeller]. Checks every value's
/// range and the rules between values; a broken rule names both parameters and their bounds. The three
/// readers given are shared with others, who finish() them. With an own cowl the dimensions that its surface
/// decides must not be given.
ShapeSpec read_shape_spec(const base::StudyFile& file,
                          const base::Variant& variant,
                          base::SectionReader& engine,
                          base::SectionReader& propeller,
                          base::SectionReader& oil_cooler,
                          const OwnCowlSource& own_cowl,
                          base::Complaints& complaints);

/// One broken rule between parameters of a shape.
struct ShapeConflict {
  std::string first_key;   ///< "inlets.spacing"
  std::string second_key;  ///< "cowl.face_width"
  std::string message;     ///< values, units, bounds and remedy
};

/// Every rule the dimensions break; empty for a shape that build_installation() accepts.
std::vector<ShapeConflict> shape_conflicts(const ShapeSpec& spec);

}  // namespace cowlwright::shape
