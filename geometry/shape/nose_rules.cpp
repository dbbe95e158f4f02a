// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules between nose, spinner and inlets.
#include "geometry/shape/opening.h"
#include "geometry/shape/rule_list.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace cowlwright::shape {

namespace {

constexpr double margin = 0.005;           // solid left between an inlet's mouth and the face's edge [m]
constexpr double spinner_margin = 0.008;   // between an inlet's mouth and the spinner [m]
constexpr double mouth_allowance = 0.006;  // the cutting cone is this much wider than the rounding [m]
constexpr double blade_clearance = 0.030;  // nothing of the cowl comes closer to the propeller plane [m]
constexpr double shortest_throat = 0.030;  // cylinder between the rounding and the deck [m]

/// An inlet with the section its keys are named by.
struct NamedInlet {
  const InletSpec& in;
  InletLayout at;
  std::string section;

  KeyedLength keyed(const std::string& key, double value) const { return {section + "." + key, value}; }
  /// What a user changes to make it smaller.
  KeyedLength size() const {
    if (in.opening == OpeningShape::Round) return keyed("diameter", in.diameter);
    return in.opening_width >= in.opening_height ? keyed("opening_width", in.opening_width)
                                                 : keyed("opening_height", in.opening_height);
  }
};

/// How far beyond its throat the inlet reaches in the nose face.
double mouth_offset(const InletSpec& in) {
  const double r = in.lip_radius;
  switch (in.ring) {
    case RingStyle::None:
      return 0.0;
    case RingStyle::Flush:
      return r + mouth_allowance;
    case RingStyle::Proud:
      return r + std::max(mouth_allowance, crest_land + std::min(r, 0.8 * in.ring_stand));
  }
  return 0.0;
}

/// Whether the opening, scaled and moved outward, lies inside the form when its centre is at (y, z).
bool opening_fits(const Outline& outline,
                  double x,
                  double inset,
                  const std::vector<ContourPoint>& edge,
                  double scale,
                  double offset,
                  double y,
                  double z) {
  return std::all_of(edge.begin(), edge.end(), [&](const ContourPoint& p) {
    const double height = z + scale * p.z + offset * p.normal_z;
    return std::abs(y + scale * p.y + offset * p.normal_y) < outline.half_width_at(x, height, inset);
  });
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

/// A place an inlet must pass through.
struct Passing {
  double station;
  double inset;   ///< of the form it must stay within
  double scale;   ///< of its section there
  double offset;  ///< to keep beyond its section
  KeyedLength owner;
  std::string reason;
};

/// The opening must fit: first its size, then its height, then the spacing, so that the message names what is
/// really wrong.
void add_passing_rules(const ShapeSpec& spec, const NamedInlet& named, const Passing& at, RuleList& rules) {
  const InletSpec& in = named.in;
  const Outline outline(spec);
  const std::vector<ContourPoint> edge = opening_contour(in, 96);
  const auto fits = [&](double y, double z, double size) {
    return opening_fits(outline, at.station, at.inset, edge, size * at.scale, at.offset, y, z);
  };
  const Section section = outline.section(at.station);
  if (!fits(0.0, 0.0, 1.0)) {
    const KeyedLength size = named.size();
    const double largest = largest_fitting(1.0, [&](double s) { return fits(0.0, 0.0, s); });
    rules.at_most(size,
                  size.value * largest,
                  at.owner,
                  at.reason,
                  "Make the inlets or their rings smaller, or the nose larger.");
  } else if (!fits(0.0, in.height, 1.0)) {
    const double side = in.height > 0.0 ? 1.0 : -1.0;
    const double extent = in.height > 0.0 ? section.height : section.depth;
    const double bound = side * largest_fitting(extent, [&](double h) { return fits(0.0, side * h, 1.0); });
    const KeyedLength height = named.keyed("height", in.height);
    const std::string remedy = "Bring the inlets nearer to the shaft line or make the nose larger.";
    if (side > 0.0) {
      rules.at_most(height, bound, at.owner, at.reason, remedy);
    } else {
      rules.at_least(height, bound, at.owner, at.reason, remedy);
    }
  } else {
    rules.at_most(
        {"inlets.spacing", spec.inlets.spacing},
        2.0 * largest_fitting(section.half_width, [&](double y) { return fits(y, in.height, 1.0); }),
        at.owner,
        at.reason,
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

void add_ring_rules(const ShapeSpec& spec, const NamedInlet& named, RuleList& rules) {
  constexpr double smallest_radius = 0.002;
  constexpr double smallest_stand = 0.005;
  const InletSpec& in = named.in;
  const KeyedLength radius = named.keyed("lip_radius", in.lip_radius);
  const KeyedLength stand = named.keyed("ring_stand", in.ring_stand);
  if (in.ring == RingStyle::None) {
    rules.at_most(
        radius, 0.0, named.keyed("ring", 0.0), "with a bare hole", "Ask for a ring or drop the radius.");
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

void add_corner_rules(const NamedInlet& named, RuleList& rules) {
  constexpr double smallest_radius = 0.003;
  constexpr double largest_share = 0.49;  // of the shorter side: some straight edge stays
  const InletSpec& in = named.in;
  if (in.opening != OpeningShape::Rectangular) return;
  const KeyedLength radius = named.keyed("corner_radius", in.corner_radius);
  const KeyedLength side = in.opening_width < in.opening_height
                               ? named.keyed("opening_width", in.opening_width)
                               : named.keyed("opening_height", in.opening_height);
  rules.at_least(
      radius, smallest_radius, side, "so that the corner can be meshed", "Round the corners more.");
  rules.at_most(radius,
                largest_share * side.value,
                side,
                "so that straight sides stay between the corners",
                "Round the corners less, or choose opening = \"oval\" or \"round\".");
}

/// Keeps the inlet off the spinner and on its own side of the deck.
void add_beside_rules(const ShapeSpec& spec, const NamedInlet& named, RuleList& rules) {
  const InletSpec& in = named.in;
  const KeyedLength spacing{"inlets.spacing", spec.inlets.spacing};
  const double mouth = mouth_offset(in);
  const double spinner = 0.5 * spec.spinner.diameter + spinner_margin;
  double beside = 0.0;
  for (const ContourPoint& p : opening_contour(in, 360)) {
    const double height = in.height + p.z + mouth * p.normal_z;
    if (std::abs(height) >= spinner) continue;
    beside = std::max(beside, std::sqrt(spinner * spinner - height * height) - (p.y + mouth * p.normal_y));
  }
  rules.at_least(spacing,
                 2.0 * beside,
                 {"propeller.spinner_diameter", spec.spinner.diameter},
                 "so that the inlets clear the spinner",
                 "Move the inlets apart or up, make them smaller, or fit a smaller spinner.");
  const double wall = spec.plenum.kind == PlenumKind::Split ? spec.plenum.wall_thickness : 0.0;
  const double half_width = 0.5 * opening_width(in);
  const double reach = std::max(half_width + mouth, half_width * named.at.end_scale);
  rules.at_least(spacing,
                 2.0 * (reach + margin) + wall + 2.0 * margin,
                 named.size(),
                 "so that the two inlets stay apart",
                 "Move the inlets apart or make them smaller.");
}

void add_place_rules(const ShapeSpec& spec, const NamedInlet& named, RuleList& rules) {
  const double front = spec.plenum.front_station;
  add_passing_rules(spec,
                    named,
                    {spec.cowl.nose_station,
                     0.0,
                     1.0,
                     mouth_offset(named.in) + margin,
                     {"cowl.face_width", spec.cowl.face_width},
                     "so that the inlets lie inside the nose face"},
                    rules);
  add_passing_rules(spec,
                    named,
                    {front,
                     spec.cowl.skin_thickness,
                     named.at.end_scale,
                     throat_step,
                     {"plenum.front_station", front},
                     "so that the throats open into the upper deck inside its skin"},
                    rules);
}

void add_length_rules(const ShapeSpec& spec, const NamedInlet& named, RuleList& rules) {
  constexpr double shortest_diffuser = 0.020;
  const InletSpec& in = named.in;
  const double front = spec.plenum.front_station;
  const KeyedLength front_wall{"plenum.front_station", front};
  rules.at_least(front_wall,
                 named.at.throat_start + shortest_throat,
                 named.keyed("lip_radius", in.lip_radius),
                 "so that 30 mm of straight throat lie between the ring and the deck",
                 "Move the plenum's front wall aft or round the ring less.");
  if (in.diffuser_length == 0.0) return;
  const KeyedLength diffuser = named.keyed("diffuser_length", in.diffuser_length);
  rules.at_least(
      diffuser, shortest_diffuser, front_wall, "so that it can be meshed", "Lengthen it or leave it away.");
  rules.at_most(diffuser,
                front - named.at.throat_start - shortest_throat,
                front_wall,
                "so that 30 mm of straight throat lie between the ring and the diffuser",
                "Shorten the diffuser or move the plenum's front wall aft.");
  add_passing_rules(spec,
                    named,
                    {named.at.throat_end,
                     spec.cowl.skin_thickness,
                     1.0,
                     margin,
                     diffuser,
                     "so that the diffuser begins inside the skin"},
                    rules);
}

}  // namespace

void add_nose_rules(const ShapeSpec& spec, RuleList& rules) {
  add_face_rules(spec, rules);
  for (const base::Side side : distinct_inlets(spec)) {
    const NamedInlet named{inlet(spec, side), inlet_layout(spec, side), inlet_section(spec, side)};
    add_ring_rules(spec, named, rules);
    add_corner_rules(named, rules);
    add_beside_rules(spec, named, rules);
    add_place_rules(spec, named, rules);
    add_length_rules(spec, named, rules);
  }
  rules.at_most({"cowl.nose_length", spec.cowl.nose_length},
                spec.cowl.firewall_station - spec.cowl.nose_station - 0.1,
                {"cowl.firewall_station", spec.cowl.firewall_station},
                "so that the section is full 100 mm ahead of the firewall",
                "Shorten the nose or move the firewall aft.");
}

}  // namespace cowlwright::shape
