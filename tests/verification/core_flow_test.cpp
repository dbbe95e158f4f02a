// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cores as the solver feels them, beyond the one-dimensional slab: the law of a perforated plate, a core fed
// from the side as in a deck, and two cores side by side of unequal heat.
#include "cases/core/spec.h"
#include "geometry/base/air.h"
#include "tests/support/sheet_flow.h"
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace cowlwright {
namespace {

using namespace testing_support;

constexpr double width = 0.2;   // of duct and cores together [m]
constexpr double depth = 0.15;  // of the cores [m]
constexpr double ahead = 0.2;   // duct ahead of them [m]
constexpr double behind = 0.3;  // duct behind [m]
constexpr int n_across = 10, n_ahead = 20, n_core = 20, n_behind = 20;
constexpr double plate_loss = 7.7;  // K of a thin plate, two fifths open
constexpr double flow_area = width * testing_support::sheet_depth;

/// A core whose law is the plate's, through the fit every study's law goes through. [W]
base::PassageRecord plate_core(const std::string& name, double heat) {
  const base::AirState air = base::standard_air(0.0);
  std::vector<core::LawPoint> law;
  for (double speed = 2.0; speed < 17.0; speed += 2.0) {
    const double flux =
        base::air::sea_level_density * speed;  // sigma*dp goes with the square of the mass flow
    law.push_back({flux * flow_area, plate_loss * 0.5 * flux * flux / base::air::sea_level_density});
  }
  const core::CoreFit fit =
      core::fit_core_law(law, flow_area, air.density, base::dynamic_viscosity(air.temperature));
  return {.zone = name,
          .plane = name,
          .area = flow_area,
          .depth = depth,
          .viscous = fit.viscous,
          .inertial = fit.inertial,
          .heat = heat};
}

/// Duct, core, duct; the upper duct is fed from its end ("inlet") or from one side ("side").
SheetMesh duct_mesh() {
  SheetMesh mesh(Sheet::Plane);
  const double s[] = {-ahead, 0.0, depth, depth + behind};
  const int n[] = {n_ahead, n_core, n_behind};
  int low[4], high[4];
  for (int i = 0; i < 4; ++i) {
    low[i] = mesh.point(s[i], 0.0);
    high[i] = mesh.point(s[i], width);
  }
  for (int i = 0; i < 3; ++i) {
    mesh.block({low[i], low[i + 1], high[i + 1], high[i]}, {n[i], n_across});
    mesh.face(i == 0 ? "side" : "sides", low[i], low[i + 1]);
    mesh.face("sides", high[i], high[i + 1]);
  }
  mesh.face("inlet", low[0], high[0]);
  mesh.face("outlet", low[3], high[3]);
  return mesh;
}

SheetFlow duct_flow(double speed, std::vector<CoreZone> cores) {
  const base::AirState air = base::standard_air(0.0);
  return {.mesh = duct_mesh(),
          .patches = {{"inlet", {Opening::Kind::SpeedIn, speed}},
                      {"outlet", {Opening::Kind::Static, air.pressure}},
                      {"side", {Opening::Kind::Slip}},
                      {"sides", {Opening::Kind::Slip}}},
          .air = air,
          .cores = std::move(cores),
          .iterations = 300};
}

CoreZone whole_width(const base::PassageRecord& core) {
  return {.core = core, .s_low = 0.0, .s_high = depth, .r_low = 0.0, .r_high = width};
}

/// Mean of a value over the cells that `is_in` takes.
template <class IsIn, class Value>
double mean(const std::vector<Cell>& cells, IsIn is_in, Value value) {
  double sum = 0.0;
  double volume = 0.0;
  for (const Cell& cell : cells) {
    if (is_in(cell)) {
      sum += value(cell) * cell.volume;
      volume += cell.volume;
    }
  }
  return sum / volume;
}

double mass_flux(const Cell& cell) {
  return cell.density() * cell.along;
}

/// Temperature the air would have at rest [K].
double total_temperature(const Cell& cell) {
  return cell.temperature +
         0.5 * (cell.along * cell.along + cell.across * cell.across) / base::air::specific_heat;
}

using CoreFlow = OpenFoamTest;

TEST_F(CoreFlow, APerforatedPlatesLawGivesItsPressureDrop) {
  ValidationCheck check(
      {.id = "core.perforated_plate",
       .group = "Cores",
       .title = "Loss coefficient of a core with the law of a perforated plate, two fifths open",
       .source = "K = 7.7 on the approach speed: Blevins, Applied Fluid Dynamics Handbook 1984, "
                 "after Idelchik (read in a source that quotes it)",
       .condition = "plane duct, core of 20 cells along the flow, 4, 8 and 16 m/s",
       .unit = "dynamic pressures ahead of the core, at mean density",
       .reason = "0.5 %: the core's end cells see the jump of the sink (0.2 % in the slab)"});
  for (const double speed : {4.0, 8.0, 16.0}) {
    const std::vector<Cell> cells = solve(duct_flow(speed, {whole_width(plate_core("core_l1", 0.0))})).cells;
    const auto upper = [](const Cell& cell) { return cell.s > -0.15 && cell.s < -0.05; };
    const auto lower = [](const Cell& cell) { return cell.s > depth + 0.05 && cell.s < depth + 0.15; };
    const auto pressure = [](const Cell& cell) { return cell.pressure; };
    const double high = mean(cells, upper, pressure);
    const double low = mean(cells, lower, pressure);
    // Of a gas at constant temperature K flux²/2 = (p1² - p2²)/(2RT): exact with the mean density.
    const double density =
        0.5 * (high + low) / (base::air::gas_constant * base::standard_air(0.0).temperature);
    const double flux = mean(cells, upper, mass_flux);
    const double found = (high - low) * density / (0.5 * flux * flux);
    check.expect_near(fmt::format("{:.0f} m/s", speed), found, plate_loss, 0.005 * plate_loss);
  }
}

TEST_F(CoreFlow, FedFromTheSideItLetsAirThroughAlongItsFinsOnly) {
  ValidationCheck check(
      {.id = "core.cross_flow",
       .group = "Cores",
       .title = "Speed across the fins over that along them, in a core fed from the side",
       .source = "the sink -(1/2) rho F |U| U with F across the fins 100 times that along: speeds are as "
                 "pressure gradients over F, and the gradient across is the smaller one",
       .condition = "plane deck of 0.2 m by 0.2 m, core of 20 by 10 cells, 8 m/s through it",
       .unit = "-",
       .reason = "bound 0.01 as derived; behind the first third of the core, where the entry is over"});
  ValidationCheck turned({.id = "core.side_fed_flow",
                          .group = "Cores",
                          .title = "Air through a core fed from the side",
                          .source = "conservation of mass: flow in is flow through the core, 1",
                          .condition = "as for the flow across the fins",
                          .unit = "of the flow in",
                          .reason = "1 %: cell values against face fluxes"});
  SheetFlow flow = duct_flow(0.0, {whole_width(plate_core("core_l1", 0.0))});
  flow.patches["inlet"] = {Opening::Kind::Slip};
  flow.patches["side"] = {Opening::Kind::Total, flow.air.pressure + 320.0};
  const SheetSolution solved = solve(flow);
  const auto in_core = [](const Cell& cell) { return cell.s > depth / 3.0 && cell.s < depth; };
  const double along = mean(solved.cells, in_core, [](const Cell& cell) { return cell.along; });
  double largest = 0.0;
  for (const Cell& cell : solved.cells) {
    if (in_core(cell)) largest = std::max(largest, std::abs(cell.across) / along);
  }
  check.expect_below("largest in the core", largest, 0.01);
  // The deck itself has cross flow of the order of the flow through: otherwise the check above says nothing.
  const auto in_deck = [](const Cell& cell) { return cell.s < 0.0 && cell.r < 0.25 * width; };
  check.expect_above("mean in the deck near its opening",
                     mean(solved.cells, in_deck, [](const Cell& cell) { return cell.across; }) / along,
                     0.25);
  turned.expect_near("core over inlet",
                     mean(solved.cells, in_core, mass_flux) * flow_area / -solved.mass_flow.at("side"),
                     1.0,
                     0.01);
}

TEST_F(CoreFlow, UnequalHeatWarmsEachStreamByItsOwnAndSlowsTheHotterOne) {
  ValidationCheck check(
      {.id = "core.uneven_heat",
       .group = "Cores",
       .title = "Temperature rise of the air through two cores side by side, 100 W and 300 W",
       .source = "energy: heat over mass flow and specific heat, total temperatures",
       .condition = "plane duct, 20 by 10 cells of core, 5 m/s ahead of them",
       .unit = "of heat over mass flow and specific heat",
       .reason = "1 %: cell values against face fluxes, and what mixes between the streams"});
  std::vector<CoreZone> cores;
  for (const auto& [name, heat, low] :
       {std::tuple{"core_l1", 100.0, 0.0}, std::tuple{"core_r1", 300.0, 0.5 * width}}) {
    cores.push_back({.core = plate_core(name, heat),
                     .s_low = 0.0,
                     .s_high = depth,
                     .r_low = low,
                     .r_high = low + 0.5 * width});
  }
  const SheetFlow flow = duct_flow(5.0, cores);
  const SheetSolution solved = solve(flow);
  const double start = flow.air.temperature + 0.5 * 25.0 / base::air::specific_heat;
  std::vector<double> streams;
  for (const CoreZone& zone : cores) {
    // The last row of the core holds all of its heat, and nothing has mixed behind it. The flow is read in
    // the middle: in the end rows the cells' speeds feel the jump of the sink.
    const auto last_row = [&](const Cell& cell) {
      return cell.s > depth * (1.0 - 1.0 / n_core) && cell.s < depth && cell.r > zone.r_low &&
             cell.r < zone.r_high;
    };
    const auto middle = [&](const Cell& cell) {
      return cell.s > 0.25 * depth && cell.s < 0.75 * depth && cell.r > zone.r_low && cell.r < zone.r_high;
    };
    const double flow_through = mean(solved.cells, middle, mass_flux) * 0.5 * flow_area;
    const auto warmth = [](const Cell& cell) { return mass_flux(cell) * total_temperature(cell); };
    const double rise =
        mean(solved.cells, last_row, warmth) / mean(solved.cells, last_row, mass_flux) - start;
    check.expect_near(fmt::format("core of {:.0f} W", zone.core.heat),
                      rise * flow_through * base::air::specific_heat / zone.core.heat,
                      1.0,
                      0.01);
    streams.push_back(flow_through);
  }
  const auto leaving = [](const Cell& cell) { return cell.s > depth + behind * (1.0 - 1.0 / n_behind); };
  const auto warmth = [](const Cell& cell) { return mass_flux(cell) * total_temperature(cell); };
  const double rise = mean(solved.cells, leaving, warmth) / mean(solved.cells, leaving, mass_flux) - start;
  check.expect_near("both together, at the outlet",
                    rise * solved.mass_flow.at("outlet") * base::air::specific_heat / 400.0,
                    1.0,
                    0.01);
  // Hot air is thin: at the same pressure drop, law of squares, the flow goes with the root of the density.
  EXPECT_LT(streams[1], streams[0]);
}

}  // namespace
}  // namespace cowlwright
