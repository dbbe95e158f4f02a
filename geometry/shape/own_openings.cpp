// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cutting and naming the open edges of a user's skin.
#include "geometry/shape/own_openings.h"

#include "geometry/base/error.h"
#include "geometry/shape/connectivity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <utility>

namespace cowlwright::shape {

namespace {

bool holds(const Box& box, const base::Vec3& p) {
  return p.x >= box.low.x && p.x <= box.high.x && p.y >= box.low.y && p.y <= box.high.y && p.z >= box.low.z &&
         p.z <= box.high.z;
}

base::Vec3 centroid(const Surface& surface, const std::array<std::uint32_t, 3>& t) {
  return (1.0 / 3.0) * (surface.points[t[0]] + surface.points[t[1]] + surface.points[t[2]]);
}

/// Splits triangles at a station; equal edges get one new point.
class StationCut {
 public:
  StationCut(Surface& surface, double station) : surface_(&surface), station_(station) {}

  /// The part of a triangle ahead of the station, as a fan.
  std::vector<std::uint32_t> part_ahead(const std::array<std::uint32_t, 3>& t) {
    std::vector<std::uint32_t> polygon;
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = t[k];
      const std::uint32_t b = t[(k + 1) % 3];
      if (is_ahead(a)) polygon.push_back(a);
      if (is_ahead(a) != is_ahead(b)) polygon.push_back(point_between(a, b));
    }
    return polygon;
  }

 private:
  bool is_ahead(std::uint32_t i) const { return surface_->points[i].x < station_; }

  std::uint32_t point_between(std::uint32_t a, std::uint32_t b) {
    const auto key = std::minmax(a, b);
    const auto [entry, is_new] = made_.try_emplace(key, static_cast<std::uint32_t>(surface_->points.size()));
    if (is_new) {
      const base::Vec3 p = surface_->points[key.first];
      const base::Vec3 q = surface_->points[key.second];
      base::Vec3 cut = p + (station_ - p.x) / (q.x - p.x) * (q - p);
      cut.x = station_;
      surface_->points.push_back(cut);
    }
    return entry->second;
  }

  Surface* surface_;
  double station_;
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> made_;
};

[[noreturn]] void fail(const std::string& what) {
  throw base::InputError(what);
}

double distance_to(const Surface& surface, const Loop& loop, const base::Vec3& p) {
  double least = HUGE_VAL;
  for (const std::uint32_t i : loop) least = std::min(least, norm(surface.points[i] - p));
  return least;
}

/// Turns of the loop about the shaft line: not 0 when the shaft passes through it.
int turns_about_shaft(const Surface& surface, const Loop& loop) {
  double sum = 0.0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const base::Vec3& a = surface.points[loop[i]];
    const base::Vec3& b = surface.points[loop[(i + 1) % loop.size()]];
    sum += std::atan2(a.y * b.z - a.z * b.y, a.y * b.y + a.z * b.z);
  }
  return static_cast<int>(std::lround(sum / (2.0 * std::numbers::pi)));
}

std::string list_of(const Surface& surface, const std::vector<Loop>& loops) {
  std::string text;
  for (const Loop& loop : loops) {
    const Box box = loop_box(surface, loop);
    text += fmt::format("\n  edge {:.0f} mm round, centre {}",
                        1000.0 * loop_length(surface, loop),
                        shown_place(0.5 * (box.low + box.high)));
  }
  return text;
}

