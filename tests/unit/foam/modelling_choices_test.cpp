// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the modelling choices of a study, far field, turbulence, walls, propeller and cores, do to the written
// case, and that each changes nothing else.
#include "cases/foam/case.h"
#include "cases/starter.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <set>

namespace cowlwright::foam {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

/// The starter study's baseline with one line replaced.
Case case_with(const std::string& old_line, const std::string& new_line) {
  std::string text = starter_study_text();
  const std::size_t at = text.find(old_line);
  if (at == std::string::npos) {
    ADD_FAILURE() << "not in the starter study: " << old_line;
  }
  const Study study = parse_study(text.replace(at, old_line.size(), new_line), "starter.toml");
  return build_cases(study, 0).front();
}

const Case& plain() {
  static const Case built = case_with("[flight]", "[flight]");
  return built;
}

/// Holds the speeds that a start from a neighbour is fitted by, which follow thrust and swirl.
constexpr const char* map_start = "system/mapFieldsDict";

std::set<std::string> changed_files(const Case& other) {
  std::set<std::string> changed;
  for (const auto& [path, text] : plain().files) {
    if (!other.files.contains(path) || other.files.at(path) != text) {
      changed.insert(path);
    }
  }
  EXPECT_EQ(other.files.size(), plain().files.size());
  EXPECT_EQ(changed.empty(), other.manifest.input_hash == plain().manifest.input_hash);
  return changed;
}

/// The number after a key's first mention.
double number_after(const std::string& text, const std::string& key) {
  const std::size_t at = text.find(key);
  return at == std::string::npos ? std::nan("") : std::stod(text.substr(at + key.size()));
}

// k = 1.5 (Tu V)², omega = k / (ratio nu): five times the intensity is 25 times k, and omega with it.
TEST(ModellingChoices, TurbulenceIntensitySetsKAndOmegaOfTheFarField) {
  const Case gusty = case_with("turbulence_intensity = \"1 %\"", "turbulence_intensity = \"5 %\"");
  EXPECT_THAT(changed_files(gusty), ElementsAre("0.orig/k", "0.orig/omega"));
  const double speed = 105.0 * 1852.0 / 3600.0;
  const double k = number_after(gusty.files.at("0.orig/k"), "internalField uniform ");
  EXPECT_NEAR(k, 1.5 * std::pow(0.05 * speed, 2), 1e-9 * k);  // rounding
  const double omega = number_after(gusty.files.at("0.orig/omega"), "internalField uniform ");
  EXPECT_NEAR(omega / number_after(plain().files.at("0.orig/omega"), "internalField uniform "), 25.0, 1e-9);
}

TEST(ModellingChoices, EddyViscosityRatioSetsOmegaAndTheEddyViscosities) {
  const Case eddies = case_with("eddy_viscosity_ratio = 10.0", "eddy_viscosity_ratio = 100.0");
  EXPECT_THAT(changed_files(eddies), ElementsAre("0.orig/alphat", "0.orig/nut", "0.orig/omega"));
  EXPECT_NEAR(number_after(eddies.files.at("0.orig/nut"), "internalField uniform ") /
                  number_after(plain().files.at("0.orig/nut"), "internalField uniform "),
              10.0,
              1e-9);
}

TEST(ModellingChoices, BlendedWallsUseSpaldingsLawForTheEddyViscosityOnly) {
  const Case blended = case_with("wall_treatment = \"log_law\"", "wall_treatment = \"blended\"");
  EXPECT_THAT(changed_files(blended), ElementsAre("0.orig/nut"));
  EXPECT_THAT(plain().files.at("0.orig/nut"), HasSubstr("type nutkWallFunction"));
  EXPECT_THAT(blended.files.at("0.orig/nut"), HasSubstr("type nutUSpaldingWallFunction"));
  EXPECT_THAT(blended.files.at("0.orig/nut"), Not(HasSubstr("nutkWallFunction")));
}

TEST(ModellingChoices, DomainSizeMovesTheFarFieldAndNoSurface) {
  const Case wide = case_with("domain_size = 1.0", "domain_size = 1.5");
  const std::set<std::string> changed = changed_files(wide);
  EXPECT_TRUE(changed.contains("system/blockMeshDict"));
  for (const std::string& path : changed) {
    // Planes across x move by less than a cell with the background grid; the walls stay.
    EXPECT_NE(path, "constant/triSurface/wetted.stl");
    EXPECT_THAT(path, Not(HasSubstr("core_")));
  }
  EXPECT_DOUBLE_EQ(wide.manifest.cell_size, plain().manifest.cell_size);
}

// Forces of the source are on the air: thrust forward is a force aft, along +x.
TEST(ModellingChoices, UniformDiskPushesTheAirAftWithTheBladesThrust) {
  const Case disk = case_with("kind = \"blades\"", "kind = \"uniform_disk\"");
  EXPECT_THAT(changed_files(disk), ElementsAre("constant/fvOptions", map_start));
  const std::string& sources = disk.files.at("constant/fvOptions");
  EXPECT_THAT(sources, Not(HasSubstr("rotorDisk")));
  EXPECT_THAT(sources, HasSubstr("type vectorSemiImplicitSource"));
  EXPECT_THAT(sources.substr(sources.find("type vectorSemiImplicitSource")),
              HasSubstr("volumeMode absolute"));
  const double force = number_after(sources, "U ((");
  EXPECT_NEAR(force, plain().manifest.propeller->thrust, 1e-9 * force);  // digits written
  EXPECT_GT(force, 0.0);
  EXPECT_EQ(disk.manifest.propeller->force_field, "");
}

TEST(ModellingChoices, CoreTransverseScalesTheTwoDirectionsAcrossTheFins) {
  const Case open = case_with("core_transverse = 100.0", "core_transverse = 10.0");
  EXPECT_THAT(changed_files(open), ElementsAre("constant/fvOptions"));
  const std::string& sources = open.files.at("constant/fvOptions");
  double along = 0.0;
  double across_1 = 0.0;
  double across_2 = 0.0;
  ASSERT_EQ(
      std::sscanf(sources.c_str() + sources.find("f ("), "f (%lf %lf %lf)", &along, &across_1, &across_2), 3);
  EXPECT_NEAR(across_1 / along, 10.0, 1e-9);
  EXPECT_DOUBLE_EQ(across_1, across_2);
}

/// Text of a patch's condition in a field.
std::string condition(const Case& built, const std::string& field, const std::string& patch) {
  const std::string& text = built.files.at("0.orig/" + field);
  const std::size_t at = text.find("    " + patch + "\n");
  return text.substr(at, text.find('}', at) - at);
}

// In still air the far field has to let in what the propeller drives out, from all sides.
TEST(ModellingChoices, AtRestTheFarFieldIsAReservoirAndTheStartTheSlipstream) {
  const Case rest = case_with("true_airspeed = \"105 kt\"", "true_airspeed = \"0 kt\"");
  EXPECT_THAT(
      changed_files(rest),
      ElementsAre("0.orig/U", "0.orig/k", "0.orig/omega", "0.orig/p", "constant/fvOptions", map_start));
  EXPECT_THAT(condition(rest, "U", "far_field"), HasSubstr("type pressureInletOutletVelocity"));
  EXPECT_THAT(condition(rest, "p", "far_field"), HasSubstr("type totalPressure"));
  EXPECT_THAT(condition(plain(), "U", "far_field"), HasSubstr("type freestreamVelocity"));
  const base::FlightRecord& flight = rest.manifest.flight;
  EXPECT_EQ(number_after(condition(rest, "p", "far_field"), "p0 uniform "), flight.pressure);
  // Momentum theory at rest: v = sqrt(T/(2 rho A)), twice that far behind.
  const double area = 0.25 * 3.14159265358979 * 1.8 * 1.8;
  const double thrust = rest.manifest.propeller->thrust;
  const double far_behind = 2.0 * std::sqrt(thrust / (2.0 * flight.density * area));
  EXPECT_NEAR(
      number_after(rest.files.at("0.orig/U"), "internalField uniform ("), far_behind, 1e-9 * far_behind);
  const double k = number_after(rest.files.at("0.orig/k"), "internalField uniform ");
  EXPECT_NEAR(k, 1.5 * std::pow(0.01 * far_behind, 2), 1e-9 * k);
  EXPECT_EQ(flight.dynamic_pressure, 0.0);
  EXPECT_NEAR(flight.reference_pressure, thrust / area, 1e-9 * thrust);
  EXPECT_EQ(flight.reference_name, "thrust per disk area");
}

TEST(ModellingChoices, InFlightPressuresAreOverQ) {
  EXPECT_EQ(plain().manifest.flight.reference_name, "q");
  EXPECT_EQ(plain().manifest.flight.reference_pressure, plain().manifest.flight.dynamic_pressure);
}

// The blade as given: no pitch change, and what it absorbs against what the engine gives.
TEST(ModellingChoices, AFixedPitchGoesIntoTheManifestWithItsMismatch) {
  const Case fixed = case_with("pitch_mode = \"to_power\"", "pitch_mode = \"fixed\"\npitch = \"1.45 m\"");
  EXPECT_THAT(changed_files(fixed), ElementsAre("constant/fvOptions", map_start));
  const base::PropellerRecord& propeller = *fixed.manifest.propeller;
  EXPECT_EQ(propeller.pitch_mode, base::PitchMode::Fixed);
  EXPECT_EQ(propeller.collective, 0.0);
  EXPECT_EQ(propeller.shaft_power, 75e3);
  EXPECT_NEAR(propeller.power, propeller.torque * propeller.rotational_speed, 1e-6 * propeller.power);
  EXPECT_NEAR(propeller.power_mismatch, (propeller.power - 75e3) / 75e3, 1e-12);
  EXPECT_GT(std::abs(propeller.power_mismatch), 1e-3);
  EXPECT_NEAR(plain().manifest.propeller->power_mismatch, 0.0, 1e-5);
}

}  // namespace
}  // namespace cowlwright::foam
