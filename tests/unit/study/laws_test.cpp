// SPDX-License-Identifier: GPL-3.0-or-later
//
// Laws and heat of cylinders and oil cooler as a study states them.
#include "cases/study.h"
#include "geometry/base/air.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using core::LawKind;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

const std::string engine_law =
    "core_mass_flow = \"0.16 kg/s\"\ncore_pressure_drop = \"1200 Pa\"\ncore_exponent = 1.85";
const std::string fins =
    "fin_pitch = \"4 mm\"\nfin_thickness = \"1.5 mm\"\nfin_depth = \"20 mm\"\nbore = \"130 mm\"";

/// The minimal study with another law in [engine] and more at the end.
VariantSpec with_law(const std::string& law, const std::string& end = "") {
  std::string text = base::read_text(std::string(COWLWRIGHT_TEST_DATA) + "/studies/minimal.toml");
  const std::size_t at = text.find(engine_law);
  EXPECT_NE(at, std::string::npos);
  text.replace(at, engine_law.size(), law);
  return parse_study(text + end, "a.toml").variants.front();
}

/// The same with more at the end only.
VariantSpec with(const std::string& end) {
  return with_law(engine_law, end);
}

TEST(CylinderLaw, IsTheEnginesUnlessTheCylinderHasItsOwn) {
  const core::CoreSpec core =
      with(
          "[cylinder_r1]\ncore_mass_flow = [\"0.1 kg/s\", \"0.2 kg/s\"]\ncore_pressure_drop = [\"900 Pa\", "
          "\"3 kPa\"]\n")
          .core;
  ASSERT_EQ(core.law.size(), 4u);
  for (const std::size_t other : {0u, 1u, 3u}) {
    EXPECT_EQ(core.law[other].kind, LawKind::PowerLaw);
    EXPECT_DOUBLE_EQ(core.law[other].reference.pressure_drop, 1200.0);
  }
  EXPECT_EQ(core.law[2].kind, LawKind::Table);
  EXPECT_DOUBLE_EQ(core.law[2].points.front().pressure_drop, 900.0);
}

TEST(CylinderLaw, MayVary) {
  std::string text = base::read_text(std::string(COWLWRIGHT_TEST_DATA) + "/studies/minimal.toml");
  text +=
      "[cylinder_l1]\ncore_mass_flow = \"0.16 kg/s\"\ncore_pressure_drop = \"1200 Pa\"\ncore_exponent = "
      "1.85\n"
      "[vary]\n\"cylinder_l1.core_pressure_drop\" = [\"1200 Pa\", \"2400 Pa\"]\n";
  const Study study = parse_study(text, "a.toml");
  EXPECT_DOUBLE_EQ(study.variants[1].core.law[0].reference.pressure_drop, 2400.0);
  EXPECT_DOUBLE_EQ(study.variants[1].core.law[1].reference.pressure_drop, 1200.0);
}

TEST(CylinderLaw, ComesFromFins) {
  const VariantSpec spec = with_law(fins);
  const core::Law& law = spec.core.law.front();
  EXPECT_EQ(law.kind, LawKind::Fins);
  EXPECT_DOUBLE_EQ(law.reference.pressure_drop, 1000.0);
  // The hand case of the fins' unit test: 555 Pa at 0.16 kg/s; from there to 1000 Pa with an exponent between
  // 1.75 (Blasius) and 2 (ends): 0.16 * (1000/555)^(1/1.75 to 1/2) = 0.215 to 0.224 kg/s. Air is 5 K warmer:
  // 1 % of viscosity, 0.2 % of flow.
  EXPECT_GT(law.reference.mass_flow, 0.214);
  EXPECT_LT(law.reference.mass_flow, 0.225);
  EXPECT_NEAR(law.points.front().pressure_drop, 100.0, 0.1);
  EXPECT_NEAR(law.points.back().pressure_drop, 2500.0, 0.1);
  // The solver's law has to carry it: friction with exponents 1.75 and 2 between two straight terms.
  const core::CoreFit fit = core::fit_core_law(
      law.points, 0.0476, spec.flight.air.density, base::dynamic_viscosity(spec.flight.air.temperature));
  EXPECT_LT(fit.residual, 0.05);
}

TEST(CylinderLaw, RefusesACylinderThatTheEngineDoesNotHave) {
  EXPECT_THAT([] { with("[cylinder_l3]\n" + engine_law + "\n"); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("[cylinder_l3]"), HasSubstr("no cylinder"), HasSubstr("cylinders = 4"))));
}

