// SPDX-License-Identifier: GPL-3.0-or-later
//
// The smallest cowl: a duct with a core across it, a deck behind and a slot to the outside. The flow it
// passes as the slot closes, and twice the size in air half as dense.
#include "cases/core/spec.h"
#include "tests/support/sheet_flow.h"
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

namespace cowlwright {
namespace {

using namespace testing_support;

constexpr double height = 0.1;       // of the duct [m]
constexpr double core_start = 0.1;   // from the inlet [m]
constexpr double core_depth = 0.15;  // [m]
constexpr double core_loss = 7.7;    // K on the duct's dynamic pressure
constexpr double slot_at = 0.45;     // from the inlet [m]
constexpr double jet_end = 1.0;      // [m]
constexpr double outside = 0.4;      // height of the air outside [m]

struct Box {
  double gap = 0.02;                                     ///< half height of the slot [m] at scale 1
  double scale = 1.0;                                    ///< of all lengths
  double pressure = 101325.0;                            ///< of the still air outside [Pa]
  double difference() const { return 0.01 * pressure; }  ///< that drives the flow [Pa]
};

/// Columns of blocks along s, rows along r; the wall with the slot stands at slot_at.
SheetMesh box_mesh(const Box& box) {
  const double k = box.scale;
  const double rows[] = {0.0, box.gap * k, height * k, outside * k};
  const double columns[] = {0.0, core_start * k, (core_start + core_depth) * k, slot_at * k, jet_end * k};
  const int n_rows[] = {14, 22, 16};
  const int n_columns[] = {8, 14, 24, 45};
  const double edge = box.gap * k / 16.0;  // cell at the slot's edge
  const double row_growth[] = {1.0 / growth_from(edge, rows[1], n_rows[0]),
                               growth_from(edge, rows[2] - rows[1], n_rows[1]),
                               growth_from(0.01 * k, rows[3] - rows[2], n_rows[2])};
  const double column_growth[] = {1.0,
                                  1.0,
                                  1.0 / growth_from(edge, columns[3] - columns[2], n_columns[2]),
                                  growth_from(edge, columns[4] - columns[3], n_columns[3])};
  SheetMesh mesh(Sheet::Plane);
  int at[5][4];
  for (int i = 0; i < 5; ++i) {
    for (int j = 0; j < 4; ++j) {
      at[i][j] = i < 3 && j == 3 ? -1 : mesh.point(columns[i], rows[j]);
    }
  }
  const int outer_corner = mesh.point(columns[3], rows[2]);  // the wall with the slot has no thickness
  for (int i = 0; i < 4; ++i) {
    const bool is_outside = i == 3;
    for (int j = 0; j < (is_outside ? 3 : 2); ++j) {
      const auto left = [&](int row) { return is_outside && row == 2 ? outer_corner : at[i][row]; };
      mesh.block({left(j), at[i + 1][j], at[i + 1][j + 1], left(j + 1)},
                 {n_columns[i], n_rows[j]},
                 {column_growth[i], column_growth[i], row_growth[j], row_growth[j]});
      if (i == 0) {
        mesh.face("inlet", at[0][j], at[0][j + 1]);
      } else if (is_outside) {
        mesh.face("jet_end", at[4][j], at[4][j + 1]);
      }
    }
    mesh.face("sides", at[i][0], at[i + 1][0]);
    if (!is_outside) {
      mesh.face("sides", at[i][2], at[i + 1][2]);
    }
  }
  mesh.face("wall", at[3][1], at[3][2]);
  mesh.face("outer_side", at[3][1], outer_corner);
  mesh.face("outer_side", outer_corner, at[3][3]);
  mesh.face("still_air", at[3][3], at[4][3]);
  return mesh;
}

/// The core's law scaled with the box: the same loss at the same Reynolds number. A fifth of the loss at the
/// full-size box's 10 m/s is viscous.
base::PassageRecord core_of(const Box& box, double density, double viscosity) {
  const double reynolds_per_metre = density * 10.0 / viscosity;
  return {.zone = "core_l1",
          .plane = "core_l1",
          .area = height * box.scale * sheet_depth,
          .depth = core_depth * box.scale,
          .viscous = 0.1 * 0.5 * core_loss * reynolds_per_metre,
          .inertial = 0.9 * 0.5 * core_loss};
}

struct BoxFlow {
  double velocity = 0.0;  ///< flow over height and still air's density [m/s]
  double deck = 0.0;      ///< pressure in the corner of the deck over that outside, in differences
};

BoxFlow solve_box(const Box& box) {
  base::AirState air = base::standard_air(0.0);
  air.density *= box.pressure / air.pressure;
  air.pressure = box.pressure;
  const double k = box.scale;
  const base::PassageRecord core = core_of(box, air.density, base::dynamic_viscosity(air.temperature));
  const SheetFlow flow{.mesh = box_mesh(box),
                       .patches = {{"inlet", {Opening::Kind::Total, box.pressure + box.difference()}},
                                   {"sides", {Opening::Kind::Slip}},
                                   {"wall", {Opening::Kind::Wall}},
                                   {"outer_side", {Opening::Kind::Slip}},
                                   {"still_air", {Opening::Kind::Total, box.pressure}},
                                   {"jet_end", {Opening::Kind::Total, box.pressure}}},
                       .air = air,
                       .cores = {{.core = core,
                                  .s_low = core_start * k,
                                  .s_high = (core_start + core_depth) * k,
                                  .r_low = 0.0,
                                  .r_high = height * k}},
                       .iterations = 400};
  const SheetSolution solved = solve(flow);
  double pressure = 0.0, volume = 0.0;
  for (const Cell& cell : solved.cells) {
    if (cell.s > 0.4 * k && cell.s < slot_at * k && cell.r > 0.07 * k && cell.r < height * k) {
      pressure += cell.pressure * cell.volume;
      volume += cell.volume;
    }
  }
  const double area = height * k * testing_support::sheet_depth;
  return {-solved.mass_flow.at("inlet") / (air.density * area),
          (pressure / volume - box.pressure) / box.difference()};
}

using ExitGap = OpenFoamTest;

TEST_F(ExitGap, FlowVanishesWithTheGapAsCoreAndJetInSeriesSay) {
  ValidationCheck check(
      {.id = "exit_gap.flow",
       .group = "Exits and leaks",
       .title = "Flow through a core and a closing exit slot",
       .source = "core and jet in series: dp = a mu v + b rho v^2 + rho/2 (v h/(Cc g))^2; Cc of a slot "
                 "across a duct's end: 0.631, 0.616, 0.611 at g/h 0.4, 0.2, 0.05 (von Mises 1917, "
                 "from memory)",
       .condition = "plane, 1013 Pa, 2,800 cells",
       .unit = "m/s in the duct",
       .reason = "3 %, as for the slot alone"});
  ValidationCheck order({.id = "exit_gap.order",
                         .group = "Exits and leaks",
                         .title = "Flow against the largest an open slot of that gap could pass",
                         .source = "Bernoulli: v h <= g sqrt(2 dp/rho), so no flow without a gap",
                         .condition = "as for the flow through the closing slot",
                         .unit = "-",
                         .reason = "a bound has no tolerance"});
  const base::AirState air = base::standard_air(0.0);
  const double viscosity = base::dynamic_viscosity(air.temperature);
  std::vector<double> gaps, expected, computed;
  for (const auto& [share, contraction] : {std::pair{0.05, 0.611}, {0.2, 0.616}, {0.4, 0.631}}) {
    const Box box{.gap = share * height};
    const base::PassageRecord core = core_of(box, air.density, viscosity);
    const double square = air.density * (core.inertial + 0.5 / std::pow(contraction * share, 2));
    const double linear = core.viscous * viscosity;
    const double speed =
        (std::sqrt(linear * linear + 4.0 * square * box.difference()) - linear) / (2.0 * square);
    const double found = solve_box(box).velocity;
    const std::string point = fmt::format("gap over height {:.2f}", share);
    check.expect_near(point, found, speed, 0.03 * speed);
    order.expect_below(point, found / (share * std::sqrt(2.0 * box.difference() / air.density)), 1.0);
    if (!computed.empty()) {
      EXPECT_GT(found, computed.back()) << point;
    }
    gaps.push_back(share);
    expected.push_back(speed);
    computed.push_back(found);
  }
  check.add_curve({.file = "exit_gap.flow",
                   .title = "Flow against exit gap",
                   .x_axis = "gap over height [-]",
                   .y_axis = "speed in the duct [m/s]",
                   .series = expected_and_computed("core and jet in series", gaps, expected, computed)});
}

TEST_F(ExitGap, TwiceTheSizeInAirHalfAsDenseFlowsTheSame) {
  ValidationCheck check(
      {.id = "scaling.reynolds_and_mach",
       .group = "Exits and leaks",
       .title = "Core, deck and slot at twice the size in air half as dense: ratio to the original",
       .source = "similarity: equal Reynolds and Mach number, temperature and relative difference of "
                 "pressure give equal speeds and pressure coefficients, 1",
       .condition = "plane, 2,800 cells, difference 1 % of the pressure",
       .unit = "-",
       .reason = "1e-5: what the linear solvers left; nothing else differs but rounding"});
  const BoxFlow original = solve_box({});
  const BoxFlow twice = solve_box({.scale = 2.0, .pressure = 0.5 * 101325.0});
  check.expect_near("speed", twice.velocity / original.velocity, 1.0, 1e-5);
  check.expect_near("deck pressure coefficient", twice.deck / original.deck, 1.0, 1e-5);
}

}  // namespace
}  // namespace cowlwright
