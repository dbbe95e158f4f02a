// SPDX-License-Identifier: GPL-3.0-or-later
//
// Can forces and momentum agree at all? Air through a channel that widens at a step and then passes a core:
// what the monitors of a study say of the force on walls and core, against the momentum and pressure of the
// air that enters and leaves. The balance is exact.
#include "tests/support/sheet_flow.h"
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright {
namespace {

using namespace testing_support;

constexpr double narrow = 0.05;  // height ahead of the step [m]
constexpr double wide = 0.1;     // behind it [m]
constexpr double ahead = 0.2;    // length of the narrow part [m]
constexpr double length = 1.0;   // of the wide part [m]
constexpr double core_start = 0.5;
constexpr double core_end = 0.65;
constexpr double speed = 20.0;  // of the air that enters [m/s]
constexpr int n_low = 12;       // cells across the narrow part
constexpr int n_high = 12;      // and beside the step
constexpr int n_ahead = 20;
constexpr int n_along = 100;

SheetMesh channel() {
  SheetMesh mesh(Sheet::Plane);
  const int in_low = mesh.point(-ahead, 0.0), in_high = mesh.point(-ahead, narrow);
  const int step_low = mesh.point(0.0, 0.0), step_edge = mesh.point(0.0, narrow),
            step_high = mesh.point(0.0, wide);
  const int out_low = mesh.point(length, 0.0), out_edge = mesh.point(length, narrow),
            out_high = mesh.point(length, wide);
  mesh.block({in_low, step_low, step_edge, in_high}, {n_ahead, n_low});
  mesh.block({step_low, out_low, out_edge, step_edge}, {n_along, n_low});
  mesh.block({step_edge, out_edge, out_high, step_high}, {n_along, n_high});
  mesh.face("inlet", in_low, in_high);
  mesh.face("outlet", out_low, out_edge);
  mesh.face("outlet", out_edge, out_high);
  mesh.face("wall_step", step_edge, step_high);
  mesh.face("wall_sides", in_low, step_low);
  mesh.face("wall_sides", step_low, out_low);
  mesh.face("wall_sides", in_high, step_edge);
  mesh.face("wall_sides", step_high, out_high);
  return mesh;
}

/// Some 600 Pa at the 10 m/s behind the step, and a heated stream behind it.
base::PassageRecord core() {
  return {.zone = "core_l1",
          .plane = "core_l1",
          .area = wide * sheet_depth,
          .depth = core_end - core_start,
          .viscous = 4.0e5,
          .inertial = 4.0,
          .heat = 150.0};
}

/// What a section's cells carry along, and their pressure above `pressure`, times its area.
struct Section {
  double mass = 0.0;      ///< sum of rho u dA
  double momentum = 0.0;  ///< sum of rho u² dA
  double push = 0.0;      ///< sum of (p - pressure) dA
};

Section section_at(const SheetSolution& solution, double s_low, double s_high, double cell, double pressure) {
  Section sum;
  for (const Cell& c : solution.cells) {
    if (c.s > s_low && c.s < s_high) {
      const double area = c.volume / cell;
      sum.mass += c.density() * c.along * area;
      sum.momentum += c.density() * c.along * c.along * area;
      sum.push += (c.pressure - pressure) * area;
    }
  }
  return sum;
}

using ForceBalance = OpenFoamTest;

// At the inlet speed is given and pressure that of the first cell; at the outlet pressure is given and speed
// that of the last cell; fluxes of both are the solver's own.
TEST_F(ForceBalance, OfWallsAndCoreIsWhatTheAirLosesOfMomentumAndPressure) {
  const base::AirState air = base::standard_air(0.0);
  const SheetFlow flow{
      .mesh = channel(),
      .patches = {{"inlet", {Opening::Kind::SpeedIn, speed}},
                  {"outlet", {Opening::Kind::Static, air.pressure}},
                  {"wall_sides", {Opening::Kind::Wall}},
                  {"wall_step", {Opening::Kind::Wall}}},
      .air = air,
      .cores =
          {{.core = core(), .s_low = core_start, .s_high = core_end, .r_low = -0.01, .r_high = wide + 0.01}},
      .with_forces = true,
      .iterations = 500};
  const SheetSolution solution = solve(flow);
  const double first = ahead / n_ahead;
  const double last = length / n_along;
  const Section in = section_at(solution, -ahead, -ahead + first, first, air.pressure);
  const Section out = section_at(solution, length - last, length, last, air.pressure);
  const double entering = -solution.mass_flow.at("inlet") * speed + in.push;
  const double leaving = solution.mass_flow.at("outlet") * out.momentum / out.mass;
  const double pressure = solution.force.at("pressure_force");
  const double friction = solution.force.at("viscous_force");
  const double resistance = solution.force.at("porous_force");
  const double whole = pressure + friction + resistance;
  ValidationCheck check({.id = "force.balance",
                         .group = "Forces",
                         .title = "Force on walls and core against the momentum of the air that passes",
                         .source = "balance of momentum, exact",
                         .condition =
                             "plane channel, step from 50 to 100 mm, heated core across it, walls with "
                             "friction, 2,600 cells",
                         .unit = "N",
                         .reason = "0.2 %: what the iterations left, and the section sums over cell values"});
  check.expect_near("whole force", whole, entering - leaving, 0.002 * (entering - leaving));
  // Each part is there with its sign: the step is sucked back by less than the jet's momentum, the walls are
  // dragged along, the core takes most.
  EXPECT_GT(friction, 0.0);
  EXPECT_GT(resistance, 0.5 * whole);
  // The core alone: a mu v + b rho v² over its area, at the mean speed behind the step. 10 %: the jet has not
  // quite spread where the core begins, and heat and pressure thin the air along it.
  const double v = speed * narrow / wide;
  const double law = 4.0e5 * base::dynamic_viscosity(air.temperature) * v + 4.0 * air.density * v * v;
  EXPECT_NEAR(resistance, law * wide * sheet_depth, 0.1 * law * wide * sheet_depth);
}

}  // namespace
}  // namespace cowlwright
