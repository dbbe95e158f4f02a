// SPDX-License-Identifier: GPL-3.0-or-later
//
// The whole mold check on bodies whose answers are known exactly, at about 10,000 and 500,000 faces.
#include "tests/support/mold_bodies.h"

#include "geometry/mold/report.h"
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace cowlwright::mold {
namespace {

using testing_support::pi;
using testing_support::ValidationCheck;

MoldReport checked(const shape::Surface& surface, std::vector<Vec3> pulls) {
  Options options;
  options.pulls = std::move(pulls);
  return check_mold(make_sheet(surface, MoldSide::Outside), options, {});
}

double value(const MoldReport& report, const std::string& key) {
  for (const Finding& finding : report.findings) {
    if (finding.key == key) return finding.value;
  }
  throw std::runtime_error("no finding " + key);
}

std::string faces(const MoldReport& report) {
  return fmt::format("{} faces", report.halves.size());
}

const std::vector<Vec3> both{{0, 0, 1}, {0, 0, -1}};

/// Spheres of 9,680 and 499,280 faces, checked once for all tests.
const std::vector<MoldReport>& spheres() {
  static const std::vector<MoldReport> reports{checked(testing_support::sphere(0.3, 22), both),
                                               checked(testing_support::sphere(0.3, 158), both)};
  return reports;
}

TEST(MoldBodies, ConeHasItsDraft) {
  ValidationCheck check(
      {.id = "mold.cone_draft",
       .group = "Mold check",
       .title = "Draft of a cone, least over all faces",
       .source = "exact: half of the cone's angle, 3°",
       .condition = "radius 0.2 m, height 0.15 m, drawn along its axis",
       .unit = "deg",
       .reason = "a polygon of n sides leans less by the cosine of π/n: 2e-4 at 160 sides; 1e-3"});
  for (const auto& [around, up] : {std::pair{160, 32}, std::pair{1120, 224}}) {
    const MoldReport cone = checked(testing_support::cone_side(3 * one_degree, around, up), {{0, 0, 1}});
    const double least = *std::min_element(cone.draft.begin(), cone.draft.end());
    check.expect_near(faces(cone), least / one_degree, 3.0, 3e-3);
  }
}

TEST(MoldBodies, SphereHasItsZoneOfLowDraft) {
  ValidationCheck check(
      {.id = "mold.sphere_low_draft",
       .group = "Mold check",
       .title = "Area of a sphere with draft below 1°, both halves",
       .source = "exact, Archimedes: 4π R² sin 1°",
       .condition = "radius 0.3 m, two halves, parting line proposed",
       .unit = "m²",
       .reason =
           "facets of 14 mm at 10,000 faces: their chords take 3e-4 of the area, and the zone of 10.5 mm is "
           "narrower than a facet; 1 %"});
  const double exact = 4 * pi * 0.09 * std::sin(one_degree);
  for (const MoldReport& sphere : spheres()) {
    check.expect_near(faces(sphere), value(sphere, "draft_error"), exact, 0.01 * exact);
  }
}

TEST(MoldBodies, SphereIsPartedAtItsEquator) {
  ValidationCheck check({.id = "mold.sphere_parting_line",
                         .group = "Mold check",
                         .title = "Length of the parting line proposed for a sphere",
                         .source = "exact: 2π R",
                         .condition = "radius 0.3 m, drawn up and down; no row of facets follows the equator",
                         .unit = "m",
                         .reason = "edges zigzag round the equator; smoothing leaves some of it: 2 %"});
  for (const MoldReport& sphere : spheres()) {
    check.expect_near(faces(sphere), sphere.parting.length, 2 * pi * 0.3, 0.02 * 2 * pi * 0.3);
  }
}

TEST(MoldBodies, TorusHasItsTwoRadii) {
  ValidationCheck check(
      {.id = "mold.torus_radii",
       .group = "Mold check",
       .title = "Smallest radii of a torus: of its tube and of its inner equator",
       .source = "exact: r and R − r",
       .condition = "R 200 mm, r 50 mm; the tube is a hollow of the mold, the inner equator an edge of it",
       .unit = "mm",
       .reason = "50 facets round the tube turn 7° each: (7°)²/12 = 1e-3 by the chords; 1 %"});
  for (const auto& [around, tube] : {std::pair{100, 50}, std::pair{708, 354}}) {
    const MoldReport torus = checked(testing_support::torus(0.2, 0.05, around, tube), both);
    check.expect_near("inside radius, " + faces(torus), value(torus, "inside_radius"), 50.0, 0.5);
    check.expect_near("outside radius, " + faces(torus), value(torus, "outside_radius"), 150.0, 1.5);
  }
}

TEST(MoldBodies, FilletHasItsRadius) {
  ValidationCheck check({.id = "mold.fillet_radius",
                         .group = "Mold check",
                         .title = "Radius of a rounded edge between two plates",
                         .source = "exact: as built, 5 mm",
                         .condition = "facets of 0.6 mm and of 0.085 mm on the arc",
                         .unit = "mm",
                         .reason = "0.6 mm is 13 facets over 90°, the fit's window is 1 mm: 2 %"});
  for (const double facet : {0.0006, 0.000085}) {
    const MoldReport edge = checked(testing_support::filleted_edge(0.005, facet), {unit({-1, 0, 1})});
    check.expect_near(faces(edge), value(edge, "inside_radius"), 5.0, 0.1);
  }
}

TEST(MoldBodies, SteppedBlockHasItsUndercut) {
  ValidationCheck check(
      {.id = "mold.step_undercut",
       .group = "Mold check",
       .title = "Undercut of a block with a ledge",
       .source = "exact: the ledge's underside, 0.03 · 0.3 m², and the wall below it, 0.04 · 0.3 m²",
       .condition = "drawn up in one piece",
       .unit = "m²",
       .reason = "rows of facets end at the ledge: rounding only, 1e-9"});
  for (const int n : {32, 224}) {
    const MoldReport block = checked(testing_support::stepped_block(n), {{0, 0, 1}});
    check.expect_near(faces(block), value(block, "undercut"), 0.021, 1e-9);
  }
}

}  // namespace
}  // namespace cowlwright::mold
