// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cell sizes from feature sizes. One size rules all others: that of the fine interior (inlets, cores, exit),
// five halvings below the background block.
#include "meshing/plan.h"

#include "geometry/shape/layout.h"
#include "geometry/shape/opening.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::meshing {

namespace {

constexpr int level_body = 3;      // outer skin, eight fine cells
constexpr int level_deck = 4;      // decks, spinner and near field, two fine cells
constexpr int level_interior = 5;  // inlets, cores and exit channel: the fine interior itself
constexpr int level_edge = 6;      // rings, exit walls, alternator; the lip has this or finer

// Far field, in cowl widths around the body: the blockage of the body stays near 1 %.
constexpr double widths_ahead = 4.0;
constexpr double widths_behind = 5.0;
constexpr double widths_aside = 4.0;

// Feature sizes on the coarse grid.
constexpr double exit_gap_cells = 6.0;
constexpr double inlet_cells =
    9.0;  // one more than the eight required: a round section meets cells obliquely
constexpr double core_depth_cells = 10.0;

/// Finest interior cell, as a multiple of the coarse grid's.
double size_factor(GridLevel level) {
  switch (level) {
    case GridLevel::Draft:
      return refinement_ratio;
    case GridLevel::Coarse:
      return 1.0;
    case GridLevel::Medium:
      return 1.0 / refinement_ratio;
    case GridLevel::Fine:
      return 1.0 / (refinement_ratio * refinement_ratio);
  }
  return 1.0;
}

/// The narrower opening's smaller side [m].
double smallest_opening(const shape::ShapeSpec& shape) {
  const shape::InletPair& in = shape.inlets;
  return std::min({shape::opening_width(in.left),
                   shape::opening_height(in.left),
                   shape::opening_width(in.right),
                   shape::opening_height(in.right)});
}

double interior_size(const shape::ShapeSpec& shape, GridLevel level) {
  const double coarse = std::min({shape.exit.gap / exit_gap_cells,
                                  smallest_opening(shape) / inlet_cells,
                                  shape.engine.core_depth / core_depth_cells});
  return coarse * size_factor(level);
}

/// Volumes refined as a whole: the near field, the disk's surroundings, the inlet mouths and the exit.
std::vector<BoxLevel> refinement_boxes(const shape::ShapeSpec& shape, const DiskSize& disk, double fine) {
  const shape::CowlSpec& cowl = shape.cowl;
  const double half_width = 0.5 * cowl.width;
  const double trailing_edge = cowl.firewall_station + shape.exit.overhang;
  const double belly = -shape.fuselage.depth_below;
  std::vector<BoxLevel> boxes;
  const double reach = std::max(half_width, 0.5 * disk.diameter) + 0.15 * cowl.width;
  boxes.push_back({"near_field",
                   {{-0.8 * cowl.width, -reach, -reach}, {trailing_edge + 1.2 * cowl.width, reach, reach}},
                   2});
  for (const base::Side side : {base::Side::Left, base::Side::Right}) {
    const shape::InletSpec& in = shape::inlet(shape, side);
    const double centre = shape::inlet_layout(shape, side).y;
    const double aside = 0.8 * shape::opening_width(in);
    const double above = 0.8 * shape::opening_height(in);
    boxes.push_back({side == base::Side::Left ? "mouth_left" : "mouth_right",
                     {{cowl.nose_station - 0.10, centre - aside, in.height - above},
                      {shape.plenum.front_station + 0.02, centre + aside, in.height + above}},
                     level_deck});
  }
  const double exit_half = 0.5 * shape.exit.width + 4.0 * fine;
  boxes.push_back({"exit",
                   {{cowl.firewall_station - 6.0 * fine,
                     -exit_half,
                     belly - shape.exit.gap - 0.75 * shape.exit.lip_length},
                    {trailing_edge + 1.5 * shape.exit.lip_length + 4.0 * fine,
                     exit_half,
                     belly + shape.exit.ramp_radius}},
                   level_interior});
  boxes.push_back({"exit_wake",
                   {{trailing_edge, -exit_half - 0.05, belly - 2.0 * shape.exit.gap - 0.05},
                    {trailing_edge + 0.45, exit_half + 0.05, belly + 0.03}},
                   level_deck});
  return boxes;
}

/// Level at which even the draft grid has enough cells across the lip's thickness: below some 1.6 cells the
/// mesher loses part of the lip. The same on every grid, so that grids of one shape stay similar.
int lip_level(const shape::ShapeSpec& shape) {
  constexpr double lip_cells = 1.8;
  const double draft = interior_size(shape, GridLevel::Draft) * std::pow(2.0, level_interior);
  int level = level_edge;
  while (level < level_edge + 2 && shape.exit.lip_thickness < lip_cells * draft / std::pow(2.0, level)) {
    ++level;
  }
  return level;
}

/// Level at which even the draft grid has enough cells across the narrowest side of an oil cooler or a leak,
/// and along it: a heated resistance of two layers of cells passed a fifth less air than its law says.
int passage_level(const shape::ShapeSpec& shape, const shape::Passage& passage) {
  constexpr double least_cells = 2.5;
  constexpr double least_layers = 4.0;
  if (passage.kind == base::PassageKind::Core) return level_interior;
  int level = passage.kind == base::PassageKind::Leak ? level_edge : level_interior;
  const double draft = interior_size(shape, GridLevel::Draft) * std::pow(2.0, level_interior);
  const auto is_too_coarse = [&] {
    const double cell = draft / std::pow(2.0, level);
    return passage.narrowest < least_cells * cell || passage.depth < least_layers * cell;
  };
  while (level < level_edge + 2 && is_too_coarse()) {
    ++level;
  }
  return level;
}

/// Of the walls of all passages of a kind.
int finest_passage_level(const shape::ShapeSpec& shape, base::PassageKind kind) {
  int level = level_interior;
  for (const shape::Passage& passage : shape::make_passages(shape)) {
    if (passage.kind == kind) level = std::max(level, passage_level(shape, passage));
  }
  return level;
}

std::vector<NamedLevel> patch_levels(const shape::ShapeSpec& shape) {
  std::vector<NamedLevel> levels;
  for (const std::string& name : shape::expected_patches(shape)) {
    int level = level_deck;
    if (name == "fuselage") {
      level = level_body - 1;
    } else if (name == "cowl") {
      level = level_body;
    } else if (name.starts_with("ring") || name == "exit_wall" || name == "strut" || name == "exhaust" ||
               name == "alternator") {
      level = level_edge;
    } else if (name == "exit_lip" || name == "side_plate") {
      level = lip_level(shape);
    } else if (name == "oil_cooler_wall") {
      level = finest_passage_level(shape, base::PassageKind::Cooler);
    } else if (name == "leak_wall") {
      level = finest_passage_level(shape, base::PassageKind::Leak);
    } else if (name.starts_with("inlet") || name == "core_wall") {
      level = level_interior;
    }
    levels.push_back({name, level});
  }
  return levels;
}

/// Surface of strut and exhaust pipes [m²].
double exit_bodies(const shape::ShapeSpec& shape) {
  const shape::ExitSpec& exit = shape.exit;
  // Each pipe hangs from the lower deck's ceiling to the belly and runs from the firewall to the edge.
  const double pipe = shape.fuselage.depth_below - 0.5 * shape.engine.core_depth + 0.5 * exit.gap +
                      exit.overhang + 2.0 * exit.exhaust_diameter;
  return std::numbers::pi * (exit.strut_diameter * exit.gap + 2.0 * exit.exhaust_diameter * pipe);
}

/// Cells that fill volumes, and cells that line surfaces with the layers the mesher grades to coarser ones.
/// The weights are measured: refined volumes overlap and hold solid; each lined patch brings some fourteen
/// layers with it.
double estimate_cells(const MeshPlan& plan, const shape::ShapeSpec& shape) {
  constexpr double filled_share = 0.75;
  constexpr double layers = 14.0;
  const auto cells_in = [&](double volume, int level) {
    return volume / std::pow(cell_size(plan, level), 3);
  };
  const auto cells_on = [&](double area, int level) { return area / std::pow(cell_size(plan, level), 2); };
  double filled = static_cast<double>(plan.n_cells[0]) * plan.n_cells[1] * plan.n_cells[2];
  for (const BoxLevel& box : plan.boxes) {
    filled += cells_in(shape::volume(box.box), box.level);
  }
  if (!shape.is_closed) {
    const shape::DerivedSizes sizes = shape::derived_sizes(shape);
    filled += cells_in(sizes.upper_deck_volume + sizes.lower_deck_volume, level_deck);
  }
  double passage_walls = 0.0;
  for (const shape::Passage& passage : shape::make_passages(shape)) {
    const int level = passage_level(shape, passage);
    filled += cells_in(passage.area * passage.depth, level);
    if (passage.kind != base::PassageKind::Core) {
      passage_walls += cells_on(4.0 * std::sqrt(passage.area) * passage.depth, level);
    }
  }
  const double girth = 2.0 * (shape.cowl.width + shape.cowl.height_above + shape.cowl.depth_below);
  const double skin = 0.85 * girth * (shape.cowl.firewall_station - shape.cowl.nose_station);
  double rings = 0.0;
  for (const shape::InletSpec& in : {shape.inlets.left, shape.inlets.right}) {
    rings += shape::opening_perimeter(in) * std::numbers::pi * in.lip_radius;
  }
  const double lip = 2.0 * shape.exit.lip_length * shape.exit.width;
  const double lined = cells_on(skin, level_body) +
                       cells_on(0.6 * girth * shape.fuselage.length, level_body - 1) +
                       cells_on(rings, level_edge) + cells_on(lip, lip_level(shape)) + passage_walls +
                       cells_on(exit_bodies(shape), level_edge);
  return filled_share * filled + layers * lined;
}

}  // namespace

