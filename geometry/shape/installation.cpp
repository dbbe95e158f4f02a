// SPDX-License-Identifier: GPL-3.0-or-later
//
// Assembly and proof. The air inside is put together first and then taken out of the solid body in one cut,
// so that whatever is not air is solid.
#include "geometry/shape/installation.h"

#include "geometry/base/error.h"
#include "geometry/shape/alternator.h"
#include "geometry/shape/boolean.h"
#include "geometry/shape/builder.h"
#include "geometry/shape/own_cowl.h"
#include "geometry/shape/parts.h"
#include "geometry/shape/passages.h"
#include "geometry/shape/rule_list.h"
#include "geometry/shape/zones.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace cowlwright::shape {

namespace {

/// Inner walls keep at least this share of the skin's thickness off the outer skin.
constexpr double least_clearance_share = 0.8;

/// Air from the inlets to the exit.
Solid carve_air(const ShapeSpec& spec) {
  const Layout at = layout(spec);
  const double skin = spec.cowl.skin_thickness;
  Solid air(upper_deck(spec, spec.plenum.front_station, at.deck_end, skin, DeckPart::Whole));
  const auto join_passages = [&](base::PassageKind kind, const std::string& step) {
    const Surface ducts = passage_ducts(spec, kind);
    if (!ducts.triangles.empty()) air.unite(Solid(ducts), step);
  };
  join_passages(base::PassageKind::Core, "join upper deck and cores");
  air.unite(Solid(lower_deck(spec, at.deck_start, skin, ExitChannel::With)), "join cores and lower deck");
  join_passages(base::PassageKind::Cooler, "join oil cooler and decks");
  air.subtract(Solid(crankcase_block(spec)), "stand crankcase in the decks");
  if (spec.plenum.kind == PlenumKind::Split) {
    air.subtract(Solid(centre_wall(spec)), "split upper deck by the centre wall");
    if (const std::optional<Box> boss = centre_wall_boss(spec)) {
      air.subtract(Solid(box_surface(boss->low, boss->high, Patch::CentreWall)), "thicken the centre wall");
    }
  }
  join_passages(base::PassageKind::Leak, "join leaks and what they join");
  if (!spec.own) air.unite(Solid(inlet_ducts(spec)), "join inlets and upper deck");
  if (spec.alternator.side) air.subtract(Solid(alternator_body(spec)), "stand alternator in the upper deck");
  return air;
}

/// Lip, side plates, strut and pipes.
void add_exit_bodies(const ShapeSpec& spec, Solid& body) {
  if (spec.exit.lip_length > 0.0) body.unite(Solid(exit_lip(spec)), "join exit lip and trailing edge");
  if (spec.exit.strut_diameter > 0.0) {
    body.unite(Solid(nose_leg_strut(spec)), "stand the strut in the exit channel");
  }
  if (spec.exit.exhaust_diameter > 0.0) {
    body.unite(Solid(exhaust_pipes(spec)), "hang the exhaust pipes in the exit channel");
  }
}

/// What of a user's surface the kernel would refuse, in words that lead to the fault.
void refuse_unsound(const OwnCowl& own, const Surface& body) {
  const SurfaceProof proof = prove_surface(body);
  if (proof.first_fault.empty()) return;
  throw base::InputError(fmt::format(
      "{}: closed to a body, the surface has {}. See `cowlwright inspect`, mend it with `cowlwright repair`.",
      own.name,
      proof.first_fault));
}

/// Cowl and fuselage without anything hollow but an own cowl's ducts.
Solid solid_body(const ShapeSpec& spec) {
  if (!spec.own) return Solid(outer_body(spec));
  const Surface cowl = own_body(spec);
  refuse_unsound(*spec.own, cowl);
  Solid body(cowl);
  body.unite(Solid(own_fuselage(spec)), "join own cowl and fuselage");
  return body;
}

Surface assemble(const ShapeSpec& spec) {
  Solid body = solid_body(spec);
  body.unite(Solid(nose_attachments(spec)), "join spinner and ring discs with the nose");
  if (!spec.is_closed) {
    body.subtract(carve_air(spec), "take the air out of the body");
    add_exit_bodies(spec, body);
  }
  return body.to_surface(patch_names());
}

/// Keeps the names in use, in the common order.
void drop_unused_names(Surface& surface) {
  std::vector<bool> is_used(surface.patch_names.size(), false);
  for (const std::uint16_t p : surface.patch) is_used[p] = true;
  std::vector<std::uint16_t> renumbered(surface.patch_names.size(), 0);
  std::vector<std::string> names;
  for (std::size_t i = 0; i < is_used.size(); ++i) {
    renumbered[i] = static_cast<std::uint16_t>(names.size());
    if (is_used[i]) names.push_back(surface.patch_names[i]);
  }
  for (std::uint16_t& p : surface.patch) p = renumbered[p];
  surface.patch_names = names;
}

/// Smallest distance from the walls inside to the outer skin, where the two belong apart: decks, throats and
/// the channel up to two skins ahead of its opening.
double measure_clearance(const ShapeSpec& spec) {
  const Layout at = layout(spec);
  const double skin = spec.cowl.skin_thickness;
  Surface inner = upper_deck(spec, spec.plenum.front_station, at.deck_end, skin, DeckPart::Whole);
  std::vector<Surface> others{lower_deck(spec, at.deck_start, skin, ExitChannel::With)};
  if (!spec.own) others.push_back(inlet_ducts(spec));
  for (const Surface& part : others) {
    inner.points.insert(inner.points.end(), part.points.begin(), part.points.end());
  }
  std::vector<std::uint32_t> points;
  for (std::uint32_t i = 0; i < inner.points.size(); ++i) {
    const double x = inner.points[i].x;
    const base::Side side = inner.points[i].y < 0.0 ? base::Side::Left : base::Side::Right;
    if (x >= inlet_layout(spec, side).throat_start && x <= at.trailing_edge - 2.0 * skin) points.push_back(i);
  }
  const Surface body = spec.own ? spec.own->skin : outer_body(spec);
  const auto cowl = static_cast<std::uint16_t>(Patch::Cowl);
  std::vector<std::uint32_t> triangles;
  for (std::uint32_t i = 0; i < body.triangles.size(); ++i) {
    const auto& t = body.triangles[i];
    const bool is_nose_face = std::all_of(
        t.begin(), t.end(), [&](std::uint32_t k) { return body.points[k].x == spec.cowl.nose_station; });
    if (!is_nose_face && (!spec.own || body.patch[i] == cowl)) triangles.push_back(i);
  }
  return smallest_distance(inner, points, body, triangles);
}

/// Tunnels through the solid: passages (2 inlets, all that air is forced through, 1 exit) less the rooms they
/// join, of which the outside is one, plus one; and the strut, round which a thread can be tied. A wall poked
/// through, or a core that misses a deck, changes the number.
int expected_tunnels(const ShapeSpec& spec) {
  if (spec.is_closed) return 0;
  const int passages = 2 + static_cast<int>(make_passages(spec).size()) + 1;
  const bool is_parted = spec.plenum.kind == PlenumKind::Split && !(spec.plenum.wall_height < 1.0);
  const int rooms = is_parted ? 4 : 3;
  return passages - rooms + 1 + (spec.exit.strut_diameter > 0.0 ? 1 : 0);
}

[[noreturn]] void fail_proof(const std::string& what) {
  throw base::ResultError(fmt::format(
      "shape: proof failed: {}. The surface is not fit for meshing; please report the study file.", what));
}

ShapeProof prove(const ShapeSpec& spec, const Surface& wetted) {
  const SurfaceProof found = prove_surface(wetted);
  if (!found.first_fault.empty()) fail_proof(found.first_fault);
  if (found.n_components != 1) fail_proof(fmt::format("{} separate bodies instead of 1", found.n_components));
  if (found.genus != expected_tunnels(spec)) {
    fail_proof(fmt::format("{} tunnels through the body instead of {}", found.genus, expected_tunnels(spec)));
  }
  for (const std::string& name : expected_patches(spec)) {
    if (!(surface_area(wetted, name) > 0.0)) fail_proof(fmt::format("patch {} is empty", name));
  }
  ShapeProof proof;
  proof.n_triangles = wetted.triangles.size();
  proof.is_closed = found.is_closed;
  proof.is_free_of_self_intersections = found.is_free_of_self_intersections;
  proof.bounds_a_volume = found.bounds_a_volume;
  proof.n_components = found.n_components;
  proof.n_tunnels = found.genus;
  proof.volume = found.volume;
  if (spec.is_closed) return proof;
  proof.smallest_clearance = measure_clearance(spec);
  const double least = least_clearance_share * spec.cowl.skin_thickness;
  if (!(proof.smallest_clearance >= least)) {
    fail_proof(fmt::format("inner walls come within {:.2f} mm of the outer skin: at least {:.2f} mm",
                           1000.0 * proof.smallest_clearance,
                           1000.0 * least));
  }
  return proof;
}

}  // namespace

