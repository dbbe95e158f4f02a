// SPDX-License-Identifier: GPL-3.0-or-later
//
// The grid convergence procedure against published worked examples.
#include "post/trust/grid_convergence.h"

#include "tests/support/validation.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <optional>
#include <string>

namespace cowlwright::post {
namespace {

using testing_support::CheckSubject;
using testing_support::ValidationCheck;

/// A worked example: three grids, fine to coarse, and what the source prints.
struct Example {
  std::string name;
  double r21, r32;
  std::array<double, 3> values;
  double order, order_tolerance;
  std::optional<double> extrapolated;
  double extrapolated_tolerance;
  double gci_percent, gci_tolerance;
};

// Celik et al. 2008, table 1: N = 18000, 8000, 4500 and 18000, 4500, 980 cells in the plane; p is printed
// with three digits, of inputs with four. The inlet tutorial's inputs are from memory. The textbook's values
// alternate, so that nothing is extrapolated.
const Example examples[] = {
    {"Celik, reattachment length",
     1.5,
     std::sqrt(8.0 / 4.5),
     {6.063, 5.972, 5.863},
     1.53,
     0.01,
     6.1685,
     5e-5,
     2.2,
     0.05},
    {"Celik, axial velocity, order below 1",
     2.0,
     std::sqrt(4500.0 / 980.0),
     {10.7880, 10.7250, 10.6050},
     0.75,
     0.01,
     10.8801,
     5e-5,
     1.1,
     0.05},
    {"inlet tutorial, pressure recovery",
     2.0,
     2.0,
     {0.97050, 0.96854, 0.96178},
     1.78617,
     5e-6,
     0.97130,
     5e-6,
     0.1031,
     5e-5},
    {"textbook, potential flow, oscillating",
     2.0,
     2.0,
     {1.232812, 1.231433, 1.236173},
     1.781,
     5e-4,
     std::nullopt,
     0.0,
     0.06,
     0.005},
};

CheckSubject celik(CheckSubject subject) {
  subject.group = "Grid convergence";
  subject.source =
      "Celik et al., J. Fluids Eng. 130 (2008) 078001, table 1; NASA's inlet tutorial (inputs from "
      "memory); a textbook's potential flow";
  subject.condition = "three grids each";
  subject.reason =
      "half a unit of the last printed digit; a whole one for Celik's orders, whose inputs have four";
  return subject;
}

GridConvergence solve(const Example& example) {
  return grid_convergence({GridPoint{1.0, example.values[0], 0.0},
                           GridPoint{example.r21, example.values[1], 0.0},
                           GridPoint{example.r21 * example.r32, example.values[2], 0.0}});
}

TEST(PublishedGrids, ObservedOrder) {
  ValidationCheck check(celik({.id = "grids.order", .title = "Observed order", .unit = "-"}));
  for (const Example& example : examples) {
    check.expect_near(
        example.name, solve(example).order.value_or(std::nan("")), example.order, example.order_tolerance);
  }
}

TEST(PublishedGrids, ExtrapolatedValue) {
  ValidationCheck check(celik({.id = "grids.extrapolated",
                               .title = "Value extrapolated to cell size zero",
                               .unit = "unit of the value"}));
  for (const Example& example : examples) {
    if (!example.extrapolated) continue;
    check.expect_near(example.name,
                      solve(example).extrapolated.value_or(std::nan("")),
                      *example.extrapolated,
                      example.extrapolated_tolerance);
  }
}

TEST(PublishedGrids, ConvergenceIndex) {
  ValidationCheck check(
      celik({.id = "grids.gci", .title = "Grid convergence index of the fine grid", .unit = "%"}));
  for (const Example& example : examples) {
    check.expect_near(example.name,
                      100.0 * solve(example).gci_21.value_or(std::nan("")),
                      example.gci_percent,
                      example.gci_tolerance);
  }
}

}  // namespace
}  // namespace cowlwright::post
