// SPDX-License-Identifier: GPL-3.0-or-later
//
// Flat patterns with the words that belong on them.
#include "geometry/shape/layout.h"
#include "geometry/shape/opening.h"
#include "geometry/templates/flat_patterns.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace cowlwright::templates {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double mm = 1000.0;  // per m
constexpr double word_height = 0.004;

std::string ring_caution() {
  return "A ring is curved both ways and cannot be laid flat without stretching: shape it over a former or "
         "laminate it, and check with section and edge templates.";
}

Drawing lip_drawing(const shape::ShapeSpec& spec, const Plate& plate) {
  const LipPattern pattern = lip_pattern(spec, plate);
  const double degrees = spec.exit.lip_angle * 180.0 / pi;
  Drawing drawing;
  drawing.stem = "LIP";
  drawing.title = "Exit lip, flat plate";
  drawing.strokes.push_back({"LIP", Line::Cut, pattern.outline});
  for (const Curve& curve : pattern.bends) drawing.strokes.push_back({"LIP_BEND", Line::Bend, curve});
  for (const Curve& curve : pattern.slits) drawing.strokes.push_back({"LIP_SLITS", Line::Cut, curve});
  drawing.notes = {
      "Seen from above: flange (forward) up, the pilot's right on the right; the lip is bent away from you.",
      fmt::format(
          "Developed length flange to tip {:.1f} mm = flange {:.1f} + lip {:.1f} - 2 x setback {:.2f} + "
          "allowance {:.2f} mm; flange and lip to the corner of the outer sides.",
          mm * pattern.bend.developed,
          mm * plate.flange,
          mm * spec.exit.lip_length,
          mm * pattern.bend.setback,
          mm * pattern.bend.allowance),
      fmt::format(
          "Sheet {:g} mm, bent down by {:.1f} deg over an inside radius of {:g} mm. Setback (R + t) "
          "tan(A/2), allowance A (R + k t) with k = {:g}: common practice, no source; bend a test piece.",
          mm * plate.thickness,
          degrees,
          mm * plate.bend_radius,
          plate.k_factor)};
  if (!pattern.slits.empty()) {
    drawing.notes.push_back(fmt::format(
        "The edge is curved, so the bend bows by {:.1f} mm in the flat plate: slit the flange into {} "
        "tabs, each bent along a straight line within 0.5 mm. Bent, their ends {} by {:.1f} mm in all.",
        mm * pattern.bow,
        pattern.slits.size() + 1,
        pattern.tab_spread < 0.0 ? "overlap" : "spread",
        mm * std::abs(pattern.tab_spread)));
  }
  drawing.notes.emplace_back(
      "The lip itself unrolls exactly: its rulings are parallel. Side plates are not in this pattern.");
  const double flange = plate.flange - pattern.bend.setback;
  drawing.labels.push_back({"LIP", {0.005, 0.4 * flange - pattern.bow}, word_height, "FLANGE"});
  drawing.labels.push_back({"LIP",
                            {0.005, -pattern.bow - pattern.bend.allowance - 0.010},
                            word_height,
                            fmt::format("LIP, bent down {:.1f} deg", degrees)});
  return drawing;
}

/// Section through a ring, its axis to the right (aft), away from the axis upward; 0 is the crest's station
/// and the throat's edge.
Drawing ring_section(const shape::ShapeSpec& spec, base::Side side, const std::string& name) {
  const shape::InletSpec& in = shape::inlet(spec, side);
  const shape::InletLayout at = shape::inlet_layout(spec, side);
  constexpr int n_arc = 60;
  Curve profile;
  profile.points.push_back({at.throat_end - at.crest, 0.0});
  for (int i = 0; i <= n_arc; ++i) {
    const double t = 0.5 * pi * i / n_arc;
    profile.points.push_back({in.lip_radius * (1.0 - std::sin(t)), in.lip_radius * (1.0 - std::cos(t))});
  }
  Drawing drawing;
  drawing.stem = name + "_SECTION";
  drawing.title = name + " section";
  drawing.notes = {
      "Cut along the duct's axis: aft to the right, away from the axis up. Outer line of the finished ring.",
      fmt::format("Inner rounding R {:.1f} mm, straight throat {:.1f} mm behind it.",
                  mm * in.lip_radius,
                  mm * (at.throat_end - at.throat_start))};
  if (in.ring == shape::RingStyle::Proud) {
    const double round = std::min(in.lip_radius, 0.8 * in.ring_stand);
    const double land = in.lip_radius + shape::crest_land;
    for (int i = 0; i <= n_arc; ++i) {
      const double t = 0.5 * pi * i / n_arc;
      profile.points.push_back({round * (1.0 - std::cos(t)), land + round * std::sin(t)});
    }
    profile.points.push_back({in.ring_stand, land + round});
    drawing.notes.push_back(
        fmt::format("Land {:.1f} mm at the crest, outer rounding R {:.1f} mm, crest {:.1f} mm ahead "
                    "of the nose face.",
                    mm * shape::crest_land,
                    mm * round,
                    mm * in.ring_stand));
  }
  drawing.notes.push_back(fmt::format("Outline: length {:.1f} mm, open.", mm * curve_length(profile)));
  drawing.strokes.push_back({name, Line::Cut, profile});
  return drawing;
}