TEST(CylinderLaw, RefusesASectionWithoutALaw) {
  EXPECT_THAT([] { with("[cylinder_l1]\n"); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("[cylinder_l1]"), HasSubstr("no law"))));
}

TEST(CylinderLaw, RefusesFinsBesideATable) {
  EXPECT_THAT([] { with_law(engine_law + "\n" + fins); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("core_mass_flow contradicts fin_pitch"), HasSubstr("core_exponent"))));
}

TEST(CylinderLaw, RefusesHalfTheFins) {
  EXPECT_THAT([] { with_law("fin_pitch = \"4 mm\"\nbore = \"130 mm\""); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("fin_thickness"), HasSubstr("fin_depth"))));
}

TEST(CylinderLaw, RefusesFinsThatLeaveNoAirOrNoRoomNamingBothDimensions) {
  const std::string rest = "fin_pitch = \"4 mm\"\nbore = \"130 mm\"\n";
  EXPECT_THAT([&] { with_law(rest + "fin_thickness = \"3.5 mm\"\nfin_depth = \"20 mm\""); },
              ThrowsMessage<base::InputError>(AllOf(
                  HasSubstr("fin_thickness = 3.5 mm"), HasSubstr("80 %"), HasSubstr("fin_pitch (4 mm)"))));
  EXPECT_THAT([&] { with_law(rest + "fin_thickness = \"1.5 mm\"\nfin_depth = \"25 mm\""); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("fin_depth = 25 mm"),
                                                    HasSubstr("bore + 2 fin_depth = 180 mm"),
                                                    HasSubstr("core_length (170 mm)"))));
  EXPECT_THAT(
      [&] { with_law(rest + "fin_thickness = \"1.5 mm\"\nfin_depth = \"20 mm\"\nbaffle_arc = \"400 deg\""); },
      ThrowsMessage<base::InputError>(HasSubstr("baffle_arc")));
}

TEST(HeadAndBarrel, SharesNeedAHeadOfItsOwn) {
  EXPECT_THAT([] { with_law(engine_law + "\nhead_heat_share = \"60 %\"\nhead_flow_share = \"40 %\""); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("head_heat_share belongs to"),
                                                    HasSubstr("head_flow_share belongs to"),
                                                    HasSubstr("head_width"))));
}

TEST(HeadAndBarrel, FlowGoesByWidthAndHeatByPracticeUnlessStated) {
  const core::CoreSpec plain = with_law(engine_law + "\nhead_width = \"98 mm\"").core;
  EXPECT_NEAR(plain.head_flow_share, 98.0 / 280.0, 1e-12);  // of 130 to 410 mm
  EXPECT_DOUBLE_EQ(plain.head_heat_share, 0.70);
  const core::CoreSpec stated =
      with_law(engine_law +
               "\nhead_width = \"98 mm\"\nhead_heat_share = \"60 %\"\nhead_flow_share = \"40 %\"")
          .core;
  EXPECT_DOUBLE_EQ(stated.head_flow_share, 0.4);
  EXPECT_DOUBLE_EQ(stated.head_heat_share, 0.6);
}

TEST(OilCooler, HasItsOwnLawAndHeat) {
  EXPECT_FALSE(with("").oil_cooler);
  const std::string law =
      "[oil_cooler]\nplace = \"rear\"\nmass_flow = \"0.2 kg/s\"\npressure_drop = \"4 inH2O\"\nexponent = "
      "1.8\n";
  const VariantSpec spec = with(law + "heat_share = \"8 %\"\n");
  ASSERT_TRUE(spec.oil_cooler);
  EXPECT_NEAR(spec.oil_cooler->heat, 6000.0, 1e-9);                         // 8 % of 75 kW
  EXPECT_NEAR(spec.oil_cooler->law.reference.pressure_drop, 996.36, 0.01);  // 4 * 249.08891
  EXPECT_THAT([&] { with(law); }, ThrowsMessage<base::InputError>(HasSubstr("heat = \"6 kW\"")));
  EXPECT_THAT([&] { with("[oil_cooler]\nplace = \"rear\"\nheat = \"6 kW\"\n"); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("[oil_cooler] mass_flow is missing"), HasSubstr("pressure_drop"))));
}

}  // namespace
