// SPDX-License-Identifier: GPL-3.0-or-later
//
// Surfaces written to files and read back; files that must be refused.
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/shape/builder.h"
#include "geometry/shape/surface.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <utility>

namespace cowlwright::shape {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::StartsWith;
using ::testing::ThrowsMessage;
using testing_support::ScratchFolder;

const std::string facet =
    "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n";

Surface two_bricks() {
  SurfaceBuilder builder;
  builder.add_surface(box_surface({0.0, 0.0, 0.0}, {0.1, 0.2, 0.3}, Patch::Cowl));
  builder.add_surface(box_surface({1.0 / 3.0, 0.0, 0.0}, {1.0, 0.7, 0.3}, Patch::Spinner));
  return std::move(builder).closed();
}

TEST(StlFile, KeepsPatchesAreasAndVolume) {
  const ScratchFolder folder;
  const Surface written = two_bricks();
  write_stl(written, folder.path() / "bricks.stl");
  const Surface read = read_stl(folder.path() / "bricks.stl");
  // Nine digits of lengths up to 1 m: 1e-9 relative in each factor.
  EXPECT_NEAR(surface_area(read, "cowl"), surface_area(written, "cowl"), 1e-8);
  EXPECT_NEAR(surface_area(read, "spinner"), surface_area(written, "spinner"), 1e-8);
  EXPECT_NEAR(enclosed_volume(read), enclosed_volume(written), 1e-8);
  EXPECT_EQ(read.points.size(), 16U);  // equal corners became one point
}

TEST(StlFile, LeavesOutEmptyPatches) {
  const ScratchFolder folder;
  write_stl(two_bricks(), folder.path() / "bricks.stl");
  EXPECT_EQ(read_stl(folder.path() / "bricks.stl").patch_names,
            (std::vector<std::string>{"spinner", "cowl"}));
  EXPECT_THAT(base::read_text(folder.path() / "bricks.stl"), ::testing::Not(HasSubstr("fuselage")));
}

TEST(StlFile, ThatIsAbsentIsRefusedByName) {
  EXPECT_THAT([] { read_stl("no/such/file.stl"); },
              ThrowsMessage<base::InputError>(HasSubstr("no/such/file.stl")));
}

/// Text of a faulty file, the line the message must name and a piece of it.
struct Fault {
  const char* name;
  std::string text;
  std::string line;
  std::string expected;
};

class FaultyStl : public ::testing::TestWithParam<Fault> {};

TEST_P(FaultyStl, IsRefusedWithFileLineAndRule) {
  const ScratchFolder folder;
  const auto path = folder.write("faulty.stl", GetParam().text);
  EXPECT_THAT([&] { read_stl(path); },
              ThrowsMessage<base::InputError>(AllOf(StartsWith(path.string() + ":" + GetParam().line + ":"),
                                                    HasSubstr(GetParam().expected))));
}

INSTANTIATE_TEST_SUITE_P(
    Refusals,
    FaultyStl,
    ::testing::Values(
        Fault{"Empty", "", "0", "at least one facet"},
        Fault{"Nameless", "solid\n" + facet + "endsolid\n", "1", "\"solid\" and a name"},
        Fault{"NotClosed", "solid a\n" + facet, "8", "endsolid a"},
        Fault{"OtherNameAtEnd", "solid a\n" + facet + "endsolid b\n", "9", "endsolid a"},
        Fault{"SameNameTwice",
              "solid a\n" + facet + "endsolid a\nsolid a\n" + facet + "endsolid a\n",
              "10",
              "a name not used before"},
        Fault{"TwoNumbers",
              "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0\n",
              "4",
              "three finite numbers"},
        Fault{"FourNumbers",
              "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0 0\n",
              "4",
              "three numbers only"},
        Fault{"NotANumber", "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 nan 0\n", "4", "finite"},
        Fault{"GluedUnit", "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 1m 0\n", "4", "finite"},
        Fault{"Quadrilateral",
              "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 1 1 0\nvertex 0 1 "
              "0\nendloop\n",
              "7",
              "\"endloop\""},
        Fault{"Binary", std::string("\x01\x02\x03 binary", 10), "1", "\"solid\" and a name"}),
    [](const auto& each) { return each.param.name; });

TEST(VtpFile, StatesCountsPatchesAndNames) {
  const ScratchFolder folder;
  write_vtp(two_bricks(), folder.path() / "bricks.vtp");
  const std::string text = base::read_text(folder.path() / "bricks.vtp");
  EXPECT_THAT(text, HasSubstr("NumberOfPoints=\"16\" NumberOfPolys=\"24\""));
  EXPECT_THAT(text, HasSubstr("Name=\"patch\""));
  // "cowl" as character codes, ended by 0: how the format writes strings.
  EXPECT_THAT(text, HasSubstr("99 111 119 108 0\n"));
}

}  // namespace
}  // namespace cowlwright::shape
