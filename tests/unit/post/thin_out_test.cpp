// SPDX-License-Identifier: GPL-3.0-or-later
//
// Thinning out: how much goes, and that nothing is off by more than was allowed.
#include "post/pictures/thin_out.h"

#include "post/pictures/scene_pieces.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>
#include <set>

namespace cowlwright::post {
namespace {

using Shape = std::function<std::array<double, 3>(double, double)>;
using Value = std::function<double(double, double)>;

/// n x n squares over the unit square, two triangles each, except where `is_hole`.
ScenePiece sheet(
    int n,
    const Shape& shape,
    const Value& value,
    const std::function<bool(int, int)>& is_hole = [](int, int) { return false; }) {
  ScenePiece piece{.id = "sheet", .title = "Sheet", .kind = "surface", .shows = "cp"};
  piece.values = {{{}, {{"cp", "pressure coefficient", "-"}}}};
  for (int j = 0; j <= n; ++j) {
    for (int i = 0; i <= n; ++i) {
      const double u = static_cast<double>(i) / n;
      const double v = static_cast<double>(j) / n;
      const std::array<double, 3> place = shape(u, v);
      piece.points.push_back(
          {static_cast<float>(place[0]), static_cast<float>(place[1]), static_cast<float>(place[2])});
      piece.values[0].numbers.push_back(static_cast<float>(value(u, v)));
    }
  }
  const auto at = [n](int i, int j) { return static_cast<std::uint32_t>(i + (n + 1) * j); };
  for (int j = 0; j < n; ++j) {
    for (int i = 0; i < n; ++i) {
      if (!is_hole(i, j)) {
        piece.triangles.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
        piece.triangles.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
      }
    }
  }
  return piece;
}

std::array<double, 3> flat(double u, double v) {
  return {u, v, 0.0};
}

/// Quarter of a cylinder of radius 1.
std::array<double, 3> bent(double u, double v) {
  const double angle = 0.5 * std::numbers::pi * u;
  return {std::cos(angle), std::sin(angle), v};
}

double area(const ScenePiece& piece) {
  double sum = 0.0;
  for (const auto& triangle : piece.triangles) {
    const auto corner = [&](std::size_t i) {
      const auto& point = piece.points[triangle[i]];
      return base::Vec3{point[0], point[1], point[2]};
    };
    sum += 0.5 * norm(cross(corner(1) - corner(0), corner(2) - corner(0)));
  }
  return sum;
}

TEST(ThinOut, AFlatSheetWithALinearFieldKeepsLittleAndItsExactArea) {
  const ScenePiece full = sheet(20, flat, [](double u, double v) { return 2.0 * u - v; });
  const ScenePiece thin = thinned_out(full, {1e-6, {1e-4}});
  EXPECT_LT(thin.triangles.size(), full.triangles.size() / 20);
  EXPECT_NEAR(area(thin), 1.0, 1e-6);
  EXPECT_LE(largest_deviation(full, thin), 1e-6);
}

// A hole with concave corners in its rim: a step that bridges it would change the area.
TEST(ThinOut, KeepsHoles) {
  const ScenePiece full = sheet(
      20,
      flat,
      [](double, double) { return 1.0; },
      [](int i, int j) {
        return (i >= 5 && i < 15 && j >= 5 && j < 10) || (i >= 5 && i < 10 && j >= 5 && j < 15);
      });
  const ScenePiece thin = thinned_out(full, {1e-6, {1e-4}});
  EXPECT_LT(thin.triangles.size(), full.triangles.size() / 20);
  EXPECT_NEAR(area(thin), 1.0 - 75.0 / 400.0, 1e-6);
}

TEST(ThinOut, ABentSheetStaysWithinTheDistanceBothWays) {
  const ScenePiece full = sheet(40, bent, [](double, double) { return 0.0; });
  for (const double distance : {0.001, 0.01}) {
    const ScenePiece thin = thinned_out(full, {distance, {1.0}});
    EXPECT_LT(thin.triangles.size(), full.triangles.size() / 4) << distance;
    EXPECT_LE(largest_deviation(full, thin), 1.01 * distance) << distance;  // 32-bit numbers
  }
}

TEST(ThinOut, ALooserLimitLeavesFewer) {
  const ScenePiece full = sheet(40, bent, [](double, double) { return 0.0; });
  EXPECT_LT(thinned_out(full, {0.01, {1.0}}).triangles.size(),
            thinned_out(full, {0.001, {1.0}}).triangles.size());
}

// A wave on a flat sheet: the field alone holds the points.
TEST(ThinOut, AFieldStaysWithinItsLimitOnAFlatSheet) {
  const ScenePiece full = sheet(40, flat, [](double u, double) { return std::sin(9.0 * u); });
  const ScenePiece coarse = thinned_out(full, {1.0, {0.05}});
  const ScenePiece fine = thinned_out(full, {1.0, {0.01}});
  EXPECT_LE(coarse.values[0].deviation, 0.05);
  EXPECT_LE(fine.values[0].deviation, 0.01);
  EXPECT_GT(fine.values[0].deviation, 0.0);
  EXPECT_LT(coarse.triangles.size(), fine.triangles.size());
  EXPECT_LT(fine.triangles.size(), full.triangles.size());
}

TEST(ThinOut, WhatIsKeptKeepsItsPlaceAndValue) {
  const ScenePiece full = sheet(20, bent, [](double u, double v) { return u * v; });
  const ScenePiece thin = thinned_out(full, {0.01, {0.02}});
  std::set<std::pair<std::array<float, 3>, float>> before;
  for (std::size_t i = 0; i < full.points.size(); ++i) {
    before.insert({full.points[i], full.values[0].numbers[i]});
  }
  ASSERT_EQ(thin.points.size(), thin.values[0].numbers.size());
  for (std::size_t i = 0; i < thin.points.size(); ++i) {
    EXPECT_EQ(before.count({thin.points[i], thin.values[0].numbers[i]}), 1U) << i;
  }
}

// Two sheets that cross in a line of edges with four triangles each.
TEST(ThinOut, EdgesWithMoreThanTwoTrianglesStay) {
  ScenePiece full = sheet(8, flat, [](double, double) { return 0.0; });
  const auto n_points = static_cast<std::uint32_t>(full.points.size());
  for (int j = 0; j <= 8; ++j) {  // a fin along the middle column
    full.points.push_back({0.5F, static_cast<float>(j) / 8.0F, 0.3F});
    full.values[0].numbers.push_back(0.0F);
  }
  for (std::uint32_t j = 0; j < 8; ++j) {
    const std::uint32_t low = 4 + 9 * j;
    full.triangles.push_back({low, low + 9, n_points + j});
    full.triangles.push_back({low + 9, n_points + j + 1, n_points + j});
  }
  const ScenePiece thin = thinned_out(full, {1e-6, {1.0}});
  EXPECT_LE(largest_deviation(full, thin), 1e-6);
  const auto n_on_line = std::count_if(thin.points.begin(), thin.points.end(), [](const auto& point) {
    return point[0] == 0.5F && point[2] == 0.0F;
  });
  EXPECT_EQ(n_on_line, 9);
}

}  // namespace
}  // namespace cowlwright::post
