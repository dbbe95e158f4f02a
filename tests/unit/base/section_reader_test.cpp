// SPDX-License-Identifier: GPL-3.0-or-later
//
// Typed reading, the overlay of a variant, and every complaint a section can cause.
#include "geometry/base/study_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>

namespace {

using namespace cowlwright::base;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using testing::StartsWith;

constexpr std::array<std::string_view, 3> rings{"none", "flush", "proud"};
const Range any_length{0.0, 2.0};

/// One section [exit] with these lines, read by one variant.
class Section : public testing::Test {
 protected:
  SectionReader reader(const std::string& lines, Variant variant = {"base", {}}) {
    file_ = std::make_unique<StudyFile>(StudyFile::parse("[exit]\n" + lines, "a.toml"));
    variant_ = std::move(variant);
    return file_->section("exit", variant_, complaints_);
  }
  std::vector<std::string> messages() const { return complaints_.messages(); }

  std::unique_ptr<StudyFile> file_;
  Variant variant_;
  Complaints complaints_;
};

TEST_F(Section, ReadsEachKindOfValue) {
  SectionReader exit = reader(
      "gap = \"75 mm\"\nn = 4\nx = 1.85\nwhole = 2\nring = \"flush\"\ntitle = \"T\"\nis_split = false\nflows "
      "= [\"1 kg/s\", "
      "\"2 "
      "kg/s\"]\nratios = [0.2, 1]\none = \"3 kg/s\"\n");
  EXPECT_DOUBLE_EQ(exit.quantity("gap", Dimension::Length, any_length), 0.075);
  EXPECT_EQ(exit.integer("n", 1, 9), 4);
  EXPECT_DOUBLE_EQ(exit.number_or("x", {}, 0.0), 1.85);
  EXPECT_DOUBLE_EQ(exit.number_or("whole", {}, 0.0), 2.0);
  EXPECT_EQ(exit.choice("ring", rings), 1u);
  EXPECT_EQ(exit.text_or("title", ""), "T");
  EXPECT_FALSE(exit.boolean_or("is_split", true));
  EXPECT_THAT(exit.quantities("flows", Dimension::MassFlow, {}), ElementsAre(1.0, 2.0));
  EXPECT_THAT(exit.quantities("one", Dimension::MassFlow, {}), ElementsAre(3.0));
  EXPECT_THAT(exit.numbers("ratios", {}), ElementsAre(0.2, 1.0));
  exit.finish();
  EXPECT_THAT(messages(), IsEmpty());
  EXPECT_EQ(exit.n_complaints(), 0u);
}

TEST_F(Section, ReadsAListWithHoles) {
  SectionReader exit = reader("gap = [\"1 m\", \"none\", \"5 m\", 3]\n");
  const auto values = exit.optional_quantities("gap", Dimension::Length, any_length);
  ASSERT_THAT(values, SizeIs(4));
  EXPECT_EQ(values[0], 1.0);
  EXPECT_FALSE(values[1].has_value());
  EXPECT_THAT(messages(),
              ElementsAre(AllOf(StartsWith("a.toml:2:23: [exit] gap = \"5 m\""), HasSubstr("at most 2 m")),
                          AllOf(StartsWith("a.toml:2:30: [exit] gap = 3"), HasSubstr("with its unit"))));
  EXPECT_THAT(exit.optional_quantities("absent", Dimension::Length, any_length), IsEmpty());
}

TEST_F(Section, ReadsAListOfNames) {
  SectionReader exit = reader("ring = [\"proud\", \"none\", \"flusch\"]\nlip = []\n");
  EXPECT_THAT(exit.choices("ring", rings), ElementsAre(2u, 0u, 0u));
  EXPECT_THAT(exit.choices("lip", rings), IsEmpty());
  EXPECT_THAT(messages(),
              ElementsAre(AllOf(StartsWith("a.toml:2:26: [exit] ring = \"flusch\""), HasSubstr("Did you mean flush")),
                          HasSubstr("lip = []: the list is empty")));
}

TEST_F(Section, ReadsAListOfTexts) {
  SectionReader exit = reader("column = [\"CHT 1\", \"CHT 2\"]\none = \"Time\"\nbad = [\"a\", 2]\n");
  EXPECT_THAT(exit.texts("column"), ElementsAre("CHT 1", "CHT 2"));
  EXPECT_THAT(exit.texts("one"), ElementsAre("Time"));
  EXPECT_THAT(exit.texts("absent"), IsEmpty());
  EXPECT_THAT(messages(), IsEmpty());
  exit.texts("bad");
  EXPECT_THAT(messages(), ElementsAre(AllOf(StartsWith("a.toml:4:13: [exit] bad = 2"), HasSubstr("quotation marks"))));
}

TEST_F(Section, FallsBackWhenAKeyIsAbsent) {
  SectionReader exit = reader("");
  EXPECT_DOUBLE_EQ(exit.quantity_or("gap", Dimension::Length, any_length, 0.3), 0.3);
  EXPECT_EQ(exit.optional_quantity("gap", Dimension::Length, any_length), std::nullopt);
  EXPECT_EQ(exit.integer_or("n", 1, 9, 7), 7);
  EXPECT_DOUBLE_EQ(exit.number_or("x", {}, 2.5), 2.5);
  EXPECT_EQ(exit.choice_or("ring", rings, 2), 2u);
  EXPECT_EQ(exit.text_or("title", "none"), "none");
  EXPECT_TRUE(exit.boolean_or("is_split", true));
  EXPECT_THAT(exit.quantities("flows", Dimension::MassFlow, {}), IsEmpty());
  EXPECT_THAT(exit.numbers("ratios", {}), IsEmpty());
  EXPECT_FALSE(exit.has("gap"));
  EXPECT_TRUE(exit.section_present());
  EXPECT_THAT(messages(), IsEmpty());
}

TEST_F(Section, MissingKeyIsPlacedAtTheSectionAndSaysHowToWriteIt) {
  SectionReader exit = reader("");
  exit.quantity("gap", Dimension::Length, any_length);
  exit.integer("n", 4, 6);
  exit.choice("ring", rings);
  EXPECT_THAT(
      messages(),
      ElementsAre(
          "a.toml:1:1: [exit] gap is missing. Write gap = \"<number> <unit>\", a length in one of: m, "
          "mm, cm, km, in, ft.",
          "a.toml:1:1: [exit] n is missing. Write n = <whole number from 4 to 6>.",
          "a.toml:1:1: [exit] ring is missing. Write ring = one of \"none\", \"flush\", \"proud\"."));
}

TEST_F(Section, MissingSectionIsNamedToo) {
  const StudyFile file = StudyFile::parse("", "a.toml");
  SectionReader exit = file.section("exit", variant_, complaints_);
  exit.quantity("gap", Dimension::Length, any_length);
  EXPECT_FALSE(exit.section_present());
  EXPECT_THAT(messages(), ElementsAre(HasSubstr("gap is missing, and so is the section [exit]")));
}

TEST_F(Section, IsThereWhenOnlyTheVariantSetsOneOfItsKeys) {
  const StudyFile file = StudyFile::parse("[vary]\n\"exit.gap\" = [\"75 mm\"]\n", "a.toml");
  const std::vector<Variant> variants = file.variants(complaints_);
  EXPECT_TRUE(file.section("exit", variants.front(), complaints_).section_present());
  EXPECT_FALSE(file.section("exi", variants.front(), complaints_).section_present());
}

TEST_F(Section, BareNumberAsksForTheUnit) {
  SectionReader exit = reader("gap = 75\n");
  exit.quantity("gap", Dimension::Length, any_length);
  EXPECT_THAT(
      messages(),
      ElementsAre(
          "a.toml:2:7: [exit] gap = 75: a number, but a length needs a text with its unit. Write \"75 "
          "<unit>\" with one of: m, mm, cm, km, in, ft."));
}

TEST_F(Section, WrongTypesAreNamed) {
  SectionReader exit =
      reader("gap = true\nn = \"4\"\nx = \"2\"\nring = 1\ntitle = 5\nratios = 0.5\nm = 4.5\n");
  exit.quantity("gap", Dimension::Length, any_length);
  exit.integer("n", 1, 9);
  exit.number_or("x", {0.0, 3.0}, 1.0);
  exit.choice("ring", rings);
  exit.text_or("title", "");
  exit.numbers("ratios", {});
  exit.integer("m", 1, 9);
  EXPECT_THAT(
      messages(),
      ElementsAre(HasSubstr("gap = true: true or false, but a length needs a text"),
                  HasSubstr("n = \"4\": must be a whole number from 1 to 9. Write it without quotation"),
                  HasSubstr("x = \"2\": must be a number; must be at least 0 and at most 3"),
                  HasSubstr("ring = 1: must be one of \"none\", \"flush\", \"proud\""),
                  HasSubstr("title = 5: must be a text in quotation marks"),
                  HasSubstr("ratios = 0.5: must be a list of numbers"),
                  HasSubstr("m = 4.5: must be a whole number")));
}

TEST_F(Section, OutOfRangeNamesValueSiAndBoundsInTheUsersUnit) {
  SectionReader exit = reader("gap = \"100 in\"\n");
  // 100 in = 2.54 m; 2 m = 78.7402 in.
  exit.quantity("gap", Dimension::Length, {0.0, 2.0, true, false, "a reason"});
  EXPECT_THAT(
      messages(),
      ElementsAre(
          "a.toml:2:7: [exit] gap = \"100 in\" (2.54 m): must be above 0 in and at most 78.7402 in (a "
          "reason). Check the number and its unit."));
}

TEST_F(Section, TemperatureBoundsCarryTheOffset) {
  SectionReader exit = reader("t = \"80 degC\"\n");
  exit.quantity("t", Dimension::Temperature, {213.15, 328.15});
  EXPECT_THAT(messages(), ElementsAre(HasSubstr("at least -60 degC and at most 55 degC")));
}

TEST_F(Section, OpenBoundsExcludeAndClosedBoundsInclude) {
  SectionReader exit = reader("a = \"0 m\"\nb = \"2 m\"\n");
  exit.quantity("a", Dimension::Length, {0.0, 2.0});
  exit.quantity("b", Dimension::Length, {0.0, 2.0});
  EXPECT_THAT(messages(), IsEmpty());
  exit.quantity("a", Dimension::Length, {0.0, 2.0, true, true});
  exit.quantity("b", Dimension::Length, {0.0, 2.0, true, true});
  EXPECT_THAT(messages(),
              ElementsAre(HasSubstr("above 0 m and below 2 m"), HasSubstr("above 0 m and below 2 m")));
}

TEST_F(Section, NotANumberIsRefusedWhereTomlAllowsIt) {
  SectionReader exit = reader("x = nan\ny = inf\n");
  exit.number_or("x", {}, 1.0);
  exit.number_or("y", {}, 1.0);
  EXPECT_THAT(messages(), ElementsAre(HasSubstr("x = nan: must be a number"), HasSubstr("must be finite")));
}

TEST_F(Section, AfterAComplaintTheValueLiesInsideTheRange) {
  SectionReader exit = reader("gap = \"9 m\"\nx = -1.0\n");
  const double gap = exit.quantity("gap", Dimension::Length, {0.5, 2.0});
  EXPECT_GE(gap, 0.5);
  EXPECT_LE(gap, 2.0);
  EXPECT_GT(exit.number_or("x", {0.0, 1e300, true, false}, 1.0), 0.0);
  EXPECT_EQ(exit.n_complaints(), 2u);
}

TEST_F(Section, ListElementsArePlacedOneByOne) {
  SectionReader exit = reader("flows = [\"1 kg/s\", \"2\", \"9 kg/s\"]\nnone = []\n");
  exit.quantities("flows", Dimension::MassFlow, {0.0, 5.0});
  exit.quantities("none", Dimension::MassFlow, {0.0, 5.0});
  EXPECT_THAT(messages(),
              ElementsAre(StartsWith("a.toml:2:20: [exit] flows = \"2\": the unit is missing"),
                          StartsWith("a.toml:2:25: [exit] flows = \"9 kg/s\": must be"),
                          HasSubstr("none = []: the list is empty")));
}

TEST_F(Section, UnknownKeysNameTheNearestOne) {
  SectionReader exit = reader("gpa = \"75 mm\"\n");
  exit.quantity_or("gap", Dimension::Length, any_length, 0.1);
  exit.finish();
  EXPECT_THAT(messages(), ElementsAre("a.toml:2:1: unknown key [exit] gpa. Did you mean gap?"));
}

TEST_F(Section, AVariantsValueReplacesTheSectionsAndIsPlacedInTheList) {
  const std::string lines = "gap = \"75 mm\"\nwidth = \"1 m\"\n[vary]\n\"exit.gap\" = [\"60 mm\", \"3 m\"]\n";
  SectionReader first = reader(lines, {"x", {{"exit.gap", "60 mm"}}});
  EXPECT_DOUBLE_EQ(first.quantity("gap", Dimension::Length, any_length), 0.06);
  EXPECT_DOUBLE_EQ(first.quantity("width", Dimension::Length, any_length), 1.0);
  first.finish();
  EXPECT_THAT(messages(), IsEmpty());

  SectionReader second = reader(lines, {"y", {{"exit.gap", "3 m"}}});
  second.quantity("gap", Dimension::Length, any_length);
  second.complain("gap", "does not fit width.");
  EXPECT_THAT(messages(),
              ElementsAre(StartsWith("a.toml:5:24: [exit] gap = \"3 m\": must be"),
                          "a.toml:5:24: [exit] gap does not fit width."));
}

TEST_F(Section, AVariedKeyNeedsNoValueInItsSectionNorTheSection) {
  const StudyFile file = StudyFile::parse("[vary]\n\"exit.gap\" = [\"60 mm\"]\n", "a.toml");
  const Variant variant{"x", {{"exit.gap", "60 mm"}}};
  SectionReader exit = file.section("exit", variant, complaints_);
  EXPECT_DOUBLE_EQ(exit.quantity("gap", Dimension::Length, any_length), 0.06);
  EXPECT_TRUE(exit.has("gap"));
  exit.finish();
  EXPECT_THAT(messages(), IsEmpty());
}

TEST_F(Section, UnknownVariedKeysNameTheNearestOne) {
  SectionReader exit = reader("[vary]\n\"exit.gpa\" = [\"60 mm\"]\n", {"x", {{"exit.gpa", "60 mm"}}});
  exit.quantity_or("gap", Dimension::Length, any_length, 0.1);
  exit.finish();
  EXPECT_THAT(messages(), ElementsAre("a.toml:3:1: unknown key [vary] exit.gpa. Did you mean gap?"));
}

TEST_F(Section, RulesBetweenKeysStandAtTheKeyOrAtTheSectionsHead) {
  SectionReader exit = reader("gap = \"1 m\"\n");
  exit.complain("gap", "does not fit.");
  exit.complain("width", "is too small.");
  exit.complain("", "nothing fits.");
  EXPECT_THAT(messages(),
              ElementsAre("a.toml:1:1: [exit] width is too small.",
                          "a.toml:1:1: [exit] nothing fits.",
                          "a.toml:2:7: [exit] gap does not fit."));
}

TEST_F(Section, RepeatedComplaintsAreShownOnceButCounted) {
  SectionReader exit = reader("gap = 1\n");
  exit.quantity("gap", Dimension::Length, any_length);
  exit.quantity("gap", Dimension::Length, any_length);
  EXPECT_THAT(messages(), SizeIs(1));
  EXPECT_EQ(exit.n_complaints(), 2u);
}

TEST_F(Section, TextsAreAListOrOneAndEachMustBeAText) {
  SectionReader r = reader("days = [\"hot\", \"30 degC\"]\nname = \"climb\"\nbad = [\"a\", 3]");
  EXPECT_THAT(r.texts("days"), ElementsAre("hot", "30 degC"));
  EXPECT_THAT(r.texts("name"), ElementsAre("climb"));
  EXPECT_THAT(r.texts("absent"), IsEmpty());
  EXPECT_THAT(r.texts("bad"), ElementsAre("a"));
  EXPECT_THAT(complaints_.messages(), ElementsAre(HasSubstr("bad = 3: must be a text in quotation marks.")));
}

}  // namespace