Curve edge_of(const shape::InletSpec& in, double offset) {
  constexpr int n_points = 960;
  Curve curve{{}, true};
  for (const shape::ContourPoint& p : shape::opening_contour(in, n_points)) {
    curve.points.push_back({p.y + offset * p.normal_y, p.z + offset * p.normal_z});
  }
  return curve;
}

Drawing ring_edges(const shape::InletSpec& in, const std::string& name) {
  Drawing drawing;
  drawing.stem = name + "_EDGES";
  drawing.title = name + " edges";
  drawing.notes = {"Seen from behind along the duct's axis, which is where the marks cross."};
  const auto add = [&](const std::string& what, double offset) {
    Curve curve = edge_of(in, offset);
    drawing.notes.push_back(fmt::format("{}: length {:.1f} mm.", what, mm * curve_length(curve)));
    drawing.strokes.push_back({name, Line::Cut, std::move(curve)});
  };
  add("Throat", 0.0);
  if (in.lip_radius > 0.0) add("Crest", in.lip_radius);
  if (in.ring == shape::RingStyle::Proud) {
    const double round = std::min(in.lip_radius, 0.8 * in.ring_stand);
    add("Outer edge of the land", in.lip_radius + shape::crest_land);
    add("Foot on the nose face", in.lip_radius + shape::crest_land + round);
  }
  const Box2 box = extents(drawing);
  drawing.strokes.push_back({"MARKS", Line::Mark, {{{box.low[0], 0.0}, {box.high[0], 0.0}}, false}});
  drawing.strokes.push_back({"MARKS", Line::Mark, {{{0.0, box.low[1]}, {0.0, box.high[1]}}, false}});
  return drawing;
}

Drawing ring_gore_drawing(const shape::InletSpec& in, const std::string& name) {
  const Gores gores = ring_gores(in);
  Drawing drawing;
  drawing.stem = name + "_GORES";
  drawing.title = name + " gores";
  for (const Curve& curve : gores.outlines) drawing.strokes.push_back({name + "_GORES", Line::Cut, curve});
  drawing.notes = {
      ring_caution(),
      fmt::format("{} gores of the inner rounding, throat down, crest up, {:.1f} mm along the quarter "
                  "circle. Middle lines and widths are true; edges are up to {:.2f} % too long and have to "
                  "be shrunk.",
                  gores.n,
                  mm * gores.height,
                  100.0 * gores.stretch)};
  return drawing;
}

void add_inlet(std::vector<Drawing>& drawings,
               const shape::ShapeSpec& spec,
               base::Side side,
               const std::string& suffix) {
  const shape::InletSpec& in = shape::inlet(spec, side);
  const shape::InletLayout at = shape::inlet_layout(spec, side);
  const std::string ring = "RING" + suffix;
  if (in.ring != shape::RingStyle::None) {
    drawings.push_back(ring_section(spec, side, ring));
    drawings.push_back(ring_gore_drawing(in, ring));
  }
  drawings.push_back(ring_edges(in, ring));
  const double throat = at.throat_end - at.throat_start;
  Drawing duct;
  duct.stem = "DUCT" + suffix;
  duct.title = "DUCT" + suffix + " flat";
  for (const Curve& curve : duct_development(in, throat))
    duct.strokes.push_back({duct.stem, Line::Cut, curve});
  if (duct.strokes.empty()) return;
  duct.notes = {"Inner side of the duct, opened along a seam at its foot; nothing is added for the seam.",
                fmt::format("Straight throat {:.1f} mm long, {:.1f} mm round; diffuser {:.1f} mm long, ends "
                            "with {:.2f} times the "
                            "throat's area. Both unroll exactly.",
                            mm * throat,
                            mm * shape::opening_perimeter(in),
                            mm * in.diffuser_length,
                            in.diffuser_length > 0.0 ? in.diffuser_area_ratio : 1.0)};
  drawings.push_back(std::move(duct));
}

}  // namespace

std::vector<Drawing> flat_patterns(const shape::ShapeSpec& spec, const Plate& plate) {
  std::vector<Drawing> drawings;
  if (spec.exit.lip_length > 0.0) drawings.push_back(lip_drawing(spec, plate));
  if (spec.own != nullptr) return drawings;  // rings and ducts are the user's own
  if (spec.inlets.left == spec.inlets.right) {
    add_inlet(drawings, spec, base::Side::Right, "");
    for (Drawing& drawing : drawings) {
      if (drawing.stem != "LIP") drawing.notes.emplace_back("The same for both inlets.");
    }
  } else {
    add_inlet(drawings, spec, base::Side::Left, "_LEFT");
    add_inlet(drawings, spec, base::Side::Right, "_RIGHT");
  }
  return drawings;
}

}  // namespace cowlwright::templates
