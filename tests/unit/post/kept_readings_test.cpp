// SPDX-License-Identifier: GPL-3.0-or-later
//
// Readings of fields that are kept, on a duct of 16 cells: when they stand for the fields and when they do
// not.
#include "post/extract/kept_readings.h"

#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/synthetic_case.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <string>

namespace cowlwright::post {
namespace {

using testing_support::ScratchFolder;
using testing_support::text_of;
using namespace cowlwright::post::synthetic;

/// A case with a plane and a zone whose flow and pressure the test chooses, solved by hand or by a run.
class KeptReadings : public testing::Test {
 protected:
  KeptReadings() {
    base::PlaneRecord plane;
    plane.name = "middle";
    plane.normal = {1.0, 0.0, 0.0};
    base::ZoneRecord zone;
    zone.name = "first_half";
    manifest_.planes = {plane};
    manifest_.zones = {zone};
    manifest_.flight.density = 1.2;
    write_fields(1000.0);
    base::write_manifest(manifest_, dir());
  }

  void write_fields(double pressure) {
    Duct duct;
    duct.face_zones["middle"] = faces_at_x(1.0);
    duct.cell_zones["first_half"] = cells_between(0.0, 1.0);
    duct.flux = [](const DuctFace&) { return 0.5; };
    duct.pressure = [=](const base::Vec3&) { return pressure; };
    duct.temperature = [](const base::Vec3&) { return 300.0; };
    duct.density = [](const base::Vec3&) { return 1.2; };
    duct.velocity = [](const base::Vec3&) { return base::Vec3{10.0, 0.0, 0.0}; };
    write_duct(duct, dir(), "100");
  }

  /// Puts another pressure into what was kept, so that it shows whether it was used.
  void change_kept() {
    std::string text = text_of(kept_file());
    const std::string key = "\"static_pressure\": 1000.0";
    ASSERT_NE(text.find(key), std::string::npos) << text;
    text.replace(text.find(key), key.size(), "\"static_pressure\": 1234.5");
    base::write_text(kept_file(), text);
  }

  void write_state(const std::string& solve_key, const std::string& kept) {
    base::CaseState state;
    state.keys.solve = solve_key;
    state.phase = base::CasePhase::Finished;
    state.kept = kept;
    base::write_case_state(state, dir());
  }

  double pressure() { return read_field_readings(dir(), manifest_).fields.zones.at(0).static_pressure; }

  const std::filesystem::path& dir() const { return folder_.path(); }
  std::filesystem::path kept_file() const { return dir() / base::field_readings_file_name; }

  ScratchFolder folder_;
  base::Manifest manifest_;
};

TEST_F(KeptReadings, StandForFieldsThatHaveNotChanged) {
  const FieldReadings read = read_field_readings(dir(), manifest_);
  const FieldReadings kept = read_field_readings(dir(), manifest_);
  EXPECT_EQ(kept.iteration, 100.0);
  EXPECT_EQ(kept.fluxes.at(0).mass_flow, read.fluxes.at(0).mass_flow);
  EXPECT_EQ(kept.fields.n_cells, 16U);
  EXPECT_EQ(kept.fields.zones.at(0).temperature, read.fields.zones.at(0).temperature);
  EXPECT_FALSE(kept.fields.rotor.has_value());
  change_kept();
  EXPECT_DOUBLE_EQ(pressure(), 1234.5);
}

TEST_F(KeptReadings, AreReadAnewWhenAFieldOrTheManifestHasChanged) {
  pressure();
  change_kept();
  write_fields(1100.0);
  EXPECT_NEAR(pressure(), 1100.0, 1e-3);
  write_fields(1000.0);
  pressure();
  change_kept();
  manifest_.study = "another";
  base::write_manifest(manifest_, dir());
  EXPECT_NEAR(pressure(), 1000.0, 1e-3);
}

TEST_F(KeptReadings, AreReadAnewWhenTheFileIsDamagedOrOfAnotherVersion) {
  pressure();
  base::write_text(kept_file(), text_of(kept_file()).substr(0, 100));
  EXPECT_NEAR(pressure(), 1000.0, 1e-3);
  change_kept();
  std::string text = text_of(kept_file());
  const std::string key = "\"program_version\": \"";
  text.insert(text.find(key) + key.size(), "0");
  base::write_text(kept_file(), text);
  EXPECT_NEAR(pressure(), 1000.0, 1e-3);
}

TEST_F(KeptReadings, OutliveFieldsThatWereTidiedAwayWhileTheSolveIsTheSame) {
  write_state("a", "all");
  pressure();
  std::filesystem::remove_all(dir() / "100");
  EXPECT_THROW(pressure(), base::ResultError) << "nobody has said that the fields may be missing";
  write_state("a", "tables");
  EXPECT_NEAR(pressure(), 1000.0, 1e-3);
  write_state("b", "tables");
  EXPECT_THROW(pressure(), base::ResultError);
}

}  // namespace
}  // namespace cowlwright::post
