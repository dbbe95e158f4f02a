// SPDX-License-Identifier: GPL-3.0-or-later
//
// The skin is cut from the same parts as the installation's outside, before anything inside is carved.
#include "geometry/shape/cowl_skin.h"

#include "geometry/base/error.h"
#include "geometry/shape/boolean.h"
#include "geometry/shape/connectivity.h"
#include "geometry/shape/layout.h"
#include "geometry/shape/own_cowl.h"
#include "geometry/shape/parts.h"
#include "geometry/shape/patches.h"
#include "geometry/shape/rule_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace cowlwright::shape {

namespace {

/// Coordinates of one station differ by rounding only; stations lie millimetres apart [m].
constexpr double same_station = 1e-9;

[[noreturn]] void fail_skin(const std::string& what) {
  throw base::ResultError(fmt::format(
      "cowl skin: {}. It is not one sheet with clean edges; please report the study file.", what));
}

/// The triangles for which `is_kept` holds, with the points and patch names they use, in the same order.
template <typename Predicate>
Surface part_of(const Surface& whole, const Predicate& is_kept) {
  constexpr auto unused = std::numeric_limits<std::uint32_t>::max();
  std::vector<std::uint32_t> kept;
  std::vector<std::uint32_t> point(whole.points.size(), unused);
  std::vector<std::uint32_t> name(whole.patch_names.size(), unused);
  for (std::uint32_t i = 0; i < whole.triangles.size(); ++i) {
    if (!is_kept(i)) continue;
    kept.push_back(i);
    for (const std::uint32_t k : whole.triangles[i]) point[k] = 0;
    name[whole.patch[i]] = 0;
  }
  Surface part;
  for (std::size_t k = 0; k < point.size(); ++k) {
    if (point[k] == unused) continue;
    point[k] = static_cast<std::uint32_t>(part.points.size());
    part.points.push_back(whole.points[k]);
  }
  for (std::size_t k = 0; k < name.size(); ++k) {
    if (name[k] == unused) continue;
    name[k] = static_cast<std::uint32_t>(part.patch_names.size());
    part.patch_names.push_back(whole.patch_names[k]);
  }
  for (const std::uint32_t i : kept) {
    const auto& t = whole.triangles[i];
    part.triangles.push_back({point[t[0]], point[t[1]], point[t[2]]});
    part.patch.push_back(static_cast<std::uint16_t>(name[whole.patch[i]]));
  }
  return part;
}

/// Whether a triangle of the cut body belongs to the skin: of the ducts all but their ends, of the body what
/// lies ahead of the step from the trailing edge up to the belly.
bool belongs_to_skin(const ShapeSpec& spec, const Layout& at, const Surface& body, std::size_t i) {
  const auto& corners = body.triangles[i];
  const auto all_lie = [&](auto is_there) {
    return std::all_of(
        corners.begin(), corners.end(), [&](std::uint32_t k) { return is_there(body.points[k].x); });
  };
  const auto patch = static_cast<Patch>(body.patch[i]);
  if (patch == Patch::InletLeft || patch == Patch::InletRight) {
    return !all_lie([&](double x) { return x > spec.plenum.front_station - same_station; });
  }
  if (patch == Patch::Cowl) return all_lie([&](double x) { return x < at.trailing_edge + same_station; });
  return patch == Patch::RingLeft || patch == Patch::RingRight;
}

Surface cut_body(const ShapeSpec& spec) {
  Solid body(outer_body(spec));
  const Surface discs = ring_discs(spec);
  if (!discs.triangles.empty()) body.unite(Solid(discs), "join ring discs with the nose");
  body.subtract(Solid(inlet_ducts(spec, DuctEnd::AtFrontWall)), "cut the inlets out of the nose");
  return body.to_surface(patch_names());
}

}  // namespace

Surface cowl_skin(const ShapeSpec& spec) {
  constexpr std::size_t n_loops = 3;  // two ducts and the rear edge
  refuse_conflicts(spec);
  if (spec.own != nullptr) return spec.own->skin;
  ShapeSpec open = spec;
  open.is_closed = false;
  const Layout at = layout(open);
  const Surface body = cut_body(open);
  Surface skin = part_of(body, [&](std::uint32_t i) { return belongs_to_skin(open, at, body, i); });
  const std::size_t found = edge_loops(skin).size();
  if (found != n_loops) fail_skin(fmt::format("{} border loops instead of {}", found, n_loops));
  const std::size_t parts = n_pieces(skin);
  if (parts != 1) fail_skin(fmt::format("{} separate parts instead of 1", parts));
  return skin;
}

}  // namespace cowlwright::shape
