// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every format read, every kind of damage refused with its message. The box is 10 x 20 x 30 file units.
#include "geometry/imported/read_surface.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

namespace cowlwright::imported {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::ThrowsMessage;

const std::string data = std::string(COWLWRIGHT_TEST_DATA) + "/surfaces/";

Placement millimetres() {
  return read_placement("mm", "x y z", "0 0 0");
}

struct Box {
  const char* file;
  const char* format;
  std::size_t n_polygons;
};

class BoxFile : public ::testing::TestWithParam<Box> {};

TEST_P(BoxFile, IsReadWithItsVolumeAreaAndEightCorners) {
  const SurfaceFile file = read_surface_file(data + GetParam().file, millimetres());
  EXPECT_EQ(file.format, GetParam().format);
  EXPECT_EQ(file.n_polygons, GetParam().n_polygons);
  EXPECT_EQ(file.surface.points.size(), 8U);
  EXPECT_EQ(file.surface.triangles.size(), 12U);
  EXPECT_EQ(file.surface.patch.size(), 12U);
  // 10 x 20 x 30 mm; the numbers are exact in the file, only the scale to metres rounds.
  EXPECT_NEAR(shape::enclosed_volume(file.surface), 6e-6, 1e-18);
  EXPECT_NEAR(shape::surface_area(file.surface), 2.2e-3, 1e-15);
}

INSTANTIATE_TEST_SUITE_P(
    Formats,
    BoxFile,
    ::testing::Values(Box{"box_ascii.stl", "ASCII STL", 0},
                      Box{"box_binary.stl", "binary STL", 0},
                      Box{"box_binary_called_solid.stl", "binary STL", 0},
                      Box{"box.obj", "OBJ", 6},
                      Box{"box.off", "OFF", 6},
                      Box{"box_ascii.ply", "ASCII PLY", 6},
                      Box{"box_binary_little_endian.ply", "binary PLY, little endian", 6},
                      Box{"box_binary_big_endian.ply", "binary PLY, big endian", 6}));

TEST(SurfaceFile, NamesPatchesAfterSolidsAndGroups) {
  EXPECT_THAT(read_surface(data + "box_ascii.stl", millimetres()).patch_names,
              ElementsAre("floor", "walls_and_lid"));
  const shape::Surface obj = read_surface(data + "box.obj", millimetres());
  EXPECT_THAT(obj.patch_names, ElementsAre("floor", "rest"));
  EXPECT_NEAR(shape::surface_area(obj, "floor"), 2e-4, 1e-16);
  EXPECT_THAT(read_surface(data + "box.off", millimetres()).patch_names, ElementsAre("surface"));
}

TEST(SurfaceFile, TakesNamelessSolidsAndOneNameTwice) {
  const testing_support::ScratchFolder folder;
  const std::string facet =
      "FACET NORMAL nan nan nan\nOUTER LOOP\nVERTEX 0 0 0 vertex +1 0 0 vertex 0 1e0 -0\nENDLOOP ENDFACET\n";
  const auto path = folder.write("solids.stl",
                                 "solid\n" + facet + "endsolid\nSOLID a b\n" + facet +
                                     "ENDSOLID other\nsolid a b\n" + facet + "endsolid\n");
  const shape::Surface surface = read_surface(path, millimetres());
  EXPECT_THAT(surface.patch_names, ElementsAre("solid_1", "a_b"));
  EXPECT_THAT(surface.patch, ElementsAre(0, 1, 1));
  EXPECT_EQ(surface.points.size(), 3U);
}

TEST(SurfaceFile, CutsAConcavePolygonInside) {
  const SurfaceFile file =
      read_surface_file(data + "concave_polygon.obj", read_placement("m", "x y z", "0 0 0"));
  ASSERT_EQ(file.surface.triangles.size(), 4U);
  EXPECT_NEAR(shape::surface_area(file.surface), 3.0, 1e-12);  // an L; a fan from a wrong corner covers more
  for (const auto& t : file.surface.triangles) {
    const auto& p = file.surface.points;
    EXPECT_GT(cross(p[t[1]] - p[t[0]], p[t[2]] - p[t[0]]).z, 0.0);
  }
}

TEST(SurfaceFile, LeavesUnusedPointsOutAndCountsThem) {
  const SurfaceFile file =
      read_surface_file(data + "unused_points.obj", read_placement("m", "x y z", "0 0 0"));
  EXPECT_EQ(file.surface.points.size(), 3U);
  EXPECT_EQ(file.n_unused_points, 2U);
  EXPECT_EQ(file.first_unused, (base::Vec3{9, 9, 9}));
  EXPECT_NEAR(shape::surface_area(file.surface), 0.5, 1e-15);
}

TEST(SurfaceFile, IsPlacedInOurFrame) {
  // x forward, y left: the box reaches from 0 to 10 forward, so from -10 mm to 0 aft.
  const shape::Box box =
      shape::bounding_box(read_surface(data + "box_binary.stl", read_placement("mm", "-x -y z", "0 0 30")));
  EXPECT_NEAR(box.low.x, -0.010, 1e-15);
  EXPECT_NEAR(box.high.y, 0.0, 1e-15);
  EXPECT_NEAR(box.low.z, -0.030, 1e-15);
}

struct Refusal {
  const char* file;
  const char* where;  ///< behind the file's name
  const char* rule;
};

class MalformedFile : public ::testing::TestWithParam<Refusal> {};

TEST_P(MalformedFile, IsRefusedNamingFilePlaceAndRule) {
  const std::string path = data + GetParam().file;
  EXPECT_THAT(
      [&] { read_surface(path, millimetres()); },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr(path + GetParam().where), HasSubstr(GetParam().rule))));
}

