// SPDX-License-Identifier: GPL-3.0-or-later
//
// Good studies arrive in their specs, with their defaults and their variants.
#include "cases/study.h"
#include "geometry/base/text_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <numbers>
#include <numeric>

namespace {

using namespace cowlwright;
using testing::Each;
using testing::ElementsAre;
using testing::SizeIs;

const std::string minimal_path = std::string(COWLWRIGHT_TEST_DATA) + "/studies/minimal.toml";

/// The minimal study with a line put in after another one, and more lines at the end.
Study changed(const std::string& old_line, const std::string& new_lines, const std::string& end = "") {
  std::string text = base::read_text(minimal_path);
  const std::size_t at = text.find(old_line);
  if (at == std::string::npos) {
    ADD_FAILURE() << "not in the minimal study: " << old_line;
  }
  text.replace(at, old_line.size(), new_lines);
  return parse_study(text.append(end), "a.toml");
}

TEST(ReadStudy, MinimalFileGivesOneVariantWithTheDefaults) {
  const Study study = read_study(minimal_path);
  EXPECT_EQ(study.title, "minimal");
  EXPECT_EQ(study.question, "");
  EXPECT_EQ(study.file, minimal_path);
  EXPECT_EQ(study.text, base::read_text(minimal_path));
  ASSERT_THAT(study.variants, SizeIs(1));
  const VariantSpec& spec = study.variants.front();
  EXPECT_EQ(spec.variant.name, "base");
  EXPECT_DOUBLE_EQ(spec.shape.inlets.spacing, shape::InletPair{}.spacing);
  EXPECT_EQ(spec.shape.inlets.left.ring, shape::RingStyle::Flush);
  EXPECT_DOUBLE_EQ(spec.shape.cowl.corner_exponent, shape::CowlSpec{}.corner_exponent);
  EXPECT_EQ(spec.shape.plenum.kind, shape::PlenumKind::Shared);
  EXPECT_EQ(spec.grid.level, meshing::GridLevel::Coarse);
  EXPECT_EQ(spec.grid.iterations, meshing::GridSpec{}.iterations);
  EXPECT_TRUE(spec.propeller.present);
  EXPECT_EQ(spec.propeller.rotation, propeller::Rotation::Clockwise);
  EXPECT_THAT(spec.propeller.blade, SizeIs(propeller::default_blade().size()));
}

TEST(ReadStudy, EveryStudyThatComesWithTheToolkitIsAccepted) {
  int n_studies = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(COWLWRIGHT_STUDIES)) {
    if (entry.path().extension() != ".toml") continue;
    EXPECT_NO_THROW(read_study(entry.path())) << entry.path();
    ++n_studies;
  }
  EXPECT_GE(n_studies, 3);
}

TEST(ReadStudy, ValuesArriveInSi) {
  const VariantSpec spec = read_study(minimal_path).variants.front();
  EXPECT_NEAR(spec.flight.true_airspeed, 105.0 * 1852.0 / 3600.0, 1e-12);
  EXPECT_DOUBLE_EQ(spec.flight.air.temperature, 293.15);
  EXPECT_DOUBLE_EQ(spec.propeller.shaft_power, 75e3);
  EXPECT_NEAR(spec.propeller.rotational_speed, 2600.0 * 2.0 * std::numbers::pi / 60.0, 1e-9);
  EXPECT_DOUBLE_EQ(spec.propeller.diameter, 1.8);
  EXPECT_EQ(spec.propeller.n_blades, 2);
  EXPECT_DOUBLE_EQ(spec.shape.cowl.width, 1.02);
  EXPECT_DOUBLE_EQ(spec.shape.exit.gap, 0.075);
  EXPECT_EQ(spec.shape.engine.n_cylinders, 4);
  // Half of 75 kW over four cylinders.
  EXPECT_THAT(spec.core.heat, ElementsAre(9375.0, 9375.0, 9375.0, 9375.0));
}

