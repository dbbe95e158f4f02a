// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study with an own cowl: what it takes, and what it says about what it does not.
#include "cases/study.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/shape/cowl_skin.h"
#include "geometry/shape/own_cowl.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using testing::HasSubstr;

/// The minimal study without what a surface decides.
std::string study_text() {
  std::string text = base::read_text(std::string(COWLWRIGHT_TEST_DATA) + "/studies/minimal.toml");
  const auto drop = [&](std::string_view start, std::string_view end) {
    const std::size_t from = text.find(start);
    text.erase(from, text.find(end, from) - from);
  };
  drop("width = \"1.02 m\"", "\n");
  drop("height_above", "\n");
  drop("depth_below", "\n");
  drop("[inlets]", "[exit]");
  drop("gap", "\n");
  return text;
}

const std::string own_cowl = "[own_cowl]\nfile = \"mine.stl\"\nunit = \"m\"\naxes = \"x y z\"\n";
const std::string left =
    "[own_inlet_left]\nbox_low = [\"0.1 m\", \"-0.38 m\", \"-80 mm\"]\nbox_high = [\"0.4 m\", \"-0.18 m\", "
    "\"120 mm\"]\n"
    "cut_station = \"250 mm\"\n";
const std::string right =
    "[own_inlet_right]\nbox_low = [\"0.1 m\", \"0.18 m\", \"-80 mm\"]\nbox_high = [\"0.4 m\", \"0.38 m\", "
    "\"120 mm\"]\n"
    "cut_station = \"250 mm\"\n";
const std::string rear = "[own_exit]\nnear = [\"1.35 m\", \"0 m\", \"-0.44 m\"]\n";

class OwnCowlStudy : public testing::Test {
 protected:
  OwnCowlStudy() { shape::write_stl(shape::cowl_skin({}), folder_.path() / "mine.stl"); }

  Study read(const std::string& more) { return read_study(folder_.write("study.toml", study_text() + more)); }

  void expect_refused(const std::string& more, const std::vector<std::string>& pieces) {
    try {
      read(more);
      ADD_FAILURE() << "accepted: " << more;
    } catch (const base::InputError& error) {
      for (const std::string& piece : pieces) EXPECT_THAT(error.what(), HasSubstr(piece));
    }
  }

  testing_support::ScratchFolder folder_;
};

TEST_F(OwnCowlStudy, TakesTheOuterFormFromTheFile) {
  const Study study = read(own_cowl + left + right + rear);
  const shape::ShapeSpec& shape = study.variants.front().shape;
  ASSERT_TRUE(shape.own);
  EXPECT_EQ(shape.own->name, "mine.stl");
  EXPECT_NEAR(shape.exit.overhang, 0.10, 1e-6);
  EXPECT_NEAR(shape.cowl.width, 1.02, 0.001);
}

TEST_F(OwnCowlStudy, VariantsThatDifferInsideShareOneFit) {
  const Study study =
      read(own_cowl + left + right + rear + "[vary]\n\"plenum.kind\" = [\"shared\", \"split\"]\n");
  EXPECT_EQ(study.variants[0].shape.own, study.variants[1].shape.own);
}

TEST_F(OwnCowlStudy, AsksForUnitAndAxesRatherThanGuessingThem) {
  expect_refused("[own_cowl]\nfile = \"mine.stl\"\n" + left + right + rear,
                 {"[own_cowl] unit is missing", "[own_cowl] axes is missing"});
}

TEST_F(OwnCowlStudy, RefusesDimensionsThatTheSurfaceDecides) {
  expect_refused(own_cowl + left + right + rear + "[inlets]\ndiameter = \"133 mm\"\n",
                 {"[inlets]", "is decided by the surface in [own_cowl]"});
}

TEST_F(OwnCowlStudy, SaysWhichFileItCouldNotRead) {
  expect_refused("[own_cowl]\nfile = \"absent.stl\"\nunit = \"mm\"\naxes = \"x y z\"\n" + left + right + rear,
                 {"[own_cowl] file", "absent.stl"});
}

TEST_F(OwnCowlStudy, RefusesAnOpeningNamedTwiceOrNotAtAll) {
  expect_refused(own_cowl + left + "near = [\"0.2 m\", \"-0.28 m\", \"0 m\"]\n" + right + rear,
                 {"[own_inlet_left] must name the opening's edge either by near"});
  expect_refused(own_cowl + left + right, {"[own_exit] must name the opening's edge"});
}

TEST_F(OwnCowlStudy, RefusesHalfABoxAPointOfTwoValuesAndACutWithoutABox) {
  expect_refused(own_cowl + left + right + "[own_exit]\nbox_low = [\"1 m\", \"0 m\", \"0 m\"]\n",
                 {"[own_exit] box_low needs the box's other corner"});
  expect_refused(own_cowl + left + right + "[own_exit]\nnear = [\"1 m\", \"0 m\"]\n",
                 {"[own_exit] near has 2 values: must be three"});
  expect_refused(own_cowl + left + right + rear + "cut_station = \"1.3 m\"\n",
                 {"[own_exit] cut_station needs box_low and box_high"});
  expect_refused(
      own_cowl + left + right +
          "[own_exit]\nbox_low = [\"1 m\", \"0 m\", \"0 m\"]\nbox_high = [\"0 m\", \"1 m\", \"1 m\"]\n",
      {"box_high must be greater than box_low"});
}

TEST_F(OwnCowlStudy, RefusesOpeningsWithoutACowl) {
  expect_refused("[own_exit]\nnear = [\"1.35 m\", \"0 m\", \"-0.44 m\"]\n",
                 {"[own_exit]", "there is no [own_cowl]"});
}

TEST_F(OwnCowlStudy, RefusesAClosedReference) {
  expect_refused(own_cowl + left + right + rear + "[grid]\ncooling_drag = true\n",
                 {"[grid] cooling_drag", "cannot be had with [own_cowl]"});
}

TEST_F(OwnCowlStudy, SaysWhenABellyLeavesNoExit) {
  expect_refused(own_cowl + left + right + rear + "[fuselage]\ndepth_below = \"430 mm\"\n",
                 {"[fuselage] depth_below = 430 mm", "must leave at least 20 mm"});
}

}  // namespace
