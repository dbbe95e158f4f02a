// SPDX-License-Identifier: GPL-3.0-or-later
//
// Parsing, section names and the gathering of complaints.
#include "geometry/base/study_file.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>

namespace {

using namespace cowlwright::base;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;
using testing::ThrowsMessage;

constexpr std::array<std::string_view, 2> known_sections{"flight", "exit"};

TEST(StudyFileParse, KeepsNameAndText) {
  const StudyFile file = StudyFile::parse("[exit]\n", "a.toml");
  EXPECT_EQ(file.name(), "a.toml");
  EXPECT_EQ(file.text(), "[exit]\n");
}

TEST(StudyFileParse, PlacesSyntaxErrorsAndSaysHowQuantitiesAreWritten) {
  EXPECT_THAT([] { StudyFile::parse("[exit]\ngap = 75 mm\n", "a.toml"); },
              ThrowsMessage<InputError>(
                  AllOf(StartsWith("a.toml:2:"), HasSubstr("not valid TOML"), HasSubstr("gap = \"75 mm\""))));
}

TEST(StudyFileParse, RefusesAKeyGivenTwice) {
  EXPECT_THAT([] { StudyFile::parse("[exit]\ngap = \"1 m\"\ngap = \"2 m\"\n", "a.toml"); },
              ThrowsMessage<InputError>(AllOf(StartsWith("a.toml:3:"), HasSubstr("gap"))));
}

TEST(StudyFileRead, NamesAFileThatIsNotThere) {
  EXPECT_THAT([] { StudyFile::read("/nonexistent/a.toml"); },
              ThrowsMessage<InputError>(HasSubstr("/nonexistent/a.toml")));
}

TEST(CheckSectionNames, AcceptsKnownSectionsAndVary) {
  Complaints complaints;
  StudyFile::parse("[flight]\n[exit]\n[vary]\n\"exit.gap\" = [\"1 m\"]\n", "a.toml")
      .check_section_names(known_sections, complaints);
  EXPECT_THAT(complaints.messages(), IsEmpty());
}

TEST(CheckSectionNames, NamesTheNearestSectionAlsoForVariedKeys) {
  Complaints complaints;
  StudyFile::parse("[flihgt]\n[vary]\n\"exti.gap\" = [\"1 m\"]\n", "a.toml")
      .check_section_names(known_sections, complaints);
  EXPECT_THAT(complaints.messages(),
              ElementsAre("a.toml:1:2: unknown section [flihgt]. Did you mean flight?",
                          "a.toml:3:1: [vary] exti.gap: unknown section exti. Did you mean exit?"));
}

TEST(CheckSectionNames, RefusesLooseKeysAndSectionsThatAreNone) {
  Complaints complaints;
  StudyFile::parse("gap = \"1 m\"\nexit = 3\n", "a.toml").check_section_names(known_sections, complaints);
  EXPECT_THAT(complaints.messages(),
              ElementsAre(StartsWith("a.toml:1:1: unknown section [gap]"),
                          AllOf(StartsWith("a.toml:2:1: exit is a number"), HasSubstr("Write [exit]"))));
}

TEST(Complaints, ComeInFileOrderOnceEach) {
  Complaints complaints;
  complaints.add("a.toml", {10, 2}, "late");
  complaints.add("a.toml", {2, 11}, "second");
  complaints.add("a.toml", {2, 9}, "first");
  complaints.add("a.toml", {2, 9}, "first again");
  complaints.add("a.toml", {2, 9}, "first");
  EXPECT_THAT(
      complaints.messages(),
      ElementsAre(
          "a.toml:2:9: first", "a.toml:2:9: first again", "a.toml:2:11: second", "a.toml:10:2: late"));
  EXPECT_THAT([&] { complaints.throw_if_any(); },
              ThrowsMessage<InputError>("a.toml:2:9: first\na.toml:2:9: first again\na.toml:2:11: second\n"
                                        "a.toml:10:2: late"));
}

TEST(Complaints, StayOnOneLineEach) {
  Complaints complaints;
  complaints.add("a.toml", {2, 9}, "value \"a\nb\"");
  EXPECT_THAT(complaints.messages(), ElementsAre("a.toml:2:9: value \"a b\""));
}

TEST(Complaints, ThrowNothingWhenThereAreNone) {
  EXPECT_NO_THROW(Complaints().throw_if_any());
}

TEST(StudyFile, ValuesTextIsTheSameForEqualValuesHoweverTheyAreWritten) {
  const auto text_of = [](std::string_view text, std::size_t variant) {
    const StudyFile file = StudyFile::parse(text, "s.toml");
    Complaints complaints;
    constexpr std::array<std::string_view, 1> left_out{"grid.ranks"};
    return file.values_text(file.variants(complaints).at(variant), left_out);
  };
  constexpr std::string_view plain =
      "[study]\ntitle = \"one\"\n[exit]\ngap = \"75 mm\"\nlip_angle = \"30 deg\"\n";
  EXPECT_EQ(text_of(plain, 0), "exit.gap = a text 75 mm\nexit.lip_angle = a text 30 deg\n");
  EXPECT_EQ(text_of("# other words\n[exit]\nlip_angle = \"30 deg\"\ngap = \"75 mm\"\n[grid]\nranks = 8\n", 0),
            text_of(plain, 0));
  constexpr std::string_view varied =
      "[exit]\ngap = \"75 mm\"\n[vary]\n\"exit.lip_angle\" = [\"0 deg\", \"30 deg\"]\n";
  EXPECT_EQ(text_of(varied, 1), text_of(plain, 0));
  EXPECT_NE(text_of(varied, 0), text_of(plain, 0));
}

TEST(StudyFile, ValuesTextTellsANumberFromAText) {
  const auto text_of = [](std::string_view text) {
    return StudyFile::parse(text, "s.toml").values_text({}, {});
  };
  EXPECT_NE(text_of("[grid]\ncompare = 1\n"), text_of("[grid]\ncompare = \"1\"\n"));
}

}  // namespace