TEST(ReadStudy, EveryDimensionOfTheShapeComesFromItsOwnKey) {
  const VariantSpec spec =
      changed(
          "[exit]",
          "spacing = \"561 mm\"\nheight = \"21 mm\"\nlip_radius = \"19 mm\"\n[fuselage]\ndepth_below = \"361 "
          "mm\"\nlength = \"3.7 m\"\n[plenum]\nkind = \"split\"\nfront_station = \"361 "
          "mm\"\nrear_baffle_clearance = \"51 mm\"\nwall_thickness = \"13 mm\"\n[exit]\noverhang = \"101 "
          "mm\"\nramp_radius = \"59 mm\"\nlip_length = \"51 mm\"\nlip_angle = \"9 deg\"\nlip_thickness = \"9 "
          "mm\"")
          .variants.front();
  EXPECT_DOUBLE_EQ(spec.shape.inlets.spacing, 0.561);
  EXPECT_DOUBLE_EQ(spec.shape.inlets.left.height, 0.021);
  EXPECT_DOUBLE_EQ(spec.shape.inlets.left.lip_radius, 0.019);
  EXPECT_DOUBLE_EQ(spec.shape.fuselage.depth_below, 0.361);
  EXPECT_DOUBLE_EQ(spec.shape.fuselage.length, 3.7);
  EXPECT_EQ(spec.shape.plenum.kind, shape::PlenumKind::Split);
  EXPECT_DOUBLE_EQ(spec.shape.plenum.front_station, 0.361);
  EXPECT_DOUBLE_EQ(spec.shape.plenum.rear_baffle_clearance, 0.051);
  EXPECT_DOUBLE_EQ(spec.shape.plenum.wall_thickness, 0.013);
  EXPECT_DOUBLE_EQ(spec.shape.exit.overhang, 0.101);
  EXPECT_DOUBLE_EQ(spec.shape.exit.ramp_radius, 0.059);
  EXPECT_DOUBLE_EQ(spec.shape.exit.lip_length, 0.051);
  EXPECT_DOUBLE_EQ(spec.shape.exit.lip_angle, 9.0 * std::numbers::pi / 180.0);
  EXPECT_DOUBLE_EQ(spec.shape.exit.lip_thickness, 0.009);
}

TEST(ReadStudy, PlenumLeaksHeadsAndOilCoolerComeFromTheirOwnKeys) {
  const shape::ShapeSpec spec =
      changed(
          "[exit]",
          "[plenum]\nkind = \"split\"\nwall_height = \"70 %\"\nroof = \"lid\"\nlid_height = \"150 mm\"\n"
          "[leaks]\ncowl_seal_left = \"4 cm2\"\ncowl_seal_right = \"3.9 cm2\"\nrear_baffle_left = \"3 cm2\"\n"
          "rear_baffle_right = \"2.9 cm2\"\ncrankcase_nose = \"2 cm2\"\ncentre_wall = \"1.9 cm2\"\n"
          "[oil_cooler]\nplace = \"rear\"\nside = \"right\"\nwidth = \"161 mm\"\nheight = \"91 mm\"\n"
          "depth = \"51 mm\"\nmass_flow = \"0.1 kg/s\"\npressure_drop = \"1000 Pa\"\nexponent = 1.8\n"
          "heat = \"5 kW\"\n[exit]")
          .variants.front()
          .shape;
  EXPECT_DOUBLE_EQ(spec.plenum.wall_height, 0.70);
  EXPECT_EQ(spec.plenum.roof, shape::PlenumRoof::Lid);
  EXPECT_DOUBLE_EQ(spec.plenum.lid_height, 0.150);
  constexpr double cm2 = 1e-4;
  EXPECT_THAT(
      spec.leaks.effective_area,
      testing::Pointwise(testing::DoubleEq(),
                         {4.0 * cm2, 3.9 * cm2, 3.0 * cm2, 2.9 * cm2, 2.0 * cm2, 0.0, 0.0, 1.9 * cm2}));
  EXPECT_EQ(spec.oil_cooler.place, shape::CoolerPlace::Rear);
  EXPECT_EQ(spec.oil_cooler.side, base::Side::Right);
  EXPECT_DOUBLE_EQ(spec.oil_cooler.width, 0.161);
  EXPECT_DOUBLE_EQ(spec.oil_cooler.height, 0.091);
  EXPECT_DOUBLE_EQ(spec.oil_cooler.depth, 0.051);
}

