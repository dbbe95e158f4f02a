// SPDX-License-Identifier: GPL-3.0-or-later
//
// A user's own cowl in place of the parametric outer skin: a sheet from the nose to the firewall above and to
// the trailing edge below, open at both inlets and at the rear. Decks, engine, exit channel and lip are
// fitted inside it by their dimensions as in any other installation.
#pragma once

#include "geometry/shape/opening.h"
#include "geometry/shape/surface.h"
#include "geometry/shape/tabulated_form.h"

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::shape {

/// How a user names an opening's edge: by a point near it or by a box that holds all of it (of the rear edge,
/// a part). With `cut_station`, what lies inside the box aft of that station is cut off first.
struct NamedOpening {
  std::optional<base::Vec3> near_point;
  std::optional<Box> box;
  std::optional<double> cut_station;
};

/// What the study file says of it.
struct OwnSkin {
  std::string name;  ///< of the file, for messages
  Surface surface;   ///< in our frame [m]
  NamedOpening inlet_left;
  NamedOpening inlet_right;
  NamedOpening exit;
};

/// An inlet as it is in the surface.
struct OwnOpening {
  std::vector<ContourPoint> contour;  ///< its edge's outline, relative to (y, z), counter-clockwise
  double y = 0.0;                     ///< centre of its area
  double z = 0.0;
  double front = 0.0;  ///< station of the foremost point of the skin round it
  double rear = 0.0;   ///< station of its edge's rearmost point: from there a duct of that outline runs aft
};

/// What the parametric side says of the room inside and behind it.
struct OwnCowlRoom {
  double front_station = 0.0;  ///< of the plenum's front wall: the form is wanted from there
  double firewall_station = 0.0;
  double skin_thickness = 0.0;
  double spinner_radius = 0.0;
  double exit_width = 0.0;

  bool operator==(const OwnCowlRoom&) const = default;
};

/// The sheet, sorted out and measured.
struct OwnCowl {
  std::string name;
  Surface skin;  ///< outward; patches cowl, ring_left, ring_right (the skin round an inlet's edge)
  std::array<std::vector<std::uint32_t>, 2> inlet_edges;  ///< left, right
  std::vector<std::uint32_t> rear_edge;
  std::array<std::shared_ptr<const OwnOpening>, 2> inlets;
  TabulatedForm form;
  OwnCowlRoom room;
  double nose_station = 0.0;   ///< rearmost skin within reach of the spinner
  double trailing_edge = 0.0;  ///< station of the lower rear edge over the exit's width
  double width = 0.0;          ///< greatest, from the plenum's front wall on
  double height_above = 0.0;
  double depth_below = 0.0;
  std::vector<std::string> notes;  ///< what was filled, turned or is uneven, in words
};

/// Sorts out the openings and measures the form.
///
/// Holes about the shaft line (for the spinner) are filled flat and noted; any other hole that is not named
/// is a fault. A sheet that faces inward is turned and noted.
///
/// @throws InputError  when the surface is not one consistent sheet, an opening cannot be found as named, a
/// hole is left, the trailing edge is uneven across the exit, or a section has gaps: names what and where.
std::shared_ptr<const OwnCowl> fit_own_cowl(const OwnSkin& skin, const OwnCowlRoom& room);

struct ShapeSpec;

/// Replaces the dimensions that the surface decides by what was measured on it.
void take_dimensions(const std::shared_ptr<const OwnCowl>& own, ShapeSpec& spec);

/// The sheet closed to a solid: ducts run aft from the inlets' edges through the plenum's front wall, the
/// rear is closed by a cone with its apex on the shaft line, a little behind the trailing edge.
Surface own_body(const ShapeSpec& spec);

/// Closed fuselage that begins inside the cowl and is a little smaller than it at the firewall.
Surface own_fuselage(const ShapeSpec& spec);

/// Right half of its section ahead of the tail, from keel to crown, at x = 0: the cowl's at the firewall
/// above, a superellipse down to the belly below.
std::vector<base::Vec3> own_fuselage_section(const ShapeSpec& spec);

}  // namespace cowlwright::shape
