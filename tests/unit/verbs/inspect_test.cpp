// SPDX-License-Identifier: GPL-3.0-or-later
//
// The options of a user's surface, and what `inspect` writes.
#include "cases/verbs/surface_options.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace cowlwright::verbs {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::ThrowsMessage;
using testing_support::ScratchFolder;

const std::string box = std::string(COWLWRIGHT_TEST_DATA) + "/surfaces/open_box.obj";

void expect_refusal(const Words& words, const std::string& what, const std::string& what_else) {
  EXPECT_THAT([&] { inspect_surface(words); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr(what), HasSubstr(what_else))));
}

TEST(SurfaceOptions, AreNeverGuessedButProposedWithReasonAndCommand) {
  expect_refusal(
      {box}, "--unit and --axes missing", "Proposed: --unit in, for its largest extent is 30 file units");
  expect_refusal({box, "--unit", "mm"}, "--axes missing", "--unit mm --axes=");
  expect_refusal(
      {box, "--axes", "x y z"}, "--unit missing", "Check against the drawing, then: cowlwright inspect ");
}

TEST(SurfaceOptions, ThatAreWrongAreRefusedBeforeAnythingIsProposed) {
  expect_refusal({box, "--axes", "x y y"}, "--axes = \"x y y\"", "each of x, y and z");
  expect_refusal({box, "--unit", "furlong"}, "--unit = \"furlong\"", "must be one of mm, in");
}

TEST(Inspect, RefusesAStudyAndAMissingFile) {
  expect_refusal({"my-cowl.toml"}, "my-cowl.toml", "Give a surface file");
  expect_refusal({}, "SURFACE is missing", "--help");
  expect_refusal({box, "--nonsense"}, "nonsense", "cowlwright inspect --help");
}

TEST(Inspect, EndsWellWithFaultsAndWritesThemAsJsonAndVtp) {
  const ScratchFolder folder;
  const std::string json_file = (folder.path() / "faults.json").string();
  const std::string vtp_file = (folder.path() / "faults.vtp").string();
  testing::internal::CaptureStdout();
  EXPECT_EQ(inspect_surface({box, "--unit", "mm", "--axes=-x -y z", "--json", json_file, "-o", vtp_file}), 0);
  const std::string printed = testing::internal::GetCapturedStdout();
  EXPECT_THAT(printed, HasSubstr("FS (aft)        -10.0 to       0.0 mm"));
  EXPECT_THAT(printed, HasSubstr("FS -5.0  BL -10.0  WL 30.0   60.0 mm round, 22.4 mm across"));
  EXPECT_THAT(printed, HasSubstr("volume  none"));
  const auto json = nlohmann::json::parse(testing_support::text_of(json_file));
  EXPECT_EQ(json["triangles"], 10);
  EXPECT_EQ(json["faults"]["open_edge"]["count"], 1);
  EXPECT_TRUE(json["volume_m3"].is_null());
  EXPECT_NEAR(json["area_m2"].get<double>(), 2e-3, 1e-12);  // 2200 mm2 less the lid's 200
  EXPECT_THAT(testing_support::text_of(vtp_file), HasSubstr("Name=\"open_edge\""));
}

TEST(Inspect, SaysSoWhenThereIsNoFault) {
  testing::internal::CaptureStdout();
  EXPECT_EQ(inspect_surface(
                {std::string(COWLWRIGHT_TEST_DATA) + "/surfaces/box.obj", "--unit", "cm", "--axes", "x y z"}),
            0);
  const std::string printed = testing::internal::GetCapturedStdout();
  EXPECT_THAT(printed, AllOf(HasSubstr("No fault found."), HasSubstr("volume  0.006 m3")));
}

}  // namespace
}  // namespace cowlwright::verbs
