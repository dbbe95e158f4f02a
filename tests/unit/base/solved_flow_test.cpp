// SPDX-License-Identifier: GPL-3.0-or-later
//
// Solved cases survive the way through their file, and damaged files are refused by key.
#include "geometry/base/solved_flow.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>

namespace {

using namespace cowlwright::base;
namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

SolvedFlow example() {
  SolvedCase one;
  one.folder = "lip_angle_30_deg";
  one.variant = "lip_angle_30_deg";
  one.grid = "draft";
  one.n_cells = 71234;
  one.status = "oscillating";
  one.flags = {"a flag"};
  one.discretisation = "single grid";
  one.flight.true_airspeed = 54.0;
  one.flight.density = 1.1;
  one.flight.reference_pressure = 1600.0;
  one.propeller = PropellerRecord{};
  one.propeller->thrust = 1100.0;
  one.disk_loading = 464.0;
  one.deck_pressure_difference = 1714.0;
  one.deck_pressure_band = 2.0;
  one.bands_hold_grids = true;
  one.inlets = {{Side::Left, 0.0139, 0.25, 0.31, 1784.0, 1483.0, 1.9, 0.95, 0.01, 0.05},
                {Side::Right, 0.0139, 0.41, 0.51, 1870.0, 1474.0, 0.97, 0.95, 0.02, 0.06}};
  one.passages = {
      {"l1", PassageKind::Core, 0.0476, 900.0, 80.0, 0.167, 9375.0, 1719.0, 0.0, true, 0.01},
      {"leak_centre_wall", PassageKind::Leak, 0.001, 0.0, 9.0, -0.008, 0.0, -10.0, 5e-4, false, 0.0}};
  one.exit = {0.0409, 0.666, 0.9, -409.0, -236.0, 0.8, -0.2, 55.9, 0.002, 0.01};
  return {{}, "lip.toml", "[study]\n", sha256("[study]\n"), {one}, {"lip_60: failed: diverged"}};
}

class SolvedFlowJson : public testing::Test {
 protected:
  void SetUp() override {
    file_ = fs::path(testing::TempDir()) /
            (std::string("solved_flow_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    write_text(file_, solved_flow_json(example()));
    object_ = Json::parse(read_text(file_));
  }
  void TearDown() override { fs::remove(file_); }
  auto reading() {
    write_text(file_, object_.dump());
    return [this] { read_solved_flow(file_); };
  }

  fs::path file_;
  Json object_;
};

TEST_F(SolvedFlowJson, ComesBackUnchanged) {
  const SolvedFlow flow = read_solved_flow(file_);
  EXPECT_EQ(flow.file, file_);
  EXPECT_EQ(flow.study_text, "[study]\n");
  EXPECT_EQ(flow.left_out, example().left_out);
  ASSERT_EQ(flow.cases.size(), 1U);
  const SolvedCase& one = flow.cases.front();
  EXPECT_EQ(one.n_cells, 71234U);
  EXPECT_EQ(one.flags, example().cases[0].flags);
  EXPECT_TRUE(one.bands_hold_grids);
  EXPECT_DOUBLE_EQ(one.propeller.value().thrust, 1100.0);
  EXPECT_EQ(one.inlets[1].side, Side::Right);
  EXPECT_DOUBLE_EQ(one.inlets[1].loss_band, 0.06);
  EXPECT_EQ(one.passages[1].kind, PassageKind::Leak);
  EXPECT_FALSE(one.passages[1].joins_decks);
  EXPECT_DOUBLE_EQ(one.exit.pressure_band, 0.01);
  // Text for text: no member is lost on the way.
  EXPECT_EQ(solved_flow_json(flow), solved_flow_json(example()));
}

TEST_F(SolvedFlowJson, EveryMissingKeyIsNamed) {
  for (const std::string key : {"side", "area", "velocity_ratio", "loss_band"}) {
    Json whole = object_;
    object_["cases"][0]["inlets"][1].erase(key);
    EXPECT_THAT(reading(),
                ThrowsMessage<InputError>(AllOf(HasSubstr(file_.string()),
                                                HasSubstr("cases[0].inlets[1]." + key + ": missing"),
                                                HasSubstr("cowlpost extract"))));
    object_ = whole;
  }
  object_.erase("study_text");
  EXPECT_THAT(reading(), ThrowsMessage<InputError>(HasSubstr("study_text: missing")));
}

TEST_F(SolvedFlowJson, NumbersThatAreNoneAreRefused) {
  object_["cases"][0]["exit"]["density"] = nullptr;  // what a NaN is written as
  EXPECT_THAT(reading(),
              ThrowsMessage<InputError>(HasSubstr("cases[0].exit.density: must be a finite number")));
  object_["cases"][0]["exit"]["density"] = 0.0;
  EXPECT_THAT(reading(), ThrowsMessage<InputError>(HasSubstr("cases[0].exit.density: = 0: must be above 0")));
}

TEST_F(SolvedFlowJson, AnUnknownStatusIsRefused) {
  object_["cases"][0]["status"] = "failed";
  EXPECT_THAT(reading(), ThrowsMessage<InputError>(HasSubstr("cases[0].status: unknown value \"failed\"")));
}

TEST_F(SolvedFlowJson, AnotherVersionOrFileIsRefused) {
  object_["format_version"] = 99;
  EXPECT_THAT(reading(),
              ThrowsMessage<InputError>(AllOf(HasSubstr("format_version = 99"), HasSubstr("must be"))));
  object_["format"] = "cowlwright results";
  EXPECT_THAT(reading(), ThrowsMessage<InputError>(HasSubstr("format = \"cowlwright results\"")));
  write_text(file_, "{");
  EXPECT_THAT([this] { read_solved_flow(file_); }, ThrowsMessage<InputError>(HasSubstr("not valid JSON")));
}

TEST_F(SolvedFlowJson, AStudyTextThatIsNotTheCasesIsRefused) {
  object_["study_text"] = "[study]\ntitle = \"other\"\n";
  EXPECT_THAT(reading(), ThrowsMessage<InputError>(HasSubstr("study_text: is not the text")));
}

TEST_F(SolvedFlowJson, NoCasesOrOneInletAreRefused) {
  object_["cases"][0]["inlets"].erase(1);
  EXPECT_THAT(reading(),
              ThrowsMessage<InputError>(HasSubstr("cases[0].inlets: must be the left and the right")));
  object_["cases"] = Json::array();
  EXPECT_THAT(reading(), ThrowsMessage<InputError>(HasSubstr("cases: no case in it")));
}

}  // namespace