TEST(ReadStudy, APlenumWithALidIsComparedWithOneAgainstTheCowl) {
  const Study study = changed("[exit]",
                              "[plenum]\nlid_height = \"150 mm\"\n[exit]",
                              "[vary]\n\"plenum.roof\" = [\"cowl\", \"lid\"]\n");
  ASSERT_THAT(study.variants, SizeIs(2));
  EXPECT_EQ(study.variants[0].shape.plenum.roof, shape::PlenumRoof::Cowl);
  EXPECT_EQ(study.variants[1].shape.plenum.roof, shape::PlenumRoof::Lid);
}

TEST(ReadStudy, VariantsDifferInTheVariedKeyOnly) {
  const Study study =
      changed("gap = \"75 mm\"", "gap = \"75 mm\"", "[vary]\n\"exit.gap\" = [\"75 mm\", \"70 mm\"]\n");
  ASSERT_THAT(study.variants, SizeIs(2));
  EXPECT_EQ(study.variants[0].variant.name, "gap_75_mm");
  EXPECT_EQ(study.variants[1].variant.name, "gap_70_mm");
  EXPECT_DOUBLE_EQ(study.variants[0].shape.exit.gap, 0.075);
  EXPECT_DOUBLE_EQ(study.variants[1].shape.exit.gap, 0.070);
  EXPECT_DOUBLE_EQ(study.variants[0].shape.exit.width, study.variants[1].shape.exit.width);
}

TEST(ReadStudy, RingAgainstBareHoleIsAPairedStudy) {
  const Study study = changed("[inlets]",
                              "[inlets]",
                              "[vary]\nmode = \"paired\"\n\"inlets.ring\" = [\"none\", "
                              "\"flush\"]\n\"inlets.lip_radius\" = [\"0 mm\", "
                              "\"20 mm\"]\n");
  ASSERT_THAT(study.variants, SizeIs(2));
  EXPECT_EQ(study.variants[0].shape.inlets.left.ring, shape::RingStyle::None);
  EXPECT_EQ(study.variants[0].shape.inlets.left.lip_radius, 0.0);
  EXPECT_EQ(study.variants[1].shape.inlets.left.ring, shape::RingStyle::Flush);
}

TEST(ReadStudy, BareHoleNeedsNoRadius) {
  EXPECT_EQ(changed("[inlets]", "[inlets]\nring = \"none\"").variants.front().shape.inlets.left.lip_radius,
            0.0);
}

TEST(ReadStudy, PowerLawPassesThroughItsPointAndFollowsTheExponent) {
  const auto law = read_study(minimal_path).variants.front().core.law.front().points;
  // sigma*dp = 1200 Pa at 0.16 kg/s, exponent 1.85: 0.3 times the flow gives 0.3^1.85 = 0.107813 times the
  // drop.
  EXPECT_NEAR(law.front().mass_flow, 0.048, 1e-12);
  EXPECT_NEAR(law.front().pressure_drop, 1200.0 * 0.107813, 0.01);
  EXPECT_NEAR(law.back().mass_flow, 0.24, 1e-12);
  EXPECT_NEAR(law.back().pressure_drop, 1200.0 * 2.117234, 0.01);  // 1.5^1.85 = 2.117234
}

