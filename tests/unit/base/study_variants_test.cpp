// SPDX-License-Identifier: GPL-3.0-or-later
//
// From [vary] to variants.
#include "geometry/base/study_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright::base;
using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using testing::StartsWith;

struct Result {
  std::vector<Variant> variants;
  std::vector<std::string> complaints;
  std::vector<std::string> names;
};

Result variants_of(const std::string& text) {
  Complaints complaints;
  Result result;
  result.variants = StudyFile::parse(text, "a.toml").variants(complaints);
  result.complaints = complaints.messages();
  for (const Variant& variant : result.variants) {
    result.names.push_back(variant.name);
  }
  return result;
}

/// Complaints about one line of [vary].
std::vector<std::string> complaint(const std::string& line) {
  std::string text("[vary]\n");
  return variants_of(text.append(line)).complaints;
}

TEST(Variants, WithoutVaryThereIsOneNamedBase) {
  for (const char* text : {"[exit]\n", "[vary]\n", "[vary]\nmode = \"paired\"\n"}) {
    const Result result = variants_of(text);
    EXPECT_THAT(result.complaints, IsEmpty());
    EXPECT_THAT(result.names, ElementsAre("base"));
    EXPECT_THAT(result.variants.front().settings, IsEmpty());
  }
}

TEST(Variants, FactorialTurnsTheLastKeyFastestInFileOrderNotByName) {
  // In the order of names, exit.gap would come first.
  const Result result = variants_of(
      "[vary]\n\"inlets.diameter\" = [\"120 mm\", \"140 mm\"]\n\"exit.gap\" = [\"60 mm\", \"75 mm\"]\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  EXPECT_THAT(result.names,
              ElementsAre("diameter_120_mm__gap_60_mm",
                          "diameter_120_mm__gap_75_mm",
                          "diameter_140_mm__gap_60_mm",
                          "diameter_140_mm__gap_75_mm"));
  ASSERT_THAT(result.variants[1].settings, SizeIs(2));
  EXPECT_EQ(result.variants[1].settings[0].key, "inlets.diameter");
  EXPECT_EQ(result.variants[1].settings[0].text, "120 mm");
  EXPECT_EQ(result.variants[1].settings[1].key, "exit.gap");
  EXPECT_EQ(result.variants[1].settings[1].text, "75 mm");
}

