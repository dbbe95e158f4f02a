// SPDX-License-Identifier: GPL-3.0-or-later
//
// Inlets that differ and the alternator, as a study file gives them.
#include "cases/study.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using testing::AllOf;
using testing::HasSubstr;
using testing::SizeIs;

/// The minimal study with other text in place of its inlets' diameter, and more at the end.
Study with_inlets(const std::string& inlets, const std::string& end = "") {
  std::string text = base::read_text(COWLWRIGHT_TEST_DATA "/studies/minimal.toml");
  const std::string old_line = "diameter = \"133 mm\"";
  text.replace(text.find(old_line), old_line.size(), inlets);
  return parse_study(text + end, "a.toml");
}

const std::string oval = "opening = \"oval\"\nopening_width = \"150 mm\"\nopening_height = \"100 mm\"\n";
const std::string round = "diameter = \"133 mm\"\n";

void expect_refused(const std::string& inlets, const std::string& end, std::vector<std::string> pieces) {
  try {
    with_inlets(inlets, end);
    ADD_FAILURE() << "accepted: " << inlets << end;
  } catch (const base::InputError& error) {
    for (const std::string& piece : pieces) EXPECT_THAT(error.what(), HasSubstr(piece));
  }
}

TEST(ReadInlets, OneSectionStandsForBoth) {
  const shape::InletPair inlets = with_inlets(oval + "height = \"10 mm\"").variants.front().shape.inlets;
  EXPECT_EQ(inlets.left, inlets.right);
  EXPECT_EQ(inlets.left.opening, shape::OpeningShape::Oval);
  EXPECT_DOUBLE_EQ(inlets.left.opening_width, 0.15);
  EXPECT_DOUBLE_EQ(inlets.left.opening_height, 0.10);
  EXPECT_DOUBLE_EQ(inlets.left.height, 0.01);
}

TEST(ReadInlets, AnOwnSectionChangesItsSideOnly) {
  const shape::InletPair inlets =
      with_inlets(
          round,
          "[inlet_left]\nopening = \"rectangular\"\nopening_width = \"140 mm\"\nopening_height = \"100 "
          "mm\"\ncorner_radius = \"15 mm\"\ndiffuser_length = \"60 mm\"\ndiffuser_area_ratio = 1.3\n"
          "[inlet_right]\ndiameter = \"120 mm\"\n")
          .variants.front()
          .shape.inlets;
  EXPECT_EQ(inlets.left.opening, shape::OpeningShape::Rectangular);
  EXPECT_DOUBLE_EQ(inlets.left.corner_radius, 0.015);
  EXPECT_DOUBLE_EQ(inlets.left.diffuser_length, 0.06);
  EXPECT_DOUBLE_EQ(inlets.left.diffuser_area_ratio, 1.3);
  EXPECT_EQ(inlets.right.opening, shape::OpeningShape::Round);
  EXPECT_DOUBLE_EQ(inlets.right.diameter, 0.12);
  EXPECT_DOUBLE_EQ(inlets.right.diffuser_length, 0.0);
}

TEST(ReadInlets, OneSideCanVary) {
  const Study study = with_inlets(round, "[vary]\n\"inlet_left.diameter\" = [\"133 mm\", \"120 mm\"]\n");
  ASSERT_THAT(study.variants, SizeIs(2));
  EXPECT_DOUBLE_EQ(study.variants[1].shape.inlets.left.diameter, 0.12);
  EXPECT_DOUBLE_EQ(study.variants[1].shape.inlets.right.diameter, 0.133);
}

TEST(ReadInlets, OpeningsCanBeComparedWithTheKeysOfBoth) {
  const Study study = with_inlets(round + "opening_width = \"150 mm\"\nopening_height = \"100 mm\"",
                                  "[vary]\n\"inlets.opening\" = [\"round\", \"oval\"]\n");
  ASSERT_THAT(study.variants, SizeIs(2));
  EXPECT_EQ(study.variants[0].shape.inlets.left.opening, shape::OpeningShape::Round);
  EXPECT_EQ(study.variants[1].shape.inlets.right.opening, shape::OpeningShape::Oval);
}

