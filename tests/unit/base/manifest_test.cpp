// SPDX-License-Identifier: GPL-3.0-or-later
//
// The manifest survives the way through its file, and damaged files are refused by member.
#include "geometry/base/manifest.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>

namespace {

using namespace cowlwright::base;
namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

Manifest example() {
  Manifest m;
  m.study = "Exit lip \"A\"\nwith \u00fcmlaut";
  m.question = "why?";
  m.study_file = "lip.toml";
  m.study_hash = "aa";
  m.input_hash = "bb";
  m.variant = "lip_angle_30_deg";
  m.is_baseline = true;
  m.variant_index = 2;
  m.settings = {{"exit.lip_angle", "30 deg"}};
  m.program_version = "0.1.0";
  m.openfoam_version = "1912";
  m.grid_level = "coarse";
  m.solid_volume = 1.5;
  m.air_volume = 900.25;
  m.cell_size = 0.0125;
  m.start_from = "lip_angle_30_deg-draft";
  m.n_grids = 3;
  m.expected_cells = 2.0e5;
  m.last_iteration = 400;
  m.window = 100;
  m.closure_tolerance = 0.01;
  m.energy_tolerance = 0.03;
  m.settled_tolerance = 0.02;
  m.stop_tolerance = 0.004;
  m.stop_when_held = true;
  m.flight = {54.0, 9.1e4, 293.15, 1.0879, 1.6e3, 1.5e3, "q", 900.0, 1219.2, 0.1, -0.05};
  m.propeller = PropellerRecord{1.8,
                                0.36,
                                272.3,
                                false,
                                75e3,
                                PitchMode::Fixed,
                                81e3,
                                0.08,
                                0.02,
                                1100.0,
                                275.0,
                                0.8,
                                "disk:force",
                                "propeller_disk"};
  m.planes = {{"core_l1", PlaneRole::Core, Side::Left, {0.5, -0.27, 0.0}, {0.0, 0.0, -1.0}, 0.0476, 0.17}};
  m.zones = {{"upper_deck_left", ZoneRole::UpperDeck, Side::Left, 0.02},
             {"propeller_disk", ZoneRole::PropellerDisk, Side::Centre, 0.1}};
  m.passages = {{"core_l1", "core_l1", 0.0476, 0.15, 900.0, 80.0, 0.03, 9375.0},
                {.zone = "leak_rear_baffle_left",
                 .plane = "leak_rear_baffle_left",
                 .kind = PassageKind::Leak,
                 .direction = {0.0, 1.0, 0.0},
                 .joins_decks = false,
                 .effective_area = 4e-4}};
  m.surveys = {
      {"ahead_of_inlet_left", PlaneRole::Inlet, Side::Left, {0.1, -0.28, 0.0}, {1.0, 0.0, 0.0}, 0.01, 0.06}};
  m.monitors = {{"mass_flow", "exit", "flow_exit", "surfaceFieldValue.dat"}};
  m.patches = {{"cowl", 3.2}, {"exit_lip", 0.05}};
  return m;
}

class ManifestFile : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::path(testing::TempDir()) /
              (std::string("manifest_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    write_manifest(example(), folder_);
    object_ = Json::parse(read_text(folder_ / manifest_file_name));
  }
  void TearDown() override { fs::remove_all(folder_); }
  void rewrite() { write_text(folder_ / manifest_file_name, object_.dump()); }

  fs::path folder_;
  Json object_;
};

TEST_F(ManifestFile, ComesBackUnchanged) {
  const Manifest m = read_manifest(folder_);
  const Manifest e = example();
  EXPECT_EQ(m.study, e.study);
  EXPECT_TRUE(m.is_baseline);
  EXPECT_EQ(m.variant_index, 2);
  ASSERT_EQ(m.settings.size(), 1u);
  EXPECT_EQ(m.settings[0].text, "30 deg");
  EXPECT_EQ(m.flight.density, e.flight.density);  // shortest round-trip digits: bit for bit
  EXPECT_EQ(m.flight.sideslip, -0.05);
  ASSERT_TRUE(m.propeller.has_value());
  EXPECT_FALSE(m.propeller->clockwise);
  EXPECT_EQ(m.propeller->pitch_mode, PitchMode::Fixed);
  EXPECT_EQ(m.propeller->power_mismatch, 0.08);
  EXPECT_EQ(m.flight.reference_pressure, 1.5e3);
  EXPECT_EQ(m.propeller->zone, "propeller_disk");
  ASSERT_EQ(m.planes.size(), 1u);
  EXPECT_EQ(m.planes[0].role, PlaneRole::Core);
  EXPECT_EQ(m.planes[0].side, Side::Left);
  EXPECT_EQ(m.planes[0].normal, (Vec3{0.0, 0.0, -1.0}));
  ASSERT_EQ(m.zones.size(), 2u);
  EXPECT_EQ(m.zones[1].role, ZoneRole::PropellerDisk);
  EXPECT_EQ(m.passages.at(0).inertial, 80.0);
  EXPECT_EQ(m.passages.at(1).kind, PassageKind::Leak);
  EXPECT_FALSE(m.passages.at(1).joins_decks);
  EXPECT_EQ(m.surveys.at(0).side, Side::Left);
  EXPECT_EQ(m.monitors.at(0).file, "surfaceFieldValue.dat");
  EXPECT_EQ(m.patches.at(1).area, 0.05);
  // Every other member, through its text.
  write_manifest(m, folder_);
  EXPECT_EQ(Json::parse(read_text(folder_ / manifest_file_name)), object_);
}

TEST_F(ManifestFile, HoldsEveryValueUnderItsOwnName) {
  EXPECT_EQ(object_.at("flight").at("pressure_altitude"), 900.0);
  EXPECT_EQ(object_.at("flight").at("density_altitude"), 1219.2);
  EXPECT_EQ(object_.at("propeller").at("torque"), 275.0);
  EXPECT_EQ(object_.at("planes").at(0).at("role"), "core");
  EXPECT_EQ(object_.at("closure_tolerance"), 0.01);
  EXPECT_EQ(object_.at("energy_tolerance"), 0.03);
  EXPECT_EQ(object_.at("settled_tolerance"), 0.02);
  EXPECT_EQ(object_.at("stop_tolerance"), 0.004);
  EXPECT_EQ(object_.at("stop_when_held"), true);
  EXPECT_EQ(object_.at("study_hash"), "aa");
  EXPECT_EQ(object_.at("input_hash"), "bb");
}

TEST_F(ManifestFile, WithoutPropellerStaysWithout) {
  Manifest m = example();
  m.propeller.reset();
  write_manifest(m, folder_);
  EXPECT_FALSE(read_manifest(folder_).propeller.has_value());
}

TEST_F(ManifestFile, NamesAnyMissingMember) {
  for (auto it = object_.begin(); it != object_.end(); ++it) {
    if (it.key() == "units") {
      continue;  // for human readers
    }
    Json damaged = object_;
    damaged.erase(it.key());
    write_text(folder_ / manifest_file_name, damaged.dump());
    EXPECT_THAT([&] { read_manifest(folder_); },
                ThrowsMessage<InputError>(AllOf(HasSubstr("manifest.json: " + it.key() + ": missing"))));
  }
}

TEST_F(ManifestFile, NamesMissingMembersOfRecords) {
  object_["planes"][0].erase("area");
  rewrite();
  EXPECT_THAT([&] { read_manifest(folder_); },
              ThrowsMessage<InputError>(HasSubstr("planes[0].area: missing")));
}

TEST_F(ManifestFile, RefusesWrongTypesByMember) {
  object_["flight"]["density"] = "1.2";
  rewrite();
  EXPECT_THAT([&] { read_manifest(folder_); },
              ThrowsMessage<InputError>(HasSubstr("flight.density: must be a finite number")));
  object_["flight"]["density"] = 1.2;
  object_["window"] = 1.5;
  rewrite();
  EXPECT_THAT([&] { read_manifest(folder_); },
              ThrowsMessage<InputError>(HasSubstr("window: must be a whole number")));
  object_["window"] = 100;
  object_["planes"][0]["normal"] = {1.0, 2.0};
  rewrite();
  EXPECT_THAT([&] { read_manifest(folder_); },
              ThrowsMessage<InputError>(HasSubstr("planes[0].normal: must be a list of three numbers")));
  object_["planes"][0]["normal"] = {1.0, 2.0, 3.0};
  object_["zones"][1]["role"] = "attic";
  rewrite();
  EXPECT_THAT([&] { read_manifest(folder_); },
              ThrowsMessage<InputError>(HasSubstr("zones[1].role: unknown value \"attic\"")));
}

TEST_F(ManifestFile, RefusesWhatWasWrittenFromNotANumber) {
  Manifest m = example();
  m.flight.density = std::nan("");
  write_manifest(m, folder_);
  EXPECT_THAT([&] { read_manifest(folder_); },
              ThrowsMessage<InputError>(HasSubstr("flight.density: must be a finite number")));
}

TEST_F(ManifestFile, RefusesAnotherVersionNamingBoth) {
  object_["format_version"] = 99;
  rewrite();
  EXPECT_THAT([&] { read_manifest(folder_); },
              ThrowsMessage<InputError>(AllOf(HasSubstr("format_version = 99"), HasSubstr(", 3."))));
}

TEST_F(ManifestFile, RefusesHalfAFileAndAnAbsentOne) {
  const std::string text = object_.dump();
  write_text(folder_ / manifest_file_name, text.substr(0, text.size() / 2));
  EXPECT_THAT([&] { read_manifest(folder_); }, ThrowsMessage<InputError>(HasSubstr("not valid JSON")));
  write_text(folder_ / manifest_file_name, "[1, 2]");
  EXPECT_THAT([&] { read_manifest(folder_); }, ThrowsMessage<InputError>(HasSubstr("must be an object")));
  EXPECT_THAT([&] { read_manifest(folder_ / "none"); },
              ThrowsMessage<InputError>(HasSubstr("manifest.json")));
}

}  // namespace
