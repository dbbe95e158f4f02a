// SPDX-License-Identifier: GPL-3.0-or-later
//
// What stands at the exit: lip with side plates, nose-leg strut, exhaust pipes.
#include "geometry/shape/builder.h"
#include "geometry/shape/parts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double embedding = 0.012;  // of a root in thick solid [m]

/// One section across the bent lip: lower and upper side relative to the middle of the skin.
struct LipStation {
  double x_low;
  double z_low;
  double x_high;
  double z_high;
};

/// Root inside the skin, bend, free end.
std::array<LipStation, 3> lip_stations(const ShapeSpec& spec) {
  constexpr double root = 0.008;     // ahead of the bend, inside the skin [m]
  constexpr double gap = 0.0005;     // the lower surface bends this far behind the trailing edge [m]
  constexpr double run_out = 0.001;  // the skin's sloping edge face ends within this of the trailing edge [m]
  const double edge = layout(spec).trailing_edge;
  const double half = 0.5 * spec.exit.lip_thickness;
  const double angle = spec.exit.lip_angle;
  const double mitre = half * std::tan(0.5 * angle);
  const double bend = edge + run_out + gap + mitre;
  const double end_x = bend + spec.exit.lip_length * std::cos(angle);
  const double end_z = -spec.exit.lip_length * std::sin(angle);
  return {{{edge - root, -half, edge - root, half},
           {bend - mitre, -half, bend + mitre, half},
           {end_x - half * std::sin(angle),
            end_z - half * std::cos(angle),
            end_x + half * std::sin(angle),
            end_z + half * std::cos(angle)}}};
}

Surface bare_lip(const ShapeSpec& spec) {
  const Outline outline(spec);
  const double edge = layout(spec).trailing_edge;
  const auto [root, bend, end] = lip_stations(spec);
  struct Corner {
    double x;
    double z;
  };
  const std::array<Corner, 6> profile{{{root.x_low, root.z_low},
                                       {bend.x_low, bend.z_low},
                                       {end.x_low, end.z_low},
                                       {end.x_high, end.z_high},
                                       {bend.x_high, bend.z_high},
                                       {root.x_high, root.z_high}}};
  SurfaceBuilder builder;
  const std::vector<double> columns = channel_columns(spec.exit);
  for (const double y : columns) {
    const double middle =
        0.5 * (outline.lower_z(edge, y, 0.0) + outline.lower_z(edge, y, spec.cowl.skin_thickness));
    for (const Corner& c : profile) builder.add_point({c.x, y, middle + c.z});
  }
  for (std::uint32_t j = 0; j + 1 < columns.size(); ++j) {
    for (std::uint32_t k = 0; k < 6; ++k) {
      const std::uint32_t next = (k + 1) % 6;
      builder.add_quad(6 * j + k, 6 * (j + 1) + k, 6 * (j + 1) + next, 6 * j + next, Patch::ExitLip);
    }
  }
  const auto last = 6 * static_cast<std::uint32_t>(columns.size() - 1);
  for (const std::uint32_t o : {0U, last}) {
    const bool is_left = o == 0U;
    for (const auto& q :
         {std::array<std::uint32_t, 4>{0, 1, 4, 5}, std::array<std::uint32_t, 4>{1, 2, 3, 4}}) {
      if (is_left) {
        builder.add_quad(o + q[0], o + q[1], o + q[2], o + q[3], Patch::ExitLip);
      } else {
        builder.add_quad(o + q[3], o + q[2], o + q[1], o + q[0], Patch::ExitLip);
      }
    }
  }
  return std::move(builder).closed();
}

/// Across the lip and up both plates: from the left plate's outer foot along the underside, up the right
/// plate, back along the upper side and up the left plate. `n` is the number of columns between the plates.
std::vector<base::Vec3> trough_section(const ShapeSpec& spec,
                                       const LipStation& station,
                                       const std::vector<double>& inner,
                                       double outer) {
  const Outline outline(spec);
  const double edge = layout(spec).trailing_edge;
  const double skin = spec.cowl.skin_thickness;
  const auto middle = [&](double y) {
    // Outside the channel there is no inner skin; the thickness is that at the channel's side.
    const double side = std::clamp(y, inner.front(), inner.back());
    const double thickness = outline.lower_z(edge, side, skin) - outline.lower_z(edge, side, 0.0);
    return outline.lower_z(edge, y, 0.0) + 0.5 * thickness;
  };
  const auto low = [&](double y) { return base::Vec3{station.x_low, y, middle(y) + station.z_low}; };
  const auto high = [&](double y) { return base::Vec3{station.x_high, y, middle(y) + station.z_high}; };
  const auto top = [&](double y) {
    const double x = 0.5 * (station.x_low + station.x_high);
    return base::Vec3{x, y, outline.belly_z(x, y) + embedding};
  };
  std::vector<base::Vec3> section{low(-outer)};
  for (const double y : inner) section.push_back(low(y));
  section.insert(section.end(), {low(outer), top(outer), top(inner.back())});
  for (auto y = inner.rbegin(); y != inner.rend(); ++y) section.push_back(high(*y));
  section.insert(section.end(), {top(inner.front()), top(-outer)});
  return section;
}

