// SPDX-License-Identifier: GPL-3.0-or-later
//
// One tiny file per defect, in mm; counts and places done by hand.
#include "geometry/imported/faults.h"

#include "geometry/base/text_file.h"
#include "geometry/imported/fault_table.h"
#include "geometry/imported/read_surface.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace cowlwright::imported {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using Pair = std::array<std::uint32_t, 2>;

// Positions come from sums of few numbers of 0.03 m: rounding stays far below.
constexpr double rounding = 1e-12;

shape::Surface surface_of(const std::string& name) {
  return read_surface(std::string(COWLWRIGHT_TEST_DATA) + "/surfaces/" + name,
                      read_placement("mm", "x y z", "0 0 0"));
}
Faults faults_of(const std::string& name) {
  return diagnose(surface_of(name));
}

/// Counts of all kinds that are not 0, "key=count".
std::vector<std::string> counts(const std::string& name) {
  const shape::Surface surface = surface_of(name);
  std::vector<std::string> found;
  for (const FaultRow& row : fault_table(surface, diagnose(surface), {}, 3)) {
    if (row.count > 0) found.push_back(row.key + "=" + std::to_string(row.count));
  }
  return found;
}

TEST(Faults, AreNoneInASoundBox) {
  EXPECT_THAT(counts("box.obj"), IsEmpty());
  EXPECT_THAT(counts("hollow_box.obj"), IsEmpty());  // the cavity's normals point into it, as they must
  EXPECT_TRUE(faults_of("box.obj").is_closed());
}

TEST(Faults, TellAHoleWithLengthDiagonalAndCentre) {
  EXPECT_THAT(counts("open_box.obj"), ElementsAre("open_edge=1"));
  const Faults faults = faults_of("open_box.obj");
  ASSERT_THAT(faults.loops, SizeIs(1));
  EXPECT_EQ(faults.loops[0].n_edges, 4U);
  EXPECT_NEAR(faults.loops[0].length, 0.060, rounding);
  EXPECT_NEAR(faults.loops[0].diagonal, 0.0223606797749979, rounding);  // root of 10^2 + 20^2
  EXPECT_NEAR(faults.loops[0].centre.x, 0.005, rounding);
  EXPECT_NEAR(faults.loops[0].centre.y, 0.010, rounding);
  EXPECT_NEAR(faults.loops[0].centre.z, 0.030, rounding);
  EXPECT_FALSE(faults.shells[0].is_closed);
}

TEST(Faults, TellTwoHolesThatTouchInACornerApart) {
  const Faults faults = faults_of("touching_holes.obj");
  ASSERT_THAT(faults.loops, SizeIs(2));
  EXPECT_NEAR(faults.loops[0].length, 0.040, rounding);
  EXPECT_NEAR(faults.loops[1].length, 0.040, rounding);
  EXPECT_THAT(faults.non_manifold_points, SizeIs(1));
}

TEST(Faults, TellTheFlippedFaceOfABox) {
  EXPECT_THAT(counts("flipped_face.obj"), ElementsAre("flipped=1"));
  const Faults faults = faults_of("flipped_face.obj");
  EXPECT_EQ(faults.n_disagreeing_edges, 3U);
  EXPECT_THAT(faults.flipped_faces, ElementsAre(0U));
}

TEST(Faults, TellAShellInsideOut) {
  EXPECT_THAT(counts("inside_out.obj"), ElementsAre("inside_out=1"));
}

TEST(Faults, TellAOneSidedBand) {
  const Faults faults = faults_of("moebius_band.obj");
  ASSERT_THAT(faults.shells, SizeIs(1));
  EXPECT_TRUE(faults.shells[0].is_one_sided);
  EXPECT_GT(faults.n_disagreeing_edges, 0U);
  EXPECT_THAT(faults.loops, SizeIs(1));  // such a band has one rim
}

