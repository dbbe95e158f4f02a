// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules between nose, spinner and inlets.
#include "geometry/shape/rule_list.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

namespace cowlwright::shape {

namespace {

constexpr double margin = 0.005;           // solid left between an inlet's mouth and the face's edge [m]
constexpr double spinner_margin = 0.008;   // between an inlet's mouth and the spinner [m]
constexpr double mouth_allowance = 0.006;  // the cutting cone is this much wider than the rounding [m]
constexpr double blade_clearance = 0.030;  // nothing of the cowl comes closer to the propeller plane [m]
constexpr double shortest_throat = 0.030;  // cylinder between the rounding and the deck [m]

/// Largest radius the inlet occupies in the nose face.
double mouth_radius(const InletSpec& inlets) {
  const double throat = 0.5 * inlets.diameter;
  const double r = inlets.lip_radius;
  switch (inlets.ring) {
    case RingStyle::None:
      return throat;
    case RingStyle::Flush:
      return throat + r + mouth_allowance;
    case RingStyle::Proud:
      return throat + r + std::max(mouth_allowance, crest_land + std::min(r, 0.8 * inlets.ring_stand));
  }
  return throat;
}

bool circle_fits(const Outline& outline, double x, double inset, double y, double z, double radius) {
  constexpr int n = 48;
  for (int i = 0; i < n; ++i) {
    const double angle = 2.0 * std::numbers::pi * i / n;
    const double height = z + radius * std::sin(angle);
    if (!(std::abs(y + radius * std::cos(angle)) < outline.half_width_at(x, height, inset))) return false;
  }
  return true;
}

/// Largest value in [0, limit] that still fits, when 0 fits and all between do.
double largest_fitting(double limit, const std::function<bool(double)>& fits) {
  double good = 0.0;
  double bad = limit;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (good + bad);
    (fits(middle) ? good : bad) = middle;
  }
  return good;
}

/// A place both inlets must pass through.
struct Opening {
  double station;
  double inset;   ///< of the form they must stay within
  double margin;  ///< beyond the throat's radius
  KeyedLength owner;
  std::string reason;
};

/// The circles must fit: first their size, then their height, then their spacing, so that the message names
/// what is really wrong.
void add_opening_rules(const ShapeSpec& spec, const Opening& opening, RuleList& rules) {
  const InletSpec& in = spec.inlets;
  const Outline outline(spec);
  const auto fits = [&](double y, double z, double diameter) {
    return circle_fits(outline, opening.station, opening.inset, y, z, 0.5 * diameter + opening.margin);
  };
  const Section section = outline.section(opening.station);
  const std::string& reason = opening.reason;
  if (!fits(0.0, 0.0, in.diameter)) {
    const double bound =
        largest_fitting(2.0 * section.half_width, [&](double d) { return fits(0.0, 0.0, d); });
    rules.at_most({"inlets.diameter", in.diameter},
                  bound,
                  opening.owner,
                  reason,
                  "Make the inlets or their rings smaller, or the nose larger.");
  } else if (!fits(0.0, in.height, in.diameter)) {
    const double side = in.height > 0.0 ? 1.0 : -1.0;
    const double extent = in.height > 0.0 ? section.height : section.depth;
    const double bound =
        side * largest_fitting(extent, [&](double h) { return fits(0.0, side * h, in.diameter); });
    const KeyedLength height{"inlets.height", in.height};
    const std::string remedy = "Bring the inlets nearer to the shaft line or make the nose larger.";
    if (side > 0.0) {
      rules.at_most(height, bound, opening.owner, reason, remedy);
    } else {
      rules.at_least(height, bound, opening.owner, reason, remedy);
    }
  } else {
    rules.at_most(
        {"inlets.spacing", in.spacing},
        2.0 * largest_fitting(section.half_width, [&](double y) { return fits(y, in.height, in.diameter); }),
        opening.owner,
        reason,
        "Move the inlets together or nearer to the shaft line, make them smaller, or the nose larger.");
  }
}

void add_face_rules(const ShapeSpec& spec, RuleList& rules) {
  const CowlSpec& c = spec.cowl;
  const std::string reason = "so that the nose grows aft of its face";
  const std::string remedy = "Shrink the face or enlarge the section.";
  rules.at_most({"cowl.face_width", c.face_width}, c.width, {"cowl.width", c.width}, reason, remedy);
  rules.at_most({"cowl.face_height_above", c.face_height_above},
                c.height_above,
                {"cowl.height_above", c.height_above},
                reason,
                remedy);
  rules.at_most({"cowl.face_depth_below", c.face_depth_below},
                c.depth_below,
                {"cowl.depth_below", c.depth_below},
                reason,
                remedy);
  const double spinner = 0.5 * spec.spinner.diameter + margin;
  const KeyedLength diameter{"propeller.spinner_diameter", spec.spinner.diameter};
  for (const KeyedLength& face : {KeyedLength{"cowl.face_height_above", c.face_height_above},
                                  KeyedLength{"cowl.face_depth_below", c.face_depth_below}}) {
    rules.at_least(face,
                   spinner,
                   diameter,
                   "so that the spinner meets the nose inside its face",
                   "Enlarge the face or fit a smaller spinner.");
  }
}

void add_ring_rules(const ShapeSpec& spec, RuleList& rules) {
  constexpr double smallest_radius = 0.002;
  constexpr double smallest_stand = 0.005;
  const InletSpec& in = spec.inlets;
  const KeyedLength radius{"inlets.lip_radius", in.lip_radius};
  const KeyedLength stand{"inlets.ring_stand", in.ring_stand};
  if (in.ring == RingStyle::None) {
    rules.at_most(
        radius, 0.0, {"inlets.ring", 0.0}, "with a bare hole", "Ask for a ring or drop the radius.");
  } else {
    rules.at_least(radius, smallest_radius, stand, "with a ring", "Ask for a bare hole or give it a radius.");
  }
  if (in.ring == RingStyle::Proud) {
    rules.at_least(stand, smallest_stand, radius, "with a proud ring", "Ask for a flush ring instead.");
    rules.at_most(stand,
                  spec.cowl.nose_station - blade_clearance,
                  {"cowl.nose_station", spec.cowl.nose_station},
                  "so that the ring keeps 30 mm off the propeller plane",
                  "Let the ring stand less proud or move the nose face aft.");
  } else {
    rules.at_most(stand, 0.0, radius, "without a proud ring", "Ask for a proud ring or set it to 0.");
  }
  rules.at_least({"cowl.nose_station", spec.cowl.nose_station},
                 blade_clearance,
                 stand,
                 "so that the nose keeps 30 mm off the propeller plane",
                 "Move the nose face aft.");
}

void add_inlet_place_rules(const ShapeSpec& spec, RuleList& rules) {
  const InletSpec& in = spec.inlets;
  const Outline outline(spec);
  const KeyedLength spacing{"inlets.spacing", in.spacing};
  const double mouth = mouth_radius(in);

  // Clear of the spinner and of each other.
  const double reach = 0.5 * spec.spinner.diameter + spinner_margin + mouth;
  const double beside = std::sqrt(std::max(0.0, reach * reach - in.height * in.height));
  rules.at_least(spacing,
                 2.0 * beside,
                 {"propeller.spinner_diameter", spec.spinner.diameter},
                 "so that the inlets clear the spinner",
                 "Move the inlets apart or up, make them smaller, or fit a smaller spinner.");
  const double wall = spec.plenum.kind == PlenumKind::Split ? spec.plenum.wall_thickness : 0.0;
  rules.at_least(spacing,
                 2.0 * (mouth + margin) + wall + 2.0 * margin,
                 {"inlets.diameter", in.diameter},
                 "so that the two inlets stay apart",
                 "Move the inlets apart or make them smaller.");
  const double throat = 0.5 * in.diameter;
  add_opening_rules(spec,
                    {spec.cowl.nose_station,
                     0.0,
                     mouth - throat + margin,
                     {"cowl.face_width", spec.cowl.face_width},
                     "so that the inlets lie inside the nose face"},
                    rules);
  add_opening_rules(spec,
                    {spec.plenum.front_station,
                     spec.cowl.skin_thickness,
                     throat_step,
                     {"plenum.front_station", spec.plenum.front_station},
                     "so that the throats open into the upper deck inside its skin"},
                    rules);
}

}  // namespace

void add_nose_rules(const ShapeSpec& spec, RuleList& rules) {
  const Layout at = layout(spec);
  add_face_rules(spec, rules);
  add_ring_rules(spec, rules);
  add_inlet_place_rules(spec, rules);
  rules.at_least({"plenum.front_station", spec.plenum.front_station},
                 at.throat_start + shortest_throat,
                 {"inlets.lip_radius", spec.inlets.lip_radius},
                 "so that 30 mm of straight throat lie between the ring and the deck",
                 "Move the plenum's front wall aft or round the ring less.");
  rules.at_most({"cowl.nose_length", spec.cowl.nose_length},
                spec.cowl.firewall_station - spec.cowl.nose_station - 0.1,
                {"cowl.firewall_station", spec.cowl.firewall_station},
                "so that the section is full 100 mm ahead of the firewall",
                "Shorten the nose or move the firewall aft.");
}

}  // namespace cowlwright::shape