/// The lip and its side plates: a trough, open above and aft, hung into belly and trailing edge.
Surface lip_with_side_plates(const ShapeSpec& spec) {
  constexpr double aside = 0.001;  // of the plates' inner faces from the channel's sides [m]
  std::vector<double> inner = channel_columns(spec.exit);
  inner.front() -= aside;
  inner.back() += aside;
  const double outer = inner.back() + spec.exit.lip_thickness;
  SurfaceBuilder builder;
  for (const LipStation& station : lip_stations(spec)) {
    for (const base::Vec3& p : trough_section(spec, station, inner, outer)) builder.add_point(p);
  }
  const auto n = static_cast<std::uint32_t>(inner.size());
  const std::uint32_t n_round = 2 * n + 6;
  for (std::uint32_t s = 0; s < 2; ++s) {
    for (std::uint32_t k = 0; k < n_round; ++k) {
      const bool is_lip = k <= n || (k >= n + 4 && k < 2 * n + 3);
      const std::uint32_t a = s * n_round + k;
      const std::uint32_t b = s * n_round + (k + 1) % n_round;
      builder.add_quad(a, a + n_round, b + n_round, b, is_lip ? Patch::ExitLip : Patch::SidePlate);
    }
  }
  for (const bool is_root : {true, false}) {
    const std::uint32_t o = is_root ? 0 : 2 * n_round;
    const auto add = [&](std::uint32_t a, std::uint32_t b, std::uint32_t c, Patch patch) {
      builder.add_triangle(o + a, o + (is_root ? b : c), o + (is_root ? c : b), patch);
    };
    const auto above = [&](std::uint32_t column) { return 2 * n + 4 - column; };
    for (std::uint32_t j = 1; j < n; ++j) {
      add(j, j + 1, above(j + 1), Patch::ExitLip);
      add(j, above(j + 1), above(j), Patch::ExitLip);
    }
    add(0, 1, above(1), Patch::SidePlate);
    add(0, above(1), 2 * n + 4, Patch::SidePlate);
    add(0, 2 * n + 4, 2 * n + 5, Patch::SidePlate);
    add(n + 1, n + 2, n + 3, Patch::SidePlate);
    add(n + 1, n + 3, above(n), Patch::SidePlate);
    add(n + 1, above(n), n, Patch::SidePlate);
  }
  return std::move(builder).closed();
}

}  // namespace

Surface exit_lip(const ShapeSpec& spec) {
  return spec.exit.side_plates ? lip_with_side_plates(spec) : bare_lip(spec);
}

Surface nose_leg_strut(const ShapeSpec& spec) {
  constexpr int n_around = 44;
  const Outline outline(spec);
  const double axis = strut_station(spec);
  const double radius = 0.5 * spec.exit.strut_diameter * polygon_widening(n_around);
  std::vector<base::Vec3> foot;
  std::vector<base::Vec3> head;
  for (int k = 0; k < n_around; ++k) {
    const double angle = 2.0 * pi * (k + 0.5) / n_around;
    const double x = axis + radius * std::cos(angle);
    const double y = radius * std::sin(angle);
    // The foot follows the middle of the skin, whatever its curvature.
    foot.push_back({x, y, 0.5 * (outline.lower_z(x, y, 0.0) + channel_floor_z(spec, outline, x, y))});
    head.push_back({x, y, channel_ceiling_z(spec, outline, x, y) + embedding});
  }
  return tube_surface(std::array{foot, head}, Patch::Strut);
}

Surface exhaust_pipes(const ShapeSpec& spec) {
  constexpr int n_around = 44;
  constexpr int n_bend = 9;
  const ExhaustPath path = exhaust_path(spec);
  const double radius = path.radius * polygon_widening(n_around);
  struct Station {
    base::Vec3 centre;
    double turned;  // from down (0) to aft (90 degrees)
  };
  std::vector<Station> stations{{{path.leg_station, 0.0, -layout(spec).deck_floor + embedding}, 0.0}};
  for (int i = 0; i <= n_bend; ++i) {
    const double turned = 0.5 * pi * i / n_bend;
    stations.push_back({{path.leg_station + path.bend_radius * (1.0 - std::cos(turned)),
                         0.0,
                         path.height + path.bend_radius * (1.0 - std::sin(turned))},
                        turned});
  }
  stations.push_back({{path.end_station, 0.0, path.height}, 0.5 * pi});
  SurfaceBuilder both;
  for (const double side : {-path.side, path.side}) {
    std::vector<std::vector<base::Vec3>> rings;
    for (const Station& s : stations) {
      std::vector<base::Vec3>& ring = rings.emplace_back();
      for (int k = 0; k < n_around; ++k) {
        const double angle = 2.0 * pi * (k + 0.5) / n_around;
        const double across = radius * std::cos(angle);
        ring.push_back({s.centre.x + across * std::cos(s.turned),
                        side + radius * std::sin(angle),
                        s.centre.z + across * std::sin(s.turned)});
      }
    }
    both.add_surface(tube_surface(rings, Patch::Exhaust));
  }
  return std::move(both).closed();
}

}  // namespace cowlwright::shape