TEST(Variants, PairedTakesFirstWithFirst) {
  const Result result = variants_of(
      "[vary]\nmode = \"paired\"\n\"inlets.ring\" = [\"none\", \"flush\"]\n\"inlets.lip_radius\" = [\"0 "
      "mm\", \"20 mm\"]\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  EXPECT_THAT(result.names, ElementsAre("ring_none__lip_radius_0_mm", "ring_flush__lip_radius_20_mm"));
}

TEST(Variants, PairedValuesMayComeBackWhenTheRowsDiffer) {
  const Result result = variants_of(
      "[vary]\n\"exit.gap\" = [\"1 m\", \"1 m\", \"2 m\"]\n\"exit.width\" = [\"1 m\", \"2 m\", \"2 "
      "m\"]\nmode = \"paired\"\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  EXPECT_THAT(result.names, ElementsAre("gap_1_m__width_1_m", "gap_1_m__width_2_m", "gap_2_m__width_2_m"));
}

TEST(Variants, TrueAndFalseMayVaryToo) {
  const Result result = variants_of("[vary]\n\"exit.side_plates\" = [false, true]\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  EXPECT_THAT(result.names, ElementsAre("side_plates_false", "side_plates_true"));
}

TEST(Variants, NumbersAndListsMayVaryToo) {
  const Result result = variants_of(
      "[vary]\n\"engine.cylinders\" = [4, 6]\n\"propeller.blade_chord\" = [[0.05, 0.06], [0.07, 0.08]]\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  EXPECT_THAT(result.names, Contains("cylinders_6__blade_chord_0.05_0.06"));
  EXPECT_EQ(result.variants[0].settings[1].text, "[0.05, 0.06]");
}

TEST(VariantNames, AreSafeFolderNames) {
  const Result result = variants_of(
      "[vary]\n\"study.title\" = [\"../etc\", \"a b/c\\\\d\", \"50 %\", \"-5 deg\", \"\\u00fc\", \".\"]\n");
  for (const std::string& name : result.names) {
    EXPECT_EQ(name.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-"),
              std::string::npos)
        << name;
    EXPECT_NE(name.front(), '.');
  }
  EXPECT_THAT(result.names, Contains("title_50_pct"));
  EXPECT_THAT(result.names, Contains("title_-5_deg"));
}

TEST(VariantNames, AreUniqueAlsoWhenTextsShortenAlike) {
  const Result result = variants_of("[vary]\n\"flight.incidence\" = [\"+5 deg\", \"5 deg\"]\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  EXPECT_THAT(result.names, ElementsAre("incidence_5_deg", "incidence_5_deg__2"));
}

TEST(VariantNames, CarryTheSectionWhenTwoKeysEndAlike) {
  const Result result =
      variants_of("[vary]\n\"inlets.diameter\" = [\"120 mm\"]\n\"propeller.diameter\" = [\"1.8 m\"]\n");
  EXPECT_THAT(result.names, ElementsAre("inlets.diameter_120_mm__propeller.diameter_1.8_m"));
}

TEST(VariantNames, StayShortAndUniqueForLongTexts) {
  const std::string long_text(300, 'x');
  const Result result =
      variants_of("[vary]\n\"study.title\" = [\"" + long_text + "a\", \"" + long_text + "b\"]\n");
  ASSERT_THAT(result.names, SizeIs(2));
  EXPECT_NE(result.names[0], result.names[1]);
  EXPECT_LT(result.names[0].size(), 120u);  // leaves room below the usual limit of 255 bytes
}

TEST(VariantNames, TellWhatDiffersFromTheBaselineWhereAllSettingsAreTooMany) {
  const std::string long_text(60, 'x');
  const Result result = variants_of("[vary]\nmode = \"paired\"\n\"study.title\" = [\"" + long_text +
                                    "\", \"" + long_text + "\"]\n\"study.question\" = [\"" + long_text +
                                    "\", \"" + long_text + "\"]\n\"exit.gap\" = [\"1 m\", \"2 m\"]\n");
  EXPECT_THAT(result.names, ElementsAre("baseline", "gap_2_m"));
}

TEST(Vary, RefusesWhatIsNoListOfValues) {
  EXPECT_THAT(
      complaint("\"exit.gap\" = \"75 mm\""),
      ElementsAre(AllOf(StartsWith("a.toml:2:14: [vary] exit.gap = 75 mm"), HasSubstr("must be a list"))));
  EXPECT_THAT(complaint("\"exit.gap\" = []"), ElementsAre(HasSubstr("at least one value")));
  EXPECT_THAT(complaint("\"exit.gap\" = [1979-05-27]"), ElementsAre(HasSubstr("holds a date or time")));
  EXPECT_THAT(complaint("\"exit.gap\" = [[[1]]]"), ElementsAre(HasSubstr("holds a list")));
}

TEST(Vary, RefusesKeysThatAreNotSectionAndKey) {
  EXPECT_THAT(complaint("lip_angle = [\"0 deg\"]"), ElementsAre(HasSubstr("\"exit.lip_angle\"")));
  EXPECT_THAT(complaint("\"a.b.c\" = [\"0 deg\"]"),
              ElementsAre(StartsWith("a.toml:2:1: [vary] a.b.c: unknown key")));
  EXPECT_THAT(complaint("\".gap\" = [\"0 deg\"]"), ElementsAre(HasSubstr("unknown key")));
  EXPECT_THAT(complaint("exit.gap = [\"75 mm\"]"),
              ElementsAre(HasSubstr("put the whole name in quotation marks")));
}

TEST(Vary, RefusesAValueGivenTwiceAtItsPlace) {
  EXPECT_THAT(variants_of("[vary]\n\"exit.gap\" = [\"75 mm\", \"60 mm\", \"75 mm\"]\n").complaints,
              ElementsAre(AllOf(StartsWith("a.toml:2:33:"), HasSubstr("\"75 mm\""), HasSubstr("twice"))));
}

TEST(Vary, RefusesTwoEqualRowsInPairedMode) {
  EXPECT_THAT(
      variants_of("[vary]\nmode = \"paired\"\n\"exit.gap\" = [\"1 m\", \"2 m\", \"1 m\"]\n").complaints,
      ElementsAre(AllOf(HasSubstr("row 3"), HasSubstr("row 1"))));
}

TEST(Vary, RefusesUnequalListsInPairedModeAndStillReturnsEveryValue) {
  const Result result = variants_of(
      "[vary]\nmode = \"paired\"\n\"exit.gap\" = [\"1 m\"]\n\"exit.width\" = [\"1 m\", \"2 m\"]\n");
  EXPECT_THAT(result.complaints,
              ElementsAre(AllOf(HasSubstr("exit.width has 2 values, exit.gap has 1"), HasSubstr("equally"))));
  EXPECT_THAT(result.variants, SizeIs(2));
}

TEST(Vary, RefusesAnUnknownMode) {
  EXPECT_THAT(variants_of("[vary]\nmode = \"all\"\n").complaints,
              ElementsAre(AllOf(StartsWith("a.toml:2:8: [vary] mode = \"all\""), HasSubstr("\"paired\""))));
  EXPECT_THAT(variants_of("[vary]\nmode = 3\n").complaints, SizeIs(1));
}

TEST(Vary, RefusesMoreVariantsThanAnyoneCanRun) {
  std::string list = "[";
  for (int i = 0; i < 30; ++i) {
    list.append("\"").append(std::to_string(i)).append(" mm\", ");
  }
  std::string text("[vary]\n");
  for (const char* key : {"exit.gap", "exit.width", "cowl.width", "cowl.nose_length", "exit.overhang"}) {
    text.append("\"").append(key).append("\" = ").append(list).append("]\n");
  }
  const Result result = variants_of(text);
  EXPECT_THAT(result.complaints, ElementsAre(HasSubstr("more than 200 variants")));
  EXPECT_THAT(result.names, ElementsAre("base"));
}

}  // namespace