INSTANTIATE_TEST_SUITE_P(
    Files,
    MalformedFile,
    ::testing::Values(
        Refusal{"absent.stl", ": ", "cannot be read: No such file or directory"},
        Refusal{".", ": ", "is not a regular file"},
        Refusal{"empty.stl", ": ", "is empty"},
        Refusal{"unknown.xyz", ": ", "extension \".xyz\": must be .stl, .obj, .ply, .off, .step or .stp"},
        Refusal{"truncated_ascii.stl", ":24: ", "the file ends where \"vertex\" must stand"},
        Refusal{"truncated_binary.stl",
                ": ",
                "its header says 12 facets, which take 684 bytes; the file has 664"},
        Refusal{"huge_count_binary.stl",
                ": ",
                "4000000000 facets, which take 200000000084 bytes; the file has 134"},
        Refusal{"nan_ascii.stl", ":6: ", "\"nan\" must be a finite number"},
        Refusal{"inf_binary.stl", ": byte 84: facet 1: ", "not a finite number"},
        Refusal{"decimal_comma.stl", ":6: ", "\"10,5\" must be a number with a decimal point"},
        Refusal{"four_corners.stl", ":7: ", "\"vertex\": \"endloop\" must stand here"},
        Refusal{"two_coordinates.obj", ":1: ", "a point must have three coordinates"},
        Refusal{"index_out_of_range.obj", ":4: ", "corner 4: must be 1 to 3"},
        Refusal{"index_zero.obj", ":4: ", "corner 0: must be 1 to 3"},
        Refusal{
            "index_back_too_far.obj", ":4: ", "corner -4: must be 1 to 3, the points so far, or -1 to -3"},
        Refusal{"two_corners.obj", ":3: ", "a face of 2 corners: must have 3 to 1000"},
        Refusal{"free_form.obj", ":2: ", "\"cstype\": free-form curves and surfaces are not read"},
        Refusal{"not_obj.obj", ":1: ", "\"hello\" begins no OBJ statement"},
        Refusal{"no_faces.obj", ": ", "holds no face"},
        Refusal{"far_away.obj", ":2: ", "coordinate = 1e+27 m: must be within 1e+06 m"},
        Refusal{"long_line.obj", ":1: ", "the line is longer than 65536 bytes"},
        Refusal{"huge_count.off",
                ":2: ",
                "900000000000 points announced: the 6 bytes that follow cannot hold them"},
        Refusal{"negative_count.off", ":2: ", "number of points = \"-3\": must be a whole number >= 0"},
        Refusal{"index_out_of_range.off", ":6: ", "corner 3: must be 0 to 2"},
        Refusal{"truncated.off", ":6: ", "the file ends before face 2 of 2"},
        Refusal{"more_than_counted.off", ":7: ", "stands behind the last of 1 faces"},
        Refusal{"four_dimensions.off", ":1: ", "\"4OFF\": only three-dimensional OFF is read"},
        Refusal{"binary.off", ":1: ", "binary OFF is not read"},
        Refusal{
            "huge_count.ply", ":9: ", "99999999999 elements \"vertex\" announced: the 6 bytes that follow"},
        Refusal{"no_properties.ply", ":4: ", "element \"nothing\" has no property"},
        Refusal{"index_out_of_range.ply", ":16: ", "face 0, corner 3: must be 0 to 2"},
        Refusal{"nan.ply", ":14: ", "point 1: a coordinate is not a finite number"},
        Refusal{"two_corners.ply", ":16: ", "a face of 2 corners: must have 3 to 1000"},
        Refusal{"truncated_binary.ply", ": byte ", "the file ends before the last of 6 elements \"face\""},
        Refusal{"list_longer_than_file.ply",
                ": byte ",
                "a list of 4000000000 entries is longer than what follows"},
        Refusal{"no_end_of_header.ply", ":3: ", "the file ends where \"end_header\" must stand"},
        Refusal{"unknown_type.ply", ":4: ", "\"quad\" is no number type of PLY"},
        Refusal{"tristrips.ply", ":5: ", "strips of triangles are not read"},
        Refusal{"no_magic.ply", ": ", "must begin with a line \"ply\""}));