TEST(Faults, TellCopiesOfAFaceOfEitherSense) {
  EXPECT_THAT(counts("duplicated_face.obj"), ElementsAre("duplicated=2"));
  EXPECT_THAT(faults_of("duplicated_face.obj").duplicated_faces, ElementsAre(12U, 13U));
}

TEST(Faults, TellANonManifoldEdge) {
  EXPECT_THAT(counts("non_manifold_edge.obj"), ElementsAre("open_edge=1", "non_manifold_edge=1"));
  const FaultRow row =
      fault_table(surface_of("non_manifold_edge.obj"), faults_of("non_manifold_edge.obj"), {}, 3)[8];
  ASSERT_EQ(row.key, "non_manifold_edge");
  EXPECT_NEAR(row.places[0].at.x, 0.005, rounding);
  EXPECT_NEAR(row.places[0].at.z, 0.030, rounding);
}

TEST(Faults, TellAPointWhereTwoBodiesMeet) {
  EXPECT_THAT(counts("non_manifold_point.obj"), ElementsAre("non_manifold_point=1"));
  EXPECT_THAT(faults_of("non_manifold_point.obj").non_manifold_points, ElementsAre(0U));
  EXPECT_THAT(faults_of("non_manifold_point.obj").shells, SizeIs(2));
}

TEST(Faults, TellCrossingFaces) {
  EXPECT_THAT(faults_of("crossing_faces.obj").intersections, ElementsAre(Pair{0, 1}));
  EXPECT_THAT(faults_of("crossing_at_corner.obj").intersections, ElementsAre(Pair{0, 1}));
  EXPECT_THAT(faults_of("folded_faces.obj").intersections, ElementsAre(Pair{0, 1}));
}

TEST(Faults, TellShellsThatCross) {
  const Faults faults = faults_of("crossing_shells.obj");
  ASSERT_THAT(faults.overlaps, SizeIs(1));
  EXPECT_EQ(faults.overlaps[0].a, 0U);
  EXPECT_EQ(faults.overlaps[0].b, 1U);
  EXPECT_EQ(faults.overlaps[0].n_pairs, faults.intersections.size());
  EXPECT_GT(faults.intersections.size(), 0U);
}

TEST(Faults, TellAShellThatIsThereTwice) {
  EXPECT_THAT(counts("coinciding_shells.obj"), ElementsAre("duplicated=12", "overlapping_shells=1"));
}

TEST(Faults, TellTinyNeedleAndDegenerateFacesApart) {
  EXPECT_THAT(counts("tiny_triangle.obj"), ElementsAre("tiny=1", "open_edge=1"));
  EXPECT_THAT(counts("needle_triangle.obj"), ElementsAre("needle=1", "open_edge=1"));
  EXPECT_THAT(faults_of("degenerate_faces.obj").degenerate_faces, ElementsAre(1U, 2U));
}

TEST(Faults, TellACrumb) {
  const Faults faults = faults_of("crumb.obj");
  ASSERT_THAT(faults.shells, SizeIs(2));
  EXPECT_FALSE(faults.shells[0].is_crumb);
  EXPECT_TRUE(faults.shells[1].is_crumb);
  EXPECT_NEAR(faults.shells[1].area, 0.5 * 1e-4 * 1e-4, 1e-18);
}

TEST(Faults, TellUnusedPoints) {
  shape::Surface surface = surface_of("box.obj");
  surface.points.push_back({1, 2, 3});
  EXPECT_THAT(diagnose(surface).unused_points, ElementsAre(8U));
}

TEST(Faults, EndTheSearchForCrossingsAtTheirLimit) {
  FaultLimits limits;
  limits.most_intersections = 1;
  const Faults faults = diagnose(surface_of("crossing_shells.obj"), limits);
  EXPECT_FALSE(faults.has_all_intersections);
  EXPECT_TRUE(faults_of("crossing_shells.obj").has_all_intersections);
}

