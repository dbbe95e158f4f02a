// SPDX-License-Identifier: GPL-3.0-or-later
//
// A plane channel that widens at once, as the plenum does behind an inlet. No friction along the air's way,
// so that the loss is the mixing: Borda and Carnot, K = (1 - A1/A2)^2 on the narrow section, exact for even
// profiles and a step under the pressure of the narrow section.
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

constexpr double height = 0.1;  // of the wide channel [m]
constexpr double ahead = 0.1;   // length of the narrow one [m]
constexpr double length = 2.0;  // of the wide one [m]
constexpr double speed = 30.0;  // in the narrow channel [m/s]
constexpr int n_high = 30;      // cells over the wide channel

SheetMesh expansion_mesh(double narrow) {
  constexpr double first = 4e-3;  // cell behind the step [m]
  const int n_narrow = static_cast<int>(std::lround(n_high * narrow / height));
  const int n_along = 90;
  SheetMesh mesh(Sheet::Plane);
  const int in_axis = mesh.point(-ahead, 0.0), step_axis = mesh.point(0.0, 0.0),
            out_axis = mesh.point(length, 0.0);
  const int in_edge = mesh.point(-ahead, narrow), edge = mesh.point(0.0, narrow),
            out_edge = mesh.point(length, narrow);
  const int step_top = mesh.point(0.0, height), out_top = mesh.point(length, height);
  const double along = growth_from(first, length, n_along);
  mesh.block({in_axis, step_axis, edge, in_edge}, {20, n_narrow});
  mesh.block({step_axis, out_axis, out_edge, edge}, {n_along, n_narrow}, {along, along});
  mesh.block({edge, out_edge, out_top, step_top}, {n_along, n_high - n_narrow}, {along, along});
  mesh.face("inlet", in_axis, in_edge);
  mesh.face("outlet", out_axis, out_edge);
  mesh.face("outlet", out_edge, out_top);
  for (const auto& [a, b] :
       {std::pair{in_axis, step_axis}, {step_axis, out_axis}, {in_edge, edge}, {step_top, out_top}}) {
    mesh.face("sides", a, b);
  }
  mesh.face("wall_step", edge, step_top);
  return mesh;
}

/// Means over a slice of cells, and the forces of its section per channel depth.
struct Slice {
  double volume = 0.0, along = 0.0, pressure = 0.0, density = 0.0, momentum = 0.0;
  void add(const Cell& cell) {
    volume += cell.volume;
    along += cell.along * cell.volume;
    pressure += cell.pressure * cell.volume;
    density += cell.density() * cell.volume;
    momentum += cell.density() * cell.along * cell.along * cell.volume;
  }
  Slice mean() const {
    return {volume, along / volume, pressure / volume, density / volume, momentum / volume};
  }
};

struct Expansion {
  double loss = 0.0;    ///< of total pressure, in dynamic pressures of the narrow section
  double budget = 0.0;  ///< momentum out less in less force of the step, in the same and the narrow area
};

Expansion solve_expansion(double ratio) {
  const base::AirState air = base::standard_air(0.0);
  const double narrow = ratio * height;
  const SheetFlow flow{.mesh = expansion_mesh(narrow),
                       .patches = {{"inlet", {Opening::Kind::SpeedIn, speed}},
                                   {"outlet", {Opening::Kind::Static, air.pressure}},
                                   {"sides", {Opening::Kind::Slip}},
                                   {"wall_step", {Opening::Kind::Wall}}},
                       .air = air,
                       .iterations = 400};
  Slice before, step, behind;
  for (const Cell& cell : solve(flow).cells) {
    if (cell.s < 0.0 && cell.s > -0.5 * ahead) {
      before.add(cell);
    } else if (cell.s > 0.0 && cell.s < 4e-3 && cell.r > narrow) {
      step.add(cell);
    } else if (cell.s > 0.9 * length) {
      behind.add(cell);
    }
  }
  const Slice in = before.mean(), base = step.mean(), out = behind.mean();
  const double q_in = 0.5 * in.density * in.along * in.along;
  const double q_out = 0.5 * out.density * out.along * out.along;
  const double pull =
      (out.pressure + out.momentum) - ratio * (in.pressure + in.momentum) - (1.0 - ratio) * base.pressure;
  return {(in.pressure + q_in - out.pressure - q_out) / q_in, pull / (ratio * q_in)};
}

using SuddenExpansion = OpenFoamTest;

TEST_F(SuddenExpansion, LosesWhatBordaAndCarnotSayAndKeepsItsMomentum) {
  ValidationCheck loss(
      {.id = "sudden_expansion.loss",
       .group = "Losses",
       .title = "Loss of total pressure where a channel widens at once",
       .source = "Borda and Carnot: (1 - A1/A2)^2, from the balance of momentum",
       .condition = "plane, sides without friction, 3,000 cells, Reynolds number 2e5 of the wide channel",
       .unit = "dynamic pressures of the narrow section",
       .reason = "0.02: the step's pressure is not quite that of the narrow section"});
  ValidationCheck budget(
      {.id = "sudden_expansion.momentum",
       .group = "Losses",
       .title = "Momentum of the air through a sudden expansion: out less in less the step's force",
       .source = "balance of momentum, exact: 0",
       .condition = "as for the loss",
       .unit = "dynamic pressures times area of the narrow section",
       .reason = "1 %: sums over cell values, and what the iterations left"});
  std::vector<double> ratios{0.2, 0.4, 0.6}, exact, computed;
  for (const double ratio : ratios) {
    const Expansion found = solve_expansion(ratio);
    exact.push_back((1.0 - ratio) * (1.0 - ratio));
    computed.push_back(found.loss);
    const std::string point = fmt::format("A1/A2 {:.1f}", ratio);
    loss.expect_near(point, found.loss, exact.back(), 0.02);
    budget.expect_near(point, found.budget, 0.0, 0.01);
  }
  loss.add_curve({.file = "sudden_expansion.loss",
                  .title = "Loss of a sudden expansion",
                  .x_axis = "narrow over wide area [-]",
                  .y_axis = "loss coefficient [-]",
                  .series = expected_and_computed("Borda and Carnot", ratios, exact, computed)});
}

}  // namespace
}  // namespace cowlwright