TEST(ReadStudy, CoreTableIsTakenAsItIs) {
  const auto law =
      changed("core_mass_flow = \"0.16 kg/s\"\ncore_pressure_drop = \"1200 Pa\"\ncore_exponent = 1.85",
              "core_mass_flow = [\"0.1 kg/s\", \"0.2 kg/s\"]\ncore_pressure_drop = [\"2 inH2O\", \"7 "
              "inH2O\"]")
          .variants.front()
          .core.law.front()
          .points;
  ASSERT_THAT(law, SizeIs(2));
  EXPECT_DOUBLE_EQ(law[1].mass_flow, 0.2);
  EXPECT_NEAR(law[1].pressure_drop, 7.0 * 249.08891, 1e-9);
}

TEST(ReadStudy, UnequalHeatKeepsItsSum) {
  const auto heat = changed("heat_share = \"50 %\"",
                            "heat = \"40 kW\"\nheat_split = [\"20 %\", \"30 %\", \"20 %\", \"30 %\"]")
                        .variants.front()
                        .core.heat;
  EXPECT_NEAR(heat[1], 12e3, 1e-9);
  EXPECT_NEAR(std::accumulate(heat.begin(), heat.end(), 0.0), 40e3, 1e-9);
}

TEST(ReadStudy, ColdRunHasNoHeat) {
  EXPECT_THAT(changed("heat_share = \"50 %\"", "heat = \"0 kW\"").variants.front().core.heat, Each(0.0));
}

TEST(ReadStudy, WithoutPropellerItsKeysMayStayOrGo) {
  EXPECT_FALSE(changed("blades = 2", "blades = 2\nkind = \"none\"").variants.front().propeller.present);
  EXPECT_FALSE(
      changed("diameter = \"1.80 m\"\nblades = 2", "kind = \"none\"").variants.front().propeller.present);
}

TEST(ReadStudy, BladesBeginOutsideALargeSpinner) {
  const VariantSpec spec =
      changed("blades = 2", "blades = 2\nspinner_diameter = \"330 mm\"").variants.front();
  EXPECT_GT(spec.propeller.hub_diameter, 0.330);
  const VariantSpec large = changed("diameter = \"1.80 m\"", "diameter = \"1.50 m\"").variants.front();
  EXPECT_GE(large.propeller.hub_diameter, 0.320);
}

TEST(ReadStudy, OwnBladeTableArrives) {
  const auto blade = changed("blades = 2",
                             "blades = 3\nblade_radius = [0.25, 0.6, 1]\nblade_chord = [0.06, 0.07, 0.03]\n"
                             "blade_pitch = [0.7, 0.75, 0.8]")
                         .variants.front()
                         .propeller.blade;
  ASSERT_THAT(blade, SizeIs(3));
  EXPECT_DOUBLE_EQ(blade[1].radius_ratio, 0.6);
  EXPECT_DOUBLE_EQ(blade[1].chord_ratio, 0.07);
  EXPECT_DOUBLE_EQ(blade[1].pitch_ratio, 0.75);
}

TEST(ReadStudy, OnePitchStandsForTheBladesPitchAtEveryRadius) {
  const propeller::PropellerSpec plain =
      changed("blades = 2", "blades = 2\npitch = \"1.44 m\"").variants.front().propeller;
  ASSERT_THAT(plain.blade, SizeIs(propeller::default_blade().size()));
  for (std::size_t i = 0; i < plain.blade.size(); ++i) {
    EXPECT_DOUBLE_EQ(plain.blade[i].pitch_ratio, 1.44 / 1.8);
    EXPECT_DOUBLE_EQ(plain.blade[i].chord_ratio, propeller::default_blade()[i].chord_ratio);
  }
  const propeller::PropellerSpec own =
      changed(
          "blades = 2",
          "blades = 2\npitch = \"0.9 m\"\nblade_radius = [0.25, 0.6, 1]\nblade_chord = [0.06, 0.07, 0.03]")
          .variants.front()
          .propeller;
  ASSERT_THAT(own.blade, SizeIs(3));
  EXPECT_DOUBLE_EQ(own.blade[1].chord_ratio, 0.07);
  EXPECT_DOUBLE_EQ(own.blade[1].pitch_ratio, 0.5);
}