TEST(ReadInlets, ARingOfItsOwnLeavesTheCommonRadiusAlone) {
  const shape::InletPair inlets = with_inlets(round +
                                                  "ring = \"proud\"\nring_stand = \"15 mm\"\nlip_radius = "
                                                  "\"18 mm\"\nspacing = \"600 mm\"",
                                              "[inlet_right]\nring = \"none\"\n")
                                      .variants.front()
                                      .shape.inlets;
  EXPECT_DOUBLE_EQ(inlets.left.lip_radius, 0.018);
  EXPECT_DOUBLE_EQ(inlets.right.lip_radius, 0.0);
  EXPECT_DOUBLE_EQ(inlets.right.ring_stand, 0.0);
}

TEST(ReadInlets, WhatAnOpeningLacksIsNamed) {
  expect_refused(
      "opening = \"oval\"\nopening_width = \"150 mm\"", "", {"[inlets]", "opening_height is missing"});
  expect_refused("", "", {"[inlets]", "diameter is missing"});
}

TEST(ReadInlets, AKeyOfAnotherOpeningIsRefused) {
  expect_refused(round + "opening_width = \"150 mm\"",
                 "",
                 {"[inlets] opening_width", "no effect with opening = \"round\""});
  expect_refused(oval,
                 "[inlet_left]\ncorner_radius = \"10 mm\"\n",
                 {"[inlet_left] corner_radius", "no effect with opening = \"oval\""});
}

TEST(ReadInlets, LengthsOutsideTheirRangeNameValueUnitAndBound) {
  expect_refused(round,
                 "[inlet_right]\ndiameter = \"300 mm\"\n",
                 {"[inlet_right] diameter", "300 mm", "at most 250 mm"});
  expect_refused(oval + "diffuser_length = \"60 mm\"\ndiffuser_area_ratio = 0.9",
                 "",
                 {"diffuser_area_ratio = 0.9", "above 1 and at most 4"});
}

TEST(ReadInlets, DiffuserNeedsLengthAndRatio) {
  expect_refused(round + "diffuser_length = \"60 mm\"",
                 "",
                 {"[inlets] diffuser_length", "= 60 mm", "diffuser_area_ratio"});
  expect_refused(
      round + "diffuser_area_ratio = 1.4", "", {"[inlets] diffuser_area_ratio", "= 1.4", "diffuser_length"});
}

TEST(ReadInlets, SpacingIsCommon) {
  expect_refused(round, "[inlet_left]\nspacing = \"500 mm\"\n", {"unknown key [inlet_left] spacing"});
}

TEST(ReadInlets, ARuleBrokenOnOneSideIsSaidOfThatSide) {
  expect_refused(round, "[inlet_left]\nheight = \"150 mm\"\n", {"[inlet_left] height = 150.0 mm", "<="});
}

TEST(ReadAlternator, IsAbsentUnlessAskedFor) {
  EXPECT_FALSE(with_inlets(round).variants.front().shape.alternator.side);
  EXPECT_FALSE(with_inlets(round, "[alternator]\nside = \"none\"\n").variants.front().shape.alternator.side);
}

TEST(ReadAlternator, DimensionsArriveInSi) {
  const shape::AlternatorSpec alternator =
      with_inlets(
          round,
          "[alternator]\nside = \"right\"\ndiameter = \"110 mm\"\nlength = \"70 mm\"\nstation = \"392 "
          "mm\"\ndistance = \"270 mm\"\nheight = \"50 mm\"\n")
          .variants.front()
          .shape.alternator;
  EXPECT_EQ(alternator.side, base::Side::Right);
  EXPECT_DOUBLE_EQ(alternator.diameter, 0.11);
  EXPECT_DOUBLE_EQ(alternator.length, 0.07);
  EXPECT_DOUBLE_EQ(alternator.station, 0.392);
  EXPECT_DOUBLE_EQ(alternator.distance, 0.27);
  EXPECT_DOUBLE_EQ(alternator.height, 0.05);
}

TEST(ReadAlternator, WithoutASideIsRefused) {
  expect_refused(
      round, "[alternator]\ndiameter = \"110 mm\"\n", {"[alternator] side is missing", "\"left\""});
  expect_refused(
      round, "[alternator]\nside = \"middle\"\n", {"[alternator] side", "\"middle\"", "\"right\""});
}

}  // namespace
