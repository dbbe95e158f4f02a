// SPDX-License-Identifier: GPL-3.0-or-later
//
// The parting line, trim edges, flanges, size, thickness and clearance.
#include "geometry/mold/findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace cowlwright::mold {
namespace {

constexpr std::size_t most_edges = 12;

std::string room_text(double room) {
  return room < flange_reach ? fmt::format("{:.0f} mm", in_mm(room))
                             : fmt::format("{:.0f} mm or more", in_mm(flange_reach));
}

Verdict judge_room(double room, const Limits& limits) {
  return room < limits.flange_error     ? Verdict::Fail
         : room < limits.flange_warning ? Verdict::Warn
                                        : Verdict::Pass;
}

std::string limit_text(const Limits& limits) {
  return fmt::format(
      ">= {:.3g} mm (fault {:.3g} mm)", in_mm(limits.flange_warning), in_mm(limits.flange_error));
}

/// "BL 0" for a plane square to an axis, else its normal.
std::string plane_text(const Vec3& point, const Vec3& normal) {
  constexpr double square = 0.9998;  // cosine of about 1 deg
  const auto station = [](const char* kind, double v) {
    return fmt::format("{} {:.0f}", kind, in_mm(v) + 0.0);
  };
  if (std::abs(normal.x) > square) return station("FS", point.x);
  if (std::abs(normal.y) > square) return station("BL", point.y);
  if (std::abs(normal.z) > square) return station("WL", point.z);
  return fmt::format("the plane square to {} through {}", direction_text(normal), place_text(point));
}

Finding parting_room(const Subject& subject, const MoldReport& report) {
  const Limits& limits = subject.options.limits;
  const FlangeRoom room = room_at(report.parting, subject.tree, limits.flange_warning);
  Finding finding{.key = "parting_flange",
                  .title = "Flange at parting line",
                  .verdict = judge_room(room.least, limits),
                  .value = in_mm(room.least),
                  .unit = "mm",
                  .limit = limit_text(limits)};
  finding.text = fmt::format("least room {}", room_text(room.least));
  if (room.length_below > 0.0) {
    finding.text += fmt::format(
        "; {:.0f} of {:.0f} mm have less than the limit", in_mm(room.length_below), in_mm(room.length));
  }
  if (finding.verdict != Verdict::Pass) finding.places.push_back({0, room.place, finding.text});
  return finding;
}

Finding edge_room(const Subject& subject, const MoldReport& report) {
  const Limits& limits = subject.options.limits;
  FlangeRoom worst;
  Finding finding{
      .key = "trim_flange", .title = "Flange at trim edges", .unit = "mm", .limit = limit_text(limits)};
  double below = 0.0;
  for (const TrimEdge& edge : report.edges) {
    const FlangeRoom room = room_at(edge, subject.tree, limits.flange_warning);
    below += room.length_below;
    if (room.least < worst.least) worst = room;
    if (judge_room(room.least, limits) == Verdict::Pass || finding.places.size() == most_edges) continue;
    finding.places.push_back({0,
                              room.place,
                              fmt::format("room {}; {:.0f} of {:.0f} mm of this edge below the limit",
                                          room_text(room.least),
                                          in_mm(room.length_below),
                                          in_mm(room.length))});
  }
  finding.verdict = judge_room(worst.least, limits);
  finding.value = in_mm(worst.least);
  finding.text = fmt::format("least room {}", room_text(worst.least));
  if (below > 0.0) finding.text += fmt::format("; {:.0f} mm of edge have less than the limit", in_mm(below));
  return finding;
}

}  // namespace

Finding mold_side_finding(const Sheet& sheet) {
  // An open sheet has no inside; seen from the middle of its box most of it should face out, or the mold
  // stands where the part's inside is.
  const Vec3 middle = 0.5 * (sheet.low + sheet.high);
  double out = 0.0, all = 0.0;
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    all += sheet.area[f];
    if (dot(sheet.normal[f], sheet.centroid[f] - middle) > 0.0) out += sheet.area[f];
  }
  const double share = 100.0 * out / all;
  Finding finding{.key = "mold_side", .title = "Side of the mold", .value = share, .unit = "%"};
  finding.text = fmt::format(
      "the mold stands on the side the surface faces: {:.0f} % of it faces away from the middle; {}",
      share,
      share < 50.0 ? "this is a mold for the inside (--side)" : "a mold for the outside (--side)");
  return finding;
}

std::vector<Finding> parting_findings(const Subject& subject, const MoldReport& report) {
  Finding finding{.key = "parting_line",
                  .title = report.is_parting_given ? "Parting line, given" : "Parting line, proposed",
                  .value = in_mm(report.parting.length),
                  .unit = "mm"};
  if (report.pulls.size() == 1) {
    finding.title = "Parting line";
    finding.value = std::nan("");
    finding.text = "none: one pull, a mold in one piece";
    return {finding};
  }
  if (report.parting.pieces.empty()) {
    finding.text = "none: one pull draws the whole surface";
    return {finding};
  }
  finding.text = fmt::format(
      "{:.0f} mm in {}; within {:.1f} mm of {}",
      in_mm(report.parting.length),
      report.parting.pieces.size() == 1 ? "1 piece" : fmt::format("{} pieces", report.parting.pieces.size()),
      in_mm(report.parting.off_plane),
      plane_text(report.parting.plane_point, report.parting.plane_normal));
  return {finding, parting_room(subject, report)};
}

