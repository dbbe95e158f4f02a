// SPDX-License-Identifier: GPL-3.0-or-later
//
// Finds the planes of the passages.
#include "post/quantities/passages.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::post {

namespace {

using base::PassageKind;
using base::PassageRecord;
using base::PlaneRole;

bool has_plane(const base::Manifest& manifest, const std::string& name, PlaneRole role) {
  const std::optional<std::size_t> place = find_plane(manifest, name);
  return place && manifest.planes[*place].role == role;
}

void add_to(HeatedPassage& whole, const base::Manifest& manifest, const PassageRecord& passage) {
  if (const auto plane = find_plane(manifest, passage.plane)) {
    whole.planes.push_back(*plane);
  }
  const auto outlet = find_plane(manifest, passage.outlet);
  whole.has_outlets = whole.has_outlets && outlet.has_value();
  if (outlet && std::find(whole.outlets.begin(), whole.outlets.end(), *outlet) == whole.outlets.end()) {
    whole.outlets.push_back(*outlet);  // head and barrel may share one
  }
  whole.heat += passage.heat;
}

}  // namespace

void check_passages(const base::Manifest& manifest) {
  std::string faults;
  for (const PassageRecord& passage : manifest.passages) {
    if (!has_plane(manifest, passage.plane, base::plane_role(passage.kind))) {
      faults += fmt::format("\n  passage {}: its plane '{}'", passage.zone, passage.plane);
    }
    if (!passage.outlet.empty() && !has_plane(manifest, passage.outlet, PlaneRole::Outlet)) {
      faults += fmt::format("\n  passage {}: its outlet '{}'", passage.zone, passage.outlet);
    }
  }
  if (!faults.empty()) {
    throw base::ResultError(fmt::format(
        "manifest: not among the planes, or with another role:{}\nPrepare the case again.", faults));
  }
}

std::optional<std::size_t> find_plane(const base::Manifest& manifest, const std::string& name) {
  const auto found = std::find_if(manifest.planes.begin(),
                                  manifest.planes.end(),
                                  [&name](const base::PlaneRecord& plane) { return plane.name == name; });
  return found == manifest.planes.end()
             ? std::nullopt
             : std::optional(static_cast<std::size_t>(found - manifest.planes.begin()));
}

Places joining_planes(const base::Manifest& manifest) {
  Places places = planes_of(manifest, PlaneRole::Core);
  const Places coolers = planes_of(manifest, PlaneRole::Cooler);
  places.insert(places.end(), coolers.begin(), coolers.end());
  for (const PassageRecord& passage : manifest.passages) {
    if (passage.kind == PassageKind::Leak && passage.joins_decks) {
      if (const auto plane = find_plane(manifest, passage.plane)) {
        places.push_back(*plane);
      }
    }
  }
  return places;
}

std::vector<HeatedPassage> cylinders(const base::Manifest& manifest) {
  std::vector<HeatedPassage> found;
  for (const PassageRecord& passage : manifest.passages) {
    if (passage.kind != PassageKind::Core) {
      continue;
    }
    const std::string& name = passage.cylinder.empty() ? passage.zone : passage.cylinder;
    auto known =
        std::find_if(found.begin(), found.end(), [&name](const HeatedPassage& c) { return c.name == name; });
    if (known == found.end()) {
      known = found.insert(found.end(),
                           {.name = name, .planes = {}, .outlets = {}, .has_outlets = true, .heat = 0.0});
    }
    add_to(*known, manifest, passage);
  }
  return found;
}

std::optional<HeatedPassage> oil_cooler(const base::Manifest& manifest) {
  HeatedPassage cooler{.name = "oil_cooler", .planes = {}, .outlets = {}, .has_outlets = true, .heat = 0.0};
  for (const PassageRecord& passage : manifest.passages) {
    if (passage.kind == PassageKind::Cooler) {
      add_to(cooler, manifest, passage);
    }
  }
  return cooler.planes.empty() ? std::nullopt : std::optional(cooler);
}

}  // namespace cowlwright::post