double cell_size(const MeshPlan& plan, int level) {
  return plan.base_size / std::pow(2.0, level);
}

namespace {

/// Background block: symmetric about y = 0 and z = 0 so that left and right meshes mirror, cell faces on both
/// faces of the cores (z) and half a disk cell ahead of the propeller plane (x), so that both zones are whole
/// layers of cells.
void lay_background(MeshPlan& plan, const shape::ShapeSpec& shape, double fine, double domain_size) {
  const double width = domain_size * shape.cowl.width;
  const double size = plan.base_size;
  const double disk_cell = cell_size(plan, level_body);
  const int ahead = static_cast<int>(std::ceil(widths_ahead * width / size));
  const double front = -ahead * size - 0.5 * disk_cell;
  const double tail = shape.cowl.firewall_station + shape.fuselage.length;
  const int along = static_cast<int>(std::ceil((tail + widths_behind * width - front) / size));
  const int half_across = static_cast<int>(std::ceil(widths_aside * width / size));
  const double half_depth = 0.5 * shape.engine.core_depth;
  const double layer =
      half_depth / std::round(half_depth / fine);  // differs from `fine` by a few per cent at most
  const double height = layer * std::pow(2.0, level_interior);
  plan.cell_size = std::cbrt(fine * fine * layer);
  const int half_up = static_cast<int>(std::ceil(widths_aside * width / height));
  plan.n_cells = {along, 2 * half_across, 2 * half_up};
  plan.far_field = {{front, -half_across * size, -half_up * height},
                    {front + along * size, half_across * size, half_up * height}};
}

}  // namespace