std::vector<std::string> expected_patches(const ShapeSpec& spec) {
  std::vector<std::string> names{"spinner", "cowl", "fuselage"};
  const auto add_rings = [&](auto is_there) {
    if (is_there(spec.inlets.left)) names.push_back("ring_left");
    if (is_there(spec.inlets.right)) names.push_back("ring_right");
  };
  if (spec.is_closed) {
    add_rings([](const auto& inlet) { return inlet.ring == RingStyle::Proud; });
    return names;
  }
  names.insert(names.end(), {"inlet_left", "inlet_right"});
  add_rings([](const auto& inlet) { return inlet.ring != RingStyle::None; });
  names.insert(names.end(), {"upper_deck", "baffle", "core_wall"});
  if (spec.oil_cooler.place != CoolerPlace::None) names.push_back("oil_cooler_wall");
  const auto& leaks = spec.leaks.effective_area;
  if (std::any_of(leaks.begin(), leaks.end(), [](double area) { return area > 0.0; })) {
    names.push_back("leak_wall");
  }
  names.push_back("crankcase");
  if (spec.plenum.kind == PlenumKind::Split) names.push_back("centre_wall");
  names.insert(names.end(), {"lower_deck", "firewall", "exit_wall"});
  if (spec.exit.lip_length > 0.0) names.push_back("exit_lip");
  if (spec.exit.side_plates) names.push_back("side_plate");
  if (spec.exit.strut_diameter > 0.0) names.push_back("strut");
  if (spec.exit.exhaust_diameter > 0.0) names.push_back("exhaust");
  if (spec.alternator.side) names.push_back("alternator");
  return names;
}