/// Two random triangles cross when an edge of one passes through the other: solved for directly, in doubles.
bool edge_passes(const base::Vec3& p, const base::Vec3& q, const std::array<base::Vec3, 3>& t) {
  const base::Vec3 n = cross(t[1] - t[0], t[2] - t[0]);
  const double at_p = dot(n, p - t[0]);
  const double at_q = dot(n, q - t[0]);
  if (at_p * at_q > 0) return false;
  const base::Vec3 hit = p + (at_p / (at_p - at_q)) * (q - p);
  for (std::size_t k = 0; k < 3; ++k) {
    if (dot(n, cross(t[(k + 1) % 3] - t[k], hit - t[k])) < 0) return false;
  }
  return true;
}

TEST(Faults, FindTheCrossingsOfRandomTrianglesThatADirectSearchFinds) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> place(0.0, 1.0);
  std::uniform_real_distribution<double> size(-0.15, 0.15);
  shape::Surface surface;
  surface.patch_names = {"surface"};
  for (std::uint32_t i = 0; i < 300; ++i) {
    const base::Vec3 c{place(random), place(random), place(random)};
    for (int k = 0; k < 3; ++k)
      surface.points.push_back(c + base::Vec3{size(random), size(random), size(random)});
    surface.triangles.push_back({3 * i, 3 * i + 1, 3 * i + 2});
    surface.patch.push_back(0);
  }
  std::vector<Pair> direct;
  const auto corners = [&](std::uint32_t i) {
    return std::array<base::Vec3, 3>{
        surface.points[3 * i], surface.points[3 * i + 1], surface.points[3 * i + 2]};
  };
  for (std::uint32_t a = 0; a < 300; ++a) {
    for (std::uint32_t b = a + 1; b < 300; ++b) {
      const auto ta = corners(a);
      const auto tb = corners(b);
      bool meets = false;
      for (std::size_t k = 0; k < 3; ++k) {
        meets = meets || edge_passes(ta[k], ta[(k + 1) % 3], tb) || edge_passes(tb[k], tb[(k + 1) % 3], ta);
      }
      if (meets) direct.push_back({a, b});
    }
  }
  EXPECT_GT(direct.size(), 50U);
  EXPECT_EQ(diagnose(surface).intersections, direct);
}

TEST(FaultsFile, MarksEachKindOnTheCellsThatHaveIt) {
  const testing_support::ScratchFolder folder;
  const shape::Surface surface = surface_of("flipped_face.obj");
  write_faults_vtp(surface, diagnose(surface), folder.path() / "faults.vtp");
  const std::string text = base::read_text(folder.path() / "faults.vtp");
  EXPECT_THAT(text,
              HasSubstr("NumberOfPoints=\"8\" NumberOfVerts=\"0\" NumberOfLines=\"0\" NumberOfPolys=\"12\""));
  EXPECT_THAT(text, HasSubstr("Name=\"flipped\" format=\"ascii\">\n1\n0\n0\n"));
  const shape::Surface open = surface_of("open_box.obj");
  write_faults_vtp(open, diagnose(open), folder.path() / "open.vtp");
  // Four lines before ten triangles.
  EXPECT_THAT(
      base::read_text(folder.path() / "open.vtp"),
      HasSubstr(
          "Name=\"open_edge\" format=\"ascii\">\n1\n1\n1\n1\n0\n0\n0\n0\n0\n0\n0\n0\n0\n0\n</DataArray>"));
}

TEST(FaultTable, StatesLimitsAndWhatRepairDoes) {
  const shape::Surface surface = surface_of("needle_triangle.obj");
  FaultLimits limits;
  limits.needle_ratio = 50;
  for (const FaultRow& row : fault_table(surface, diagnose(surface, limits), limits, 3)) {
    EXPECT_FALSE(row.rule.empty()) << row.key;
    EXPECT_FALSE(row.remedy.empty()) << row.key;
    if (row.key == "needle") {
      EXPECT_THAT(row.rule, HasSubstr("above 50 (common practice)"));
    }
  }
}

}  // namespace
}  // namespace cowlwright::imported
