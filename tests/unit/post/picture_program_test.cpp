// SPDX-License-Identifier: GPL-3.0-or-later
//
// The program cowlpicture: what it writes without a display, and how it refuses.
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/picture_case.h"
#include "tests/unit/post/program_outcome.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace cowlwright::post {
namespace {

using nlohmann::json;
using testing::AllOf;
using testing::HasSubstr;
using testing_support::ScratchFolder;
using testing_support::text_of;
using namespace cowlwright::post::synthetic;

Outcome cowlpicture(const ScratchFolder& folder,
                    const std::string& arguments,
                    const std::string& display = "") {
  return run_in(folder, "cowlpicture " + arguments, "DISPLAY='" + display + "'");
}

json json_of(const std::filesystem::path& file) {
  return json::parse(text_of(file));
}

TEST(Cowlpicture, WithoutDrawingListsEveryPictureAsMissingAndMakesTheScene) {
  const ScratchFolder folder;
  write_picture_case(folder.path() / "base");
  const Outcome outcome = cowlpicture(folder, "base --output out --no-render");
  ASSERT_EQ(outcome.exit_code, 0) << outcome.err;
  const json record = json_of(folder.path() / "out" / "pictures.json");
  EXPECT_EQ(record["format"], "cowlwright pictures");
  EXPECT_EQ(record["version"], 1);
  EXPECT_EQ(record["case"], "base");
  EXPECT_EQ(record["iteration"], 400);
  EXPECT_EQ(record["views"].size(), 0);
  EXPECT_EQ(record["missing"].size(), 10);
  EXPECT_THAT(record["missing"][0]["reason"].get<std::string>(), HasSubstr("--no-render"));
  EXPECT_EQ(record["scene"], "scene.json");
  const json scene = json_of(folder.path() / "out" / "scene.json");
  EXPECT_GE(scene["pieces"].size(), 6);  // five slices and streamlines
  EXPECT_EQ(scene["pieces"].back()["id"], "streamlines");
}

TEST(Cowlpicture, WritesFieldsForOtherProgramsOnDemand) {
  const ScratchFolder folder;
  write_picture_case(folder.path() / "base");
  ASSERT_EQ(cowlpicture(folder, "base --output out --no-render --files").exit_code, 0);
  EXPECT_THAT(text_of(folder.path() / "out" / "surfaces.vtp"),
              AllOf(HasSubstr("Name=\"Cp\""), HasSubstr("patch_names")));
  EXPECT_THAT(
      text_of(folder.path() / "out" / "volume.vtu"),
      AllOf(HasSubstr("Name=\"p_gauge\""), HasSubstr("Name=\"Cp_total\""), HasSubstr("Name=\"rho\"")));
}

TEST(Cowlpicture, WithoutDisplayEndsWithExitCode3BeforeVtkAborts) {
  const ScratchFolder folder;
  write_picture_case(folder.path() / "base");
  const Outcome unset = cowlpicture(folder, "base --output out");
  EXPECT_EQ(unset.exit_code, 3);
  EXPECT_THAT(unset.err,
              AllOf(HasSubstr("DISPLAY is not set"), HasSubstr("xvfb-run"), HasSubstr("--no-render")));
  const Outcome wrong = cowlpicture(folder, "base --output out", ":4711");
  EXPECT_EQ(wrong.exit_code, 3);
  EXPECT_THAT(wrong.err, AllOf(HasSubstr("DISPLAY = :4711"), HasSubstr("cannot be opened")));
}

TEST(Cowlpicture, RefusesWhatIsNoCaseNamingIt) {
  const ScratchFolder folder;
  std::filesystem::create_directories(folder.path() / "empty");
  const Outcome empty = cowlpicture(folder, "empty --output out --no-render");
  EXPECT_EQ(empty.exit_code, 2);
  EXPECT_THAT(empty.err, HasSubstr("manifest.json"));
  EXPECT_FALSE(std::filesystem::exists(folder.path() / "out"));
}

TEST(Cowlpicture, ACaseWithoutResultsGivesExitCode4) {
  const ScratchFolder folder;
  write_picture_case(folder.path() / "base");
  std::filesystem::remove_all(folder.path() / "base" / "400");
  const Outcome outcome = cowlpicture(folder, "base --output out --no-render");
  EXPECT_EQ(outcome.exit_code, 4);
  EXPECT_THAT(outcome.err, HasSubstr("no results yet"));
}

TEST(Cowlpicture, AFolderThatCannotBeWrittenGivesExitCode3) {
  const ScratchFolder folder;
  write_picture_case(folder.path() / "base");
  folder.write("file", "in the way");
  const Outcome outcome = cowlpicture(folder, "base --output file/out --no-render");
  EXPECT_EQ(outcome.exit_code, 3);
  EXPECT_THAT(outcome.err, HasSubstr("file/out"));
}

TEST(Cowlpicture, WrongUseGivesExitCode2AndSaysWhatIsRight) {
  const ScratchFolder folder;
  EXPECT_EQ(cowlpicture(folder, "").exit_code, 2);
  EXPECT_THAT(cowlpicture(folder, "base").err, HasSubstr("--output"));
  EXPECT_THAT(cowlpicture(folder, "base --output out --colour").err, HasSubstr("--colour"));
}

TEST(Cowlpicture, HelpShowsExamplesAndExitCodes) {
  const ScratchFolder folder;
  const Outcome outcome = cowlpicture(folder, "--help");
  EXPECT_EQ(outcome.exit_code, 0);
  EXPECT_THAT(outcome.out, AllOf(HasSubstr("Examples"), HasSubstr("xvfb-run"), HasSubstr("Exit codes")));
}

}  // namespace
}  // namespace cowlwright::post
