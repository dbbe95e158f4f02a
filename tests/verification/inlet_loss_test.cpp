// SPDX-License-Identifier: GPL-3.0-or-later
//
// Air drawn from rest into a round duct, with a sharp and with rounded edges, flush in a wall and
// free-standing, against the handbook's loss coefficients: Idelchik, Handbook of Hydraulic Resistance, 3rd
// ed. 1994, diagram 3-4, columns b (inlet in an end wall) and a (none). Its stated accuracy is 10 %.
//
// The grid at the lip decides. With wall cells of 1 mm, thicker than the boundary layer there, a flush lip of
// r/D 0.05 lost 0.10 (handbook 0.22); with the layer resolved (first cell 30 um, y+ below 3) it loses 0.19.
// First or second order in k and omega made no difference (0.064 and 0.065 at r/D 0.10), nor did k = 0 at the
// wall. What is left at 0.10 flush is the model, turbulent from the start of the lip: with a transition model
// (SST with intermittency) the loss is 0.090. Free-standing lips of thin sheet, whose rim the air rounds from
// behind, lose more than the table says: at r/D 0.05 0.49 here and 0.47 with three times the cells, against
// 0.40; at 0.20 0.085 against 0.03.
#include "tests/support/sheet_flow.h"
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace cowlwright {
namespace {

using namespace testing_support;

constexpr double diameter = 0.1;   // of the duct [m]
constexpr double radius = 0.05;    // of the duct [m]
constexpr double length = 0.8;     // of the duct [m]
constexpr double reservoir = 0.5;  // radius of the air drawn from [m]
constexpr double speed = 30.0;     // at the outlet [m/s]; Reynolds number 2e5
constexpr double section = 0.6;    // where the loss is taken: behind the recirculation, ahead of the outlet
constexpr double back_end = 0.4;   // of the air outside a free-standing duct [m]
constexpr double s45 = std::numbers::sqrt2 / 2.0;

enum class Mouth { Flush, FreeStanding };

/// The air's outer edge ahead of the duct: an arc from the axis, then an edge to above the lip.
void close_reservoir(SheetMesh& mesh, int axis, int side, int top) {
  mesh.arc(axis,
           side,
           -reservoir * std::cos(std::numbers::pi / 8.0),
           reservoir * std::sin(std::numbers::pi / 8.0));
  mesh.face("reservoir", axis, side);
  mesh.face("reservoir", side, top);
}

/// A sharp edge: two blocks meet at it ahead of the wall, the duct behind; outside a free-standing duct one
/// more.
SheetMesh sharp_mesh(Mouth mouth) {
  constexpr double at_edge = 0.7e-3;  // cell size [m]
  const double inner = 0.75 * radius;
  const int n_across = 24, n_ahead = 18, n_out = 22, n_along = 55;
  SheetMesh mesh(Sheet::Round);
  const int tip = mesh.point(-inner, 0.0), middle = mesh.point(0.0, 0.0), edge = mesh.point(0.0, radius);
  const int side = mesh.point(-inner * s45, inner * s45);
  const int end_axis = mesh.point(length, 0.0), end_wall = mesh.point(length, radius);
  const int far_axis = mesh.point(-reservoir, 0.0), far_side = mesh.point(-reservoir * s45, reservoir * s45);
  const int far_top = mesh.point(0.0, reservoir);
  const double across = 1.0 / growth_from(at_edge, radius, n_across);
  const double ahead = 1.0 / growth_from(1.5 * at_edge, 0.6 * radius, n_ahead);
  const double out = growth_from(1.5 * at_edge, reservoir - radius, n_out);
  mesh.block({tip, middle, edge, side}, {n_ahead, n_across}, {ahead, ahead, 1.0, across});
  mesh.block({middle, end_axis, end_wall, edge},
             {n_along, n_across},
             {growth_from(1.5 * at_edge, length, n_along),
              growth_from(1.5 * at_edge, length, n_along),
              across,
              across});
  mesh.block({far_axis, tip, side, far_side}, {n_out, n_across}, {0.05, 0.05, 1.0, 1.0});
  mesh.block({side, edge, far_top, far_side}, {n_ahead, n_out}, {ahead, ahead, 20.0, out});
  close_reservoir(mesh, far_axis, far_side, far_top);
  mesh.face("wall", edge, end_wall);
  mesh.face("outlet", end_axis, end_wall);
  if (mouth == Mouth::Flush) {
    mesh.face("wall", edge, far_top);
    return mesh;
  }
  const int back_wall = mesh.point(back_end, radius), back_top = mesh.point(back_end, reservoir);
  const double back = growth_from(1.5 * at_edge, back_end, 30);
  mesh.block({edge, back_wall, back_top, far_top}, {30, n_out}, {back, back, out, out});
  mesh.face("wall", edge, back_wall);
  mesh.face("reservoir", far_top, back_top);
  mesh.face("reservoir", back_wall, back_top);
  return mesh;
}

/// A rounded edge, a quarter circle: a strip of fine cells follows the walls, the rest is as for a sharp one.
/// A free-standing lip is closed behind by a cone from its rim to the duct; the duct itself has no thickness.
SheetMesh rounded_mesh(Mouth mouth, double lip) {
  constexpr double strip = 0.012;      // its thickness [m]
  constexpr double wall_cell = 30e-6;  // [m]
  const int n_strip = 16, n_lip = 10, n_core = 8, n_ahead = 8, n_out = 16, n_along = 55;
  const double core = radius - strip, inner = 0.75 * core, ring = radius + lip;
  SheetMesh mesh(Sheet::Round);
  const int tip = mesh.point(-inner, 0.0), middle = mesh.point(lip, 0.0), core_edge = mesh.point(lip, core);
  const int side = mesh.point(-inner * s45, inner * s45);
  const int end_axis = mesh.point(length, 0.0), end_core = mesh.point(length, core);
  const int end_wall = mesh.point(length, radius);
  const int lip_end = mesh.point(lip, radius), rim = mesh.point(0.0, ring),
            rim_ahead = mesh.point(-strip, ring);
  const int ring_axis = mesh.point(-ring, 0.0), ring_side = mesh.point(-ring * s45, ring * s45);
  const int far_axis = mesh.point(-reservoir, 0.0), far_side = mesh.point(-reservoir * s45, reservoir * s45);
  const int far_ahead = mesh.point(-strip, reservoir), far_top = mesh.point(0.0, reservoir);
  const double along_lip = 0.5 * std::numbers::pi * lip / n_lip;
  const double along = growth_from(along_lip, length - lip, n_along);
  const double out = growth_from(1.3 * along_lip, reservoir - ring, n_out);
  const double to_wall = 1.0 / growth_from(wall_cell, strip, n_strip);
  constexpr double ahead = 0.3;
  mesh.block({tip, middle, core_edge, side}, {n_ahead, n_core}, {ahead, ahead});
  mesh.block({middle, end_axis, end_core, core_edge}, {n_along, n_core}, {along, along});
  mesh.block({core_edge, end_core, end_wall, lip_end}, {n_along, n_strip}, {along, along, to_wall, to_wall});
  mesh.block({ring_axis, tip, side, ring_side}, {n_lip, n_core});
  mesh.block({side, core_edge, rim_ahead, ring_side}, {n_ahead, n_lip}, {ahead, ahead});
  mesh.block({core_edge, lip_end, rim, rim_ahead}, {n_strip, n_lip}, {to_wall, to_wall});
  mesh.block({far_axis, ring_axis, ring_side, far_side}, {n_out, n_core}, {1.0 / out, 1.0 / out});
  mesh.block({ring_side, rim_ahead, far_ahead, far_side}, {n_ahead, n_out}, {ahead, ahead, out, out});
  mesh.block({rim_ahead, rim, far_top, far_ahead}, {n_strip, n_out}, {to_wall, to_wall, out, out});
  mesh.arc(lip_end, rim, lip - lip * s45, ring - lip * s45);
  mesh.arc(core_edge, rim_ahead, lip - (lip + strip) * s45, ring - (lip + strip) * s45);
  close_reservoir(mesh, far_axis, far_side, far_ahead);
  mesh.face("reservoir", far_ahead, far_top);
  mesh.face("wall", lip_end, rim);
  mesh.face("wall", lip_end, end_wall);
  mesh.face("outlet", end_axis, end_core);
  mesh.face("outlet", end_core, end_wall);
  if (mouth == Mouth::Flush) {
    mesh.face("wall", rim, far_top);
    return mesh;
  }
  const int duct_outside = mesh.point(lip, radius), above = mesh.point(lip, reservoir);
  const int back_wall = mesh.point(back_end, radius), back_top = mesh.point(back_end, reservoir);
  const double back = growth_from(1.3 * along_lip, back_end - lip, 26);
  mesh.block({rim, duct_outside, above, far_top}, {n_lip, n_out}, {1.0, 1.0, out, out});
  mesh.block({duct_outside, back_wall, back_top, above}, {26, n_out}, {back, back, out, out});
  mesh.face("wall", rim, duct_outside);
  mesh.face("wall", duct_outside, back_wall);
  mesh.face("reservoir", far_top, above);
  mesh.face("reservoir", above, back_top);
  mesh.face("reservoir", back_wall, back_top);
  return mesh;
}

/// Friction coefficient of a smooth pipe, per diameter: 1/sqrt(f) = 2 log10(Re sqrt(f)) - 0.8 (Prandtl,
/// textbook).
double pipe_friction(double reynolds) {
  double root = 0.13;
  for (int i = 0; i < 50; ++i) {
    root = 1.0 / (2.0 * std::log10(reynolds * root) - 0.8);
  }
  return root * root;
}

/// Loss coefficient of the inlet as the handbook means it: reservoir pressure less static pressure of the
/// duct, in dynamic pressures of its mean speed, less the one for the speed itself and the friction of the
/// way.
double inlet_loss(Mouth mouth, double lip) {
  const base::AirState air = base::standard_air(0.0);
  // Settled to 0.0005. On a large free-standing lip the bubble behind the rim shrinks slowly: 0.134, 0.115
  // and 0.085 after 250, 500 and 1000 iterations.
  const int iterations = mouth == Mouth::FreeStanding && lip > 0.15 * diameter ? 1000 : 250;
  const SheetFlow flow{.mesh = lip > 0.0 ? rounded_mesh(mouth, lip) : sharp_mesh(mouth),
                       .patches = {{"wall", {Opening::Kind::Wall}},
                                   {"reservoir", {Opening::Kind::Total, air.pressure}},
                                   {"outlet", {Opening::Kind::SpeedOut, speed}}},
                       .air = air,
                       .iterations = iterations};
  double along = 0.0, drop = 0.0, density = 0.0, volume = 0.0;
  for (const Cell& cell : solve(flow).cells) {
    if (std::abs(cell.s - section) < 0.5 * diameter && cell.r < radius) {
      along += cell.along * cell.volume;
      drop += (air.pressure - cell.pressure) * cell.volume;
      density += cell.density() * cell.volume;
      volume += cell.volume;
    }
  }
  along /= volume;
  drop /= volume;
  density /= volume;
  const double reynolds = density * along * diameter / base::dynamic_viscosity(air.temperature);
  return drop / (0.5 * density * along * along) - 1.0 - pipe_friction(reynolds) * (section - lip) / diameter;
}

struct Row {
  double rounding;  // r/D
  double flush;     // column b
  double free;      // column a
};
constexpr Row table[] = {
    {0.0, 0.50, 1.00}, {0.02, 0.37, 0.74}, {0.05, 0.22, 0.40}, {0.10, 0.12, 0.15}, {0.20, 0.03, 0.03}};

double table_value(const Row& row, Mouth mouth) {
  return mouth == Mouth::Flush ? row.flush : row.free;
}

/// Computes a column, holds it to the handbook and to a monotone fall, and draws it.
void check_column(
    Mouth mouth, ValidationCheck& loss, ValidationCheck& order, const char* curve, const char* title) {
  std::vector<double> rounding, published, computed, tolerance;
  for (const Row& row : table) {
    const std::string point = fmt::format("r/D {:.2f}", row.rounding);
    rounding.push_back(row.rounding);
    published.push_back(table_value(row, mouth));
    tolerance.push_back(std::max(0.05, 0.15 * published.back()) + (row.rounding > 0.0 ? 0.03 : 0.0));
    computed.push_back(inlet_loss(mouth, row.rounding * diameter));
    loss.expect_near(point, computed.back(), published.back(), tolerance.back());
    if (computed.size() > 1) {
      order.expect_below(point + " against the sharper lip before it", computed.back(), computed.end()[-2]);
    }
    if (row.rounding < 0.15) {
      // Each column on its own side of the middle between the two: so the free-standing one loses more.
      const double middle = 0.5 * (row.flush + row.free);
      const std::string side = point + " against the middle of both columns";
      mouth == Mouth::Flush ? order.expect_below(side, computed.back(), middle)
                            : order.expect_above(side, computed.back(), middle);
    }
  }
  loss.add_curve({.file = curve,
                  .title = title,
                  .x_axis = "lip radius over diameter [-]",
                  .y_axis = "loss coefficient [-]",
                  .series = expected_and_computed("Idelchik 3-4", rounding, published, computed, tolerance)});
}

constexpr const char* condition =
    "axisymmetric, 2,000 cells, lip resolved to y+ below 3; Reynolds number 2e5";
constexpr const char* unit = "dynamic pressures of the duct";
constexpr const char* reason =
    "15 % or 0.05, as far as handbooks differ from each other (0.131 to 0.178 at r/D 0.12). Round lips: 0.03 "
    "more for grid and turbulence model: 0.30 at r/D 0.02 flush is 0.34 with twice the cells, and 0.07 at "
    "r/D "
    "0.10, turbulent from the start of the lip, is 0.09 with transition";
constexpr const char* order_reason = "an order has no tolerance";

using InletLoss = OpenFoamTest;

TEST_F(InletLoss, FlushInAWallFallsWithTheRadiusAsTheHandbookHasIt) {
  ValidationCheck loss({.id = "inlet_loss.flush",
                        .group = "Inlets",
                        .title = "Entrance loss of a round inlet flush in a wall",
                        .source = "Idelchik, Handbook of Hydraulic Resistance, 3rd ed. 1994, diagram 3-4 b",
                        .condition = condition,
                        .unit = unit,
                        .reason = reason});
  ValidationCheck order({.id = "inlet_loss.flush_order",
                         .group = "Inlets",
                         .title = "Rounding lowers the loss; a wall round the inlet lowers it",
                         .source = "order of the rows and columns of Idelchik's diagram 3-4",
                         .condition = condition,
                         .unit = unit,
                         .reason = order_reason});
  check_column(Mouth::Flush, loss, order, "inlet_loss.flush", "Entrance loss, flush in a wall");
}

TEST_F(InletLoss, FreeStandingFallsWithTheRadiusAsTheHandbookHasItAndLosesMoreThanFlush) {
  ValidationCheck loss({.id = "inlet_loss.free_standing",
                        .group = "Inlets",
                        .title = "Entrance loss of a round inlet standing free",
                        .source = "Idelchik, Handbook of Hydraulic Resistance, 3rd ed. 1994, diagram 3-4 a",
                        .condition = condition,
                        .unit = unit,
                        .reason = reason});
  ValidationCheck order({.id = "inlet_loss.free_standing_order",
                         .group = "Inlets",
                         .title = "Rounding lowers the loss; without a wall it is larger than with one",
                         .source = "order of the rows and columns of Idelchik's diagram 3-4",
                         .condition = condition,
                         .unit = unit,
                         .reason = order_reason});
  check_column(Mouth::FreeStanding, loss, order, "inlet_loss.free_standing", "Entrance loss, standing free");
}

}  // namespace
}  // namespace cowlwright