Installation build_installation(const ShapeSpec& spec) {
  refuse_conflicts(spec);
  Installation result;
  result.wetted = assemble(spec);
  drop_unused_names(result.wetted);
  result.proof = prove(spec, result.wetted);
  if (spec.is_closed) return result;
  result.zones = make_zones(spec);
  result.planes = make_planes(spec);
  result.surveys = make_surveys(spec);
  result.passages = make_passages(spec);
  return result;
}

DerivedSizes derived_sizes(const ShapeSpec& spec) {
  DerivedSizes sizes;
  for (const MeasurementPlane& plane : make_planes(spec)) {
    if (plane.record.role == base::PlaneRole::Inlet) sizes.inlet_area += plane.record.area;
    if (plane.record.role == base::PlaneRole::Core) sizes.core_area += plane.record.area;
    if (plane.record.role == base::PlaneRole::Exit) sizes.exit_area += plane.record.area;
  }
  for (const Zone& zone : make_zones(spec)) {
    if (zone.record.role == base::ZoneRole::UpperDeck) sizes.upper_deck_volume += zone.record.volume;
    if (zone.record.role == base::ZoneRole::LowerDeck) sizes.lower_deck_volume += zone.record.volume;
  }
  sizes.exit_to_inlet = sizes.exit_area / sizes.inlet_area;
  sizes.core_to_inlet = sizes.core_area / sizes.inlet_area;
  sizes.trailing_edge_station = layout(spec).trailing_edge;
  return sizes;
}

}  // namespace cowlwright::shape