TEST(ReadStudy, PitchModeIsTrimmedUnlessTheFileSaysFixed) {
  EXPECT_EQ(changed("blades = 2", "blades = 2").variants.front().propeller.pitch_mode,
            propeller::PitchMode::ToPower);
  EXPECT_EQ(changed("blades = 2", "blades = 2\npitch_mode = \"fixed\"\npitch = \"57 in\"")
                .variants.front()
                .propeller.pitch_mode,
            propeller::PitchMode::Fixed);
}

TEST(ReadStudy, OwnPolarArrivesInRadians) {
  const auto polar = changed("blades = 2",
                             "blades = 2\npolar_angle = [\"-4 deg\", \"4 deg\", \"12 deg\"]\n"
                             "polar_lift = [0.0, 0.8, 1.3]\npolar_drag = [0.010, 0.012, 0.05]")
                         .variants.front()
                         .propeller.polar;
  ASSERT_THAT(polar, SizeIs(3));
  EXPECT_NEAR(polar[2].angle_of_attack, 12.0 * std::numbers::pi / 180.0, 1e-15);
  EXPECT_DOUBLE_EQ(polar[1].lift, 0.8);
  EXPECT_DOUBLE_EQ(polar[0].drag, 0.010);
}

TEST(ReadStudy, ModellingChoicesHaveTheirDefaults) {
  const VariantSpec spec = read_study(minimal_path).variants.front();
  EXPECT_DOUBLE_EQ(spec.flight.turbulence_intensity, 0.01);
  EXPECT_DOUBLE_EQ(spec.flight.eddy_viscosity_ratio, 10.0);
  EXPECT_DOUBLE_EQ(spec.core.transverse_ratio, 100.0);
  EXPECT_DOUBLE_EQ(spec.grid.domain_size, 1.0);
  EXPECT_EQ(spec.grid.wall_treatment, meshing::WallTreatment::LogLaw);
  EXPECT_EQ(spec.grid.start, meshing::Start::Nearest);
  EXPECT_FALSE(spec.propeller.is_uniform);
}

TEST(ReadStudy, ModellingChoicesComeFromTheirKeys) {
  const VariantSpec air =
      changed("[engine]", "turbulence_intensity = \"5 %\"\neddy_viscosity_ratio = 200.0\n[engine]")
          .variants.front();
  EXPECT_DOUBLE_EQ(air.flight.turbulence_intensity, 0.05);
  EXPECT_DOUBLE_EQ(air.flight.eddy_viscosity_ratio, 200.0);
  const VariantSpec core = changed("[propeller]", "core_transverse = 30.0\n[propeller]").variants.front();
  EXPECT_DOUBLE_EQ(core.core.transverse_ratio, 30.0);
  const VariantSpec grid =
      changed("[exit]", "[grid]\ndomain_size = 1.5\nwall_treatment = \"blended\"\nstart = \"still\"\n[exit]")
          .variants.front();
  EXPECT_DOUBLE_EQ(grid.grid.domain_size, 1.5);
  EXPECT_EQ(grid.grid.wall_treatment, meshing::WallTreatment::Blended);
  EXPECT_EQ(grid.grid.start, meshing::Start::Still);
  const VariantSpec disk = changed("blades = 2", "blades = 2\nkind = \"uniform_disk\"").variants.front();
  EXPECT_TRUE(disk.propeller.present);
  EXPECT_TRUE(disk.propeller.is_uniform);
}

TEST(LevelName, IsWhatTheStudyFileSays) {
  for (const char* level : {"draft", "coarse", "medium", "fine"}) {
    const std::string grid = std::string("[grid]\nlevel = \"").append(level).append("\"\n");
    EXPECT_EQ(meshing::level_name(changed("[exit]", "[exit]", grid).variants.front().grid.level), level);
  }
}

}  // namespace