std::vector<Finding> edge_findings(const Subject& subject, const MoldReport& report) {
  Finding finding{.key = "trim_edges",
                  .title = "Trim edges",
                  .value = static_cast<double>(report.edges.size()),
                  .unit = "edges"};
  if (report.edges.empty()) {
    finding.text = "none: the surface is closed";
    return {finding};
  }
  for (std::size_t i = 0; i < std::min(report.edges.size(), most_edges); ++i) {
    const TrimEdge& edge = report.edges[i];
    finding.text +=
        fmt::format("{}{}: {:.0f} mm long, {:.0f} x {:.0f} x {:.0f} mm about {}, {}",
                    i == 0 ? "" : "\n",
                    i + 1,
                    in_mm(edge.length),
                    in_mm(edge.size.x),
                    in_mm(edge.size.y),
                    in_mm(edge.size.z),
                    place_text(edge.place),
                    edge.is_flat ? fmt::format("flat within {:.1f} mm", in_mm(edge.off_plane))
                                 : fmt::format("not flat, {:.0f} mm off its plane", in_mm(edge.off_plane)));
  }
  if (report.edges.size() > most_edges)
    finding.text += fmt::format("\nand {} shorter", report.edges.size() - most_edges);
  return {finding, edge_room(subject, report)};
}

Finding thickness_finding(const Subject& subject) {
  const Limits& limits = subject.options.limits;
  const Thickness thickness = section_thickness(
      subject.sheet, subject.tree, subject.options.side == MoldSide::Outside, limits.thickness);
  Finding finding{.key = "thickness",
                  .title = "Section thickness",
                  .value = std::nan(""),
                  .unit = "mm",
                  .limit = fmt::format(">= {:.3g} mm", in_mm(limits.thickness)),
                  .text = "not applicable: a sheet without thickness"};
  if (!thickness.is_known) return finding;
  finding.value = in_mm(thickness.least);
  finding.verdict = thickness.least < limits.thickness ? Verdict::Warn : Verdict::Pass;
  finding.text = fmt::format("smallest {:.3g} mm at {}", finding.value, place_text(thickness.place));
  if (finding.verdict == Verdict::Warn) {
    finding.text += fmt::format("; {} thinner than the limit", area_text(thickness.area_below));
    finding.places.push_back({0, thickness.place, fmt::format("{:.3g} mm thick", finding.value)});
  }
  return finding;
}

std::vector<Finding> extent_findings(const MoldReport& report, const LayUp& lay_up) {
  const Extent& extent = report.extent;
  const Vec3 size = extent.high - extent.low;
  Finding overall{.key = "size", .title = "Size", .value = extent.area, .unit = "m2"};
  overall.text = fmt::format(
      "FS {:.0f} to {:.0f}, BL {:.0f} to {:.0f}, WL {:.0f} to {:.0f}: {:.0f} x {:.0f} x {:.0f} mm; area {}",
      in_mm(extent.low.x),
      in_mm(extent.high.x),
      in_mm(extent.low.y),
      in_mm(extent.high.y),
      in_mm(extent.low.z),
      in_mm(extent.high.z),
      in_mm(size.x),
      in_mm(size.y),
      in_mm(size.z),
      area_text(extent.area));
  for (std::size_t k = 0; k < report.pulls.size() && report.pulls.size() > 1; ++k) {
    overall.text +=
        fmt::format(", {} drawn {}", area_text(extent.area_of_half[k]), direction_text(report.pulls[k]));
  }
  std::string plies;
  for (const double ply : lay_up.plies)
    plies += fmt::format("{}{:.0f}", plies.empty() ? "" : " + ", 1000.0 * ply);
  Finding mass{.key = "mass",
               .title = "Laminate and gel coat",
               .value = extent.laminate_mass + extent.gel_mass,
               .unit = "kg"};
  mass.text = fmt::format(
      "{:.2f} kg laminate ({} g/m2 of cloth, {:.0f} % resin by mass) and {:.2f} kg gel coat ({:.2f} mm, "
      "{:.0f} kg/m3), without "
      "cores, flanges and waste",
      extent.laminate_mass,
      plies,
      100.0 * lay_up.resin_share,
      extent.gel_mass,
      in_mm(lay_up.gel_thickness),
      lay_up.gel_density);
  return {overall, mass};
}

Finding clearance_finding(const NearBody& body, const Clearance& clearance) {
  const double skin = clearance.is_on_mold_side ? 0.0 : body.skin;
  const double room = clearance.distance - skin;
  Finding finding{.key = "clearance_" + body.name,
                  .title = "Clearance to " + body.name,
                  .verdict = body.may_touch      ? Verdict::Info
                             : room < body.least ? Verdict::Fail
                                                 : Verdict::Pass,
                  .value = in_mm(room),
                  .unit = "mm",
                  .limit = body.may_touch ? "" : fmt::format(">= {:.3g} mm", in_mm(body.least))};
  finding.text = fmt::format("{:.1f} mm from the surface at {}, {}",
                             in_mm(clearance.distance),
                             place_text(clearance.on_surface),
                             clearance.distance == 0.0   ? "touching or crossing it"
                             : clearance.is_on_mold_side ? "on the mold's side"
                                                         : "behind it");
  if (body.may_touch) {
    finding.text += "; modelled as standing on it, not judged";
    finding.value = in_mm(clearance.distance);
    return finding;
  }
  if (skin > 0.0)
    finding.text += fmt::format("; {:.1f} mm less a skin of {:.1f} mm", in_mm(room), in_mm(skin));
  if (finding.verdict == Verdict::Fail) finding.places.push_back({0, clearance.on_surface, finding.text});
  return finding;
}

}  // namespace cowlwright::mold