/// Takes the loop an opening names out of the list.
Loop take(const Surface& surface,
          std::vector<Loop>& loops,
          const NamedOpening& opening,
          const std::string& name,
          bool whole) {
  constexpr double reach = 0.10;  // of a point that names an edge [m]
  std::vector<std::size_t> fits;
  if (opening.near_point) {
    const auto nearest = std::min_element(loops.begin(), loops.end(), [&](const Loop& a, const Loop& b) {
      return distance_to(surface, a, *opening.near_point) < distance_to(surface, b, *opening.near_point);
    });
    if (nearest != loops.end() && distance_to(surface, *nearest, *opening.near_point) <= reach) {
      fits.push_back(static_cast<std::size_t>(nearest - loops.begin()));
    }
  } else if (opening.box) {
    for (std::size_t i = 0; i < loops.size(); ++i) {
      const auto inside = [&](std::uint32_t p) { return holds(*opening.box, surface.points[p]); };
      if (whole ? std::all_of(loops[i].begin(), loops[i].end(), inside)
                : std::any_of(loops[i].begin(), loops[i].end(), inside)) {
        fits.push_back(i);
      }
    }
  }
  if (fits.size() != 1) {
    fail(fmt::format(
        "{}: {} open edge{} of the surface {} there: must be exactly one.{} The open edges are:{}",
        name,
        fits.empty() ? "no" : fmt::format("{}", fits.size()),
        fits.size() > 1 ? "s" : "",
        opening.near_point ? "within 100 mm of the point"
        : whole            ? "wholly in the box"
                           : "in the box",
        loops.empty() ? " The surface has none: cut the openings first." : "",
        list_of(surface, loops)));
  }
  Loop found = std::move(loops[fits.front()]);
  loops.erase(loops.begin() + static_cast<std::ptrdiff_t>(fits.front()));
  return found;
}

}  // namespace

std::string shown_place(const base::Vec3& p) {
  return fmt::format("FS {:.1f} BL {:.1f} WL {:.1f} mm", 1000.0 * p.x, 1000.0 * p.y, 1000.0 * p.z);
}

void cut_behind(Surface& surface, const NamedOpening& opening, const std::string& name) {
  if (!opening.cut_station) return;
  if (!opening.box) {
    fail(fmt::format("{}: cut_station needs box_low and box_high, so that only what lies in the box is cut.",
                     name));
  }
  const double station = *opening.cut_station;
  StationCut cut(surface, station);
  Surface kept;
  kept.patch_names = surface.patch_names;
  std::size_t n_cut = 0;
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    const std::array<std::uint32_t, 3> t = surface.triangles[i];
    const bool crosses_or_behind =
        std::any_of(t.begin(), t.end(), [&](std::uint32_t p) { return surface.points[p].x >= station; });
    if (!crosses_or_behind || !holds(*opening.box, centroid(surface, t))) {
      kept.triangles.push_back(t);
      kept.patch.push_back(surface.patch[i]);
      continue;
    }
    ++n_cut;
    const std::vector<std::uint32_t> polygon = cut.part_ahead(t);
    for (std::size_t k = 2; k < polygon.size(); ++k) {
      kept.triangles.push_back({polygon[0], polygon[k - 1], polygon[k]});
      kept.patch.push_back(surface.patch[i]);
    }
  }
  if (n_cut == 0) {
    fail(fmt::format("{}: cut_station = {:.1f} mm cuts nothing in the box. Move the station or the box.",
                     name,
                     1000.0 * station));
  }
  surface.triangles = std::move(kept.triangles);
  surface.patch = std::move(kept.patch);
}

NamedLoops name_loops(const Surface& surface, const OwnSkin& skin) {
  std::vector<Loop> loops = edge_loops(surface);
  NamedLoops named;
  named.inlet_left = take(surface, loops, skin.inlet_left, "own_inlet_left", true);
  named.inlet_right = take(surface, loops, skin.inlet_right, "own_inlet_right", true);
  named.rear = take(surface, loops, skin.exit, "own_exit", false);
  if (turns_about_shaft(surface, named.rear) == 0) {
    fail(
        "own_exit: the edge does not go round the shaft line: the cowl must be open at the rear, from the "
        "firewall "
        "above to the trailing edge below, in one edge. An exit that is a hole of its own in the skin is not "
        "supported.");
  }
  constexpr double greatest_spinner_hole = 0.35;  // from the shaft line [m]
  for (Loop& loop : loops) {
    const bool is_near = std::all_of(loop.begin(), loop.end(), [&](std::uint32_t i) {
      return std::hypot(surface.points[i].y, surface.points[i].z) < greatest_spinner_hole;
    });
    if (!is_near || turns_about_shaft(surface, loop) == 0) {
      fail(fmt::format(
          "a hole that is no named opening. Fill it (`cowlwright repair --fill-holes`) or name it. Holes "
          "left:{}",
          list_of(surface, loops)));
    }
    named.shaft.push_back(std::move(loop));
  }
  return named;
}

}  // namespace cowlwright::shape
