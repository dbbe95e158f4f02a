// SPDX-License-Identifier: GPL-3.0-or-later
//
// From a user's sheet to a form with measured openings.
#include "geometry/shape/own_cowl.h"

#include "geometry/base/error.h"
#include "geometry/shape/connectivity.h"
#include "geometry/shape/outline.h"
#include "geometry/shape/own_openings.h"
#include "geometry/shape/patches.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string_view>

namespace cowlwright::shape {

namespace {

constexpr double ring_share = 0.3;  // the skin within this share of an inlet's diameter round it is its ring
constexpr double shortest_duct = 0.030;  // between an inlet's edge and the plenum's front wall [m]
constexpr double form_ahead = 0.020;     // of the plenum's front wall the form is wanted from [m]

[[noreturn]] void fail(const OwnSkin& skin, const std::string& what) {
  throw base::InputError(fmt::format("{}: {}", skin.name, what));
}

base::Vec3 mean_point(const Surface& surface, const Loop& loop) {
  base::Vec3 sum;
  for (const std::uint32_t i : loop) sum = sum + surface.points[i];
  return (1.0 / static_cast<double>(loop.size())) * sum;
}

/// Closes a loop by a fan from a point; its triangles get patch 0.
void close_by_fan(Surface& surface, const Loop& loop, const base::Vec3& apex) {
  const auto centre = static_cast<std::uint32_t>(surface.points.size());
  surface.points.push_back(apex);
  for (std::size_t k = 0; k < loop.size(); ++k) {
    surface.triangles.push_back({loop[(k + 1) % loop.size()], loop[k], centre});
    surface.patch.push_back(0);
  }
}

bool faces_inward(const Surface& sheet, const NamedLoops& loops) {
  Surface closed = sheet;
  for (const Loop* loop : {&loops.inlet_left, &loops.inlet_right, &loops.rear}) {
    close_by_fan(closed, *loop, mean_point(sheet, *loop));
  }
  return enclosed_volume(closed) < 0.0;
}

void turn_round(Surface& surface, NamedLoops& loops) {
  for (auto& t : surface.triangles) std::swap(t[1], t[2]);
  for (Loop* loop : {&loops.inlet_left, &loops.inlet_right, &loops.rear})
    std::reverse(loop->begin(), loop->end());
}

struct Centre {
  double twice_area = 0.0;
  double y = 0.0;
  double z = 0.0;
};

/// Signed area and its centre, seen along x.
Centre area_centre(const Surface& surface, const Loop& loop) {
  const base::Vec3 o = surface.points[loop.front()];
  Centre sum;
  for (std::size_t k = 0; k < loop.size(); ++k) {
    const base::Vec3 a = surface.points[loop[k]] - o;
    const base::Vec3 b = surface.points[loop[(k + 1) % loop.size()]] - o;
    const double twice = a.y * b.z - a.z * b.y;
    sum.twice_area += twice;
    sum.y += twice * (a.y + b.y) / 3.0;
    sum.z += twice * (a.z + b.z) / 3.0;
  }
  return {sum.twice_area, o.y + sum.y / sum.twice_area, o.z + sum.z / sum.twice_area};
}

/// The outline, counter-clockwise, with normals half way between those of the two edges that meet.
std::vector<ContourPoint> contour_of(
    const OwnSkin& skin, const Surface& surface, Loop loop, const Centre& centre, const std::string& name) {
  if (centre.twice_area < 0.0) std::reverse(loop.begin(), loop.end());
  const std::size_t n = loop.size();
  std::vector<ContourPoint> contour;
  for (std::size_t k = 0; k < n; ++k) {
    const base::Vec3& last = surface.points[loop[(k + n - 1) % n]];
    const base::Vec3& p = surface.points[loop[k]];
    const base::Vec3& next = surface.points[loop[(k + 1) % n]];
    ContourPoint c{p.y - centre.y, p.z - centre.z, next.z - last.z, last.y - next.y};
    const double length = std::hypot(c.normal_y, c.normal_z);
    const bool turns_on = c.y * (next.z - p.z) - c.z * (next.y - p.y) > 0.0;
    if (!(length > 0.0) || !turns_on) {
      fail(
          skin,
          fmt::format(
              "{}: the edge turns back at {}, seen along the shaft: a ray from its centre must meet it once. "
              "Cut it straight with cut_station.",
              name,
              shown_place(p)));
    }
    c.normal_y /= length;
    c.normal_z /= length;
    contour.push_back(c);
  }
  return contour;
}

/// Whether a point of the skin lies round an inlet, ahead of its edge.
bool is_round(const OwnOpening& in, double reach, const base::Vec3& p) {
  constexpr double behind = 0.010;
  return std::hypot(p.y - in.y, p.z - in.z) <= reach && p.x <= in.rear + behind;
}

double ring_reach(const OwnOpening& in) {
  double reach = 0.0;
  for (const ContourPoint& p : in.contour) reach = std::max(reach, std::hypot(p.y, p.z));
  return reach * (1.0 + 2.0 * ring_share);
}

std::shared_ptr<const OwnOpening> measure_inlet(
    const OwnSkin& skin, const Surface& surface, const Loop& loop, base::Side side, const OwnCowlRoom& room) {
  const std::string name = side == base::Side::Left ? "own_inlet_left" : "own_inlet_right";
  const Centre centre = area_centre(surface, loop);
  OwnOpening in;
  in.y = centre.y;
  in.z = centre.z;
  in.contour = contour_of(skin, surface, loop, centre, name);
  in.rear = -HUGE_VAL;
  for (const std::uint32_t i : loop) in.rear = std::max(in.rear, surface.points[i].x);
  in.front = in.rear;
  const double reach = ring_reach(in);
  for (const base::Vec3& p : surface.points) {
    if (is_round(in, reach, p)) in.front = std::min(in.front, p.x);
  }
  if ((side == base::Side::Left) != (in.y < 0.0)) {
    fail(skin,
         fmt::format("{}: its centre lies at BL {:.1f} mm, on the other side: left is where BL is negative. "
                     "Change the "
                     "names, or the axes.",
                     name,
                     1000.0 * in.y));
  }
  if (!(in.rear + shortest_duct <= room.front_station)) {
    fail(skin,
         fmt::format(
             "{}: the edge ends at FS {:.1f} mm: must be <= {:.1f} mm, so that 30 mm of duct lead to the "
             "plenum's front wall (plenum.front_station = {:.1f} mm). Cut the duct shorter with cut_station, "
             "or move the wall aft.",
             name,
             1000.0 * in.rear,
             1000.0 * (room.front_station - shortest_duct),
             1000.0 * room.front_station));
  }
  return std::make_shared<OwnOpening>(std::move(in));
}

/// Least and greatest station of a loop where a test holds, looked at along its edges.
template <typename Test>
std::pair<double, double> stations_where(const Surface& surface, const Loop& loop, Test test) {
  constexpr int n_along = 16;
  std::pair<double, double> range{HUGE_VAL, -HUGE_VAL};
  for (std::size_t k = 0; k < loop.size(); ++k) {
    const base::Vec3& a = surface.points[loop[k]];
    const base::Vec3& b = surface.points[loop[(k + 1) % loop.size()]];
    for (int i = 0; i < n_along; ++i) {
      const base::Vec3 p = a + static_cast<double>(i) / n_along * (b - a);
      if (test(p)) range = {std::min(range.first, p.x), std::max(range.second, p.x)};
    }
  }
  return range;
}

/// Station of the trailing edge; it must be straight across the exit.
double measure_trailing_edge(const OwnSkin& skin,
                             const Surface& surface,
                             const Loop& rear,
                             const OwnCowlRoom& room) {
  constexpr double play = 0.003;
  const double half = 0.5 * room.exit_width;
  const auto [from, to] =
      stations_where(surface, rear, [&](const base::Vec3& p) { return p.z < 0.0 && std::abs(p.y) <= half; });
  if (!(to - from <= play)) {
    fail(
        skin,
        fmt::format(
            "own_exit: the trailing edge runs from FS {:.1f} to {:.1f} mm over the exit's width ({:.0f} mm): "
            "must be straight within {:.0f} mm. Cut it straight with cut_station, or make the exit narrower.",
            1000.0 * from,
            1000.0 * to,
            2000.0 * half,
            1000.0 * play));
  }
  return from;
}

/// Station up to which the skin is whole above the shaft line's height.
double measure_upper_end(const OwnSkin& skin,
                         const Surface& surface,
                         const Loop& rear,
                         const OwnCowlRoom& room) {
  constexpr double play = 0.002;
  const auto [from, to] = stations_where(surface, rear, [](const base::Vec3& p) { return p.z > 0.0; });
  if (!(from >= room.firewall_station - play)) {
    fail(
        skin,
        fmt::format(
            "own_exit: the upper cowl ends at FS {:.1f} mm: must reach the firewall (cowl.firewall_station = "
            "{:.1f} mm). Lengthen the skin or move the firewall forward.",
            1000.0 * from,
            1000.0 * room.firewall_station));
  }
  return from;
}

double measure_nose(const Surface& surface, const OwnCowlRoom& room) {
  constexpr double margin = 0.010;
  double station = -HUGE_VAL;
  double foremost = HUGE_VAL;
  for (const base::Vec3& p : surface.points) {
    foremost = std::min(foremost, p.x);
    const bool is_behind_spinner =
        std::hypot(p.y, p.z) <= room.spinner_radius + margin && p.x < room.front_station;
    if (is_behind_spinner) station = std::max(station, p.x);
  }
  return std::isfinite(station) ? station : foremost;
}

void mark_rings(OwnCowl& own) {
  Surface& skin = own.skin;
  skin.patch_names = patch_names();
  for (std::size_t i = 0; i < skin.triangles.size(); ++i) {
    const auto& t = skin.triangles[i];
    const base::Vec3 middle = (1.0 / 3.0) * (skin.points[t[0]] + skin.points[t[1]] + skin.points[t[2]]);
    Patch patch = Patch::Cowl;
    if (is_round(*own.inlets[0], ring_reach(*own.inlets[0]), middle)) patch = Patch::RingLeft;
    if (is_round(*own.inlets[1], ring_reach(*own.inlets[1]), middle)) patch = Patch::RingRight;
    skin.patch[i] = static_cast<std::uint16_t>(patch);
  }
}

void measure_form(OwnCowl& own) {
  constexpr double worth_a_note = 0.005;
  const double step = 0.02;
  for (double x = own.room.front_station; x < own.trailing_edge; x += step) {
    for (int j = -18; j <= 18; ++j) {
      const base::Vec3 p = own.form.point(x, 0.5 * std::numbers::pi * j / 18.0, 0.0);
      own.width = std::max(own.width, 2.0 * p.y);
      own.height_above = std::max(own.height_above, p.z);
      own.depth_below = std::max(own.depth_below, -p.z);
    }
  }
  if (own.form.asymmetry() > worth_a_note) {
    own.notes.push_back(
        fmt::format("left and right differ by up to {:.1f} mm, most near {}: decks and exit are fitted to "
                    "the smaller side",
                    1000.0 * own.form.asymmetry(),
                    shown_place(own.form.most_asymmetric())));
  }
}

}  // namespace

std::shared_ptr<const OwnCowl> fit_own_cowl(const OwnSkin& skin, const OwnCowlRoom& room) {
  auto own = std::make_shared<OwnCowl>();
  own->name = skin.name;
  own->room = room;
  Surface& surface = own->skin;
  surface = skin.surface;
  NamedLoops loops;
  try {
    cut_behind(surface, skin.inlet_left, "own_inlet_left");
    cut_behind(surface, skin.inlet_right, "own_inlet_right");
    cut_behind(surface, skin.exit, "own_exit");
    drop_unused_points(surface);
    if (const std::size_t n = n_pieces(surface); n != 1) {
      fail(skin,
           fmt::format(
               "{} separate pieces: must be one sheet. Drop crumbs and join pieces with `cowlwright repair`.",
               n));
    }
    loops = name_loops(surface, skin);
  } catch (const base::InputError& error) {
    if (std::string_view(error.what()).starts_with(skin.name)) throw;
    fail(skin, error.what());
  }
  for (const Loop& loop : loops.shaft) {
    own->notes.push_back(
        fmt::format("the hole round the shaft, {:.0f} mm round at FS {:.1f} mm, is filled flat",
                    1000.0 * loop_length(surface, loop),
                    1000.0 * mean_point(surface, loop).x));
    close_by_fan(surface, loop, mean_point(surface, loop));
  }
  if (faces_inward(surface, loops)) {
    turn_round(surface, loops);
    own->notes.emplace_back("the surface faced inward and was turned round");
  }
  own->inlets = {measure_inlet(skin, surface, loops.inlet_left, base::Side::Left, room),
                 measure_inlet(skin, surface, loops.inlet_right, base::Side::Right, room)};
  own->inlet_edges = {loops.inlet_left, loops.inlet_right};
  own->rear_edge = loops.rear;
  own->trailing_edge = measure_trailing_edge(skin, surface, loops.rear, room);
  const double upper_end = measure_upper_end(skin, surface, loops.rear, room);
  own->nose_station = measure_nose(surface, room);
  mark_rings(*own);
  try {
    own->form = TabulatedForm(
        surface, room.front_station - form_ahead, own->trailing_edge, upper_end, room.skin_thickness);
  } catch (const base::InputError& error) {
    fail(skin, error.what());
  }
  measure_form(*own);
  return own;
}

void take_dimensions(const std::shared_ptr<const OwnCowl>& own, ShapeSpec& spec) {
  spec.own = own;
  spec.cowl.nose_station = own->nose_station;
  spec.cowl.nose_length = own->room.front_station - own->nose_station;
  spec.cowl.width = spec.cowl.face_width = own->width;
  spec.cowl.height_above = spec.cowl.face_height_above = own->height_above;
  spec.cowl.depth_below = spec.cowl.face_depth_below = own->depth_below;
  spec.exit.overhang = own->trailing_edge - spec.cowl.firewall_station;
  spec.inlets.spacing = own->inlets[1]->y - own->inlets[0]->y;
  for (const base::Side side : both_sides) {
    InletSpec& in = side == base::Side::Left ? spec.inlets.left : spec.inlets.right;
    in = {};
    in.own = own->inlets[side == base::Side::Left ? 0 : 1];
    in.height = in.own->z;
  }
  const Outline outline(spec);
  spec.exit.gap = outline.belly_z(own->trailing_edge, 0.0) -
                  outline.lower_z(own->trailing_edge, 0.0, spec.cowl.skin_thickness);
}

}  // namespace cowlwright::shape