TEST(SurfaceFile, LargerThanTheLimitsIsRefusedNamingThem) {
  ReadOptions few;
  few.limits.most_triangles = 11;
  for (const char* name : {"box_ascii.stl", "box_binary.stl", "box.obj", "box.off", "box_ascii.ply"}) {
    EXPECT_THAT([&] { read_surface_file(data + name, millimetres(), few); },
                ThrowsMessage<base::InputError>(HasSubstr("11")))
        << name;
  }
  few.limits = {.most_points = 7};
  for (const char* name : {"box_ascii.stl", "box.obj", "box.off", "box_ascii.ply"}) {
    EXPECT_THAT([&] { read_surface_file(data + name, millimetres(), few); },
                ThrowsMessage<base::InputError>(HasSubstr("7")))
        << name;
  }
}

TEST(SurfaceFile, ShowsNoControlCharactersOfTheFile) {
  const testing_support::ScratchFolder folder;
  const auto path = folder.write("escape.obj", "\x1b[2J\x07 0 0 0\n");
  EXPECT_THAT([&] { read_surface(path, millimetres()); },
              ThrowsMessage<base::InputError>(HasSubstr("\"?[2J?\" begins")));
}

TEST(PlacementProposal, GivesUnitAndAxesWithTheirReasons) {
  const testing_support::ScratchFolder folder;
  // A tapered box 900 long, 700 wide, 500 high in mm, its narrow end at the low end of y, z up, x across.
  const auto path = folder.write("wedge.obj",
                                 "v -100 0 200\nv 100 0 200\nv 100 0 300\nv -100 0 300\n"
                                 "v -350 900 0\nv 350 900 0\nv 350 900 500\nv -350 900 500\n"
                                 "f 1 2 3 4\nf 8 7 6 5\nf 1 5 6 2\nf 2 6 7 3\nf 3 7 8 4\nf 4 8 5 1\n");
  const PlacementProposal proposal = propose_placement(path);
  EXPECT_EQ(proposal.unit, "mm");
  EXPECT_THAT(proposal.unit_reason, HasSubstr("largest extent is 900 file units: 0.9 m if drawn in mm"));
  EXPECT_EQ(proposal.axes, "y -x z");
  EXPECT_NO_THROW(read_placement(proposal.unit, proposal.axes, "0 0 0"));
  EXPECT_THAT(proposal.axes_reason, HasSubstr("narrower, as a nose is, at the low end"));
}

}  // namespace
}  // namespace cowlwright::imported