MeshPlan plan_mesh(const shape::ShapeSpec& shape, const DiskSize& disk, GridLevel level, double domain_size) {
  MeshPlan plan;
  const double fine = interior_size(shape, level);
  plan.base_size = fine * std::pow(2.0, level_interior);
  lay_background(plan, shape, fine, domain_size);
  plan.patches = patch_levels(shape);
  plan.feature_level = level_deck;
  plan.plane_level = level_interior;
  for (const shape::Passage& passage : shape::make_passages(shape)) {
    plan.zones.push_back({passage.name, passage_level(shape, passage)});
  }
  plan.boxes = refinement_boxes(shape, disk, fine);
  if (disk.diameter > 0.0) {
    plan.disk_layer = cell_size(plan, level_body);
    plan.disk_thickness = 1.5 * plan.disk_layer;  // the centres of one layer of cells, and of no other
    plan.zones.push_back({"propeller_disk", level_body});
  }
  // Far ahead, off every cell face of any level.
  plan.point_in_air =
      plan.far_field.low + base::Vec3{0.317 * plan.base_size, 1.293 * plan.base_size, 1.371 * plan.base_size};
  plan.cells_across_exit_gap = shape.exit.gap / fine;
  plan.cells_across_inlet = smallest_opening(shape) / fine;
  plan.cells_across_lip_thickness =
      shape.exit.lip_length > 0.0 ? shape.exit.lip_thickness / cell_size(plan, lip_level(shape)) : 0.0;
  plan.expected_cells = estimate_cells(plan, shape);
  return plan;
}

}  // namespace cowlwright::meshing
