// SPDX-License-Identifier: GPL-3.0-or-later
//
// Derived numbers against values by hand, and the table's layout.
#include "cases/verbs/derived.h"

#include "cases/starter.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace {

using namespace cowlwright;
using testing::HasSubstr;
using testing::IsEmpty;
using verbs::derived_rows;
using verbs::DerivedRow;

/// The starter study, with some of its text replaced.
VariantSpec starter_with(const std::string& old_text, const std::string& new_text) {
  std::string text = starter_study_text();
  const std::size_t place = text.find(old_text);
  EXPECT_NE(place, std::string::npos) << old_text;
  text.replace(place, old_text.size(), new_text);
  return parse_study(text, "starter.toml").variants.front();
}

DerivedRow row_named(const std::vector<DerivedRow>& rows, const std::string& name) {
  const auto found =
      std::find_if(rows.begin(), rows.end(), [&](const DerivedRow& row) { return row.name == name; });
  if (found == rows.end()) {
    ADD_FAILURE() << "no row " << name;
    return {};
  }
  return *found;
}

TEST(Derived, SeaLevelNumbersAgreeWithAHandCalculation) {
  // ISO 2533 at sea level: 15 degC, 1.225 kg/m3, speed of sound 340.294 m/s, viscosity 1.78938e-5 Pa s.
  VariantSpec spec = starter_with("true_airspeed = \"105 kt\"", "true_airspeed = \"50 m/s\"");
  spec.flight.air = base::AirState{};
  spec.shape.inlets.left.diameter = spec.shape.inlets.right.diameter = 0.1;
  spec.shape.inlets.left.lip_radius = spec.shape.inlets.right.lip_radius = 0.02;
  const std::vector<DerivedRow> rows = derived_rows(spec, {});
  EXPECT_EQ(row_named(rows, "true airspeed").practical, "97.2 kt");          // 50 / 0.514444 = 97.19
  EXPECT_EQ(row_named(rows, "dynamic pressure q").si, "1531 Pa");            // 0.5 * 1.225 * 50^2 = 1531.25
  EXPECT_EQ(row_named(rows, "dynamic pressure q").practical, "6.15 inH2O");  // 1531.25 / 249.08891 = 6.147
  EXPECT_EQ(row_named(rows, "Mach number").si, "0.147");                     // 50 / 340.294 = 0.1469
  EXPECT_EQ(row_named(rows, "outside air temperature").practical, "59.0 degF");
  EXPECT_EQ(row_named(rows, "air density").practical, "1.000 of sea level");
  EXPECT_EQ(row_named(rows, "Reynolds number on inlet diameter").si,
            "3.42e+05");                                                   // 1.225*50*0.1/1.78938e-5 = 342300
  EXPECT_EQ(row_named(rows, "both inlet throats").si, "157.1 cm2");        // 2 * pi/4 * 10^2 = 157.08
  EXPECT_EQ(row_named(rows, "both inlet throats").practical, "24.3 in2");  // 157.08 / 6.4516 = 24.35
  EXPECT_EQ(row_named(rows, "inlet ring r/D").si, "0.200");
}

TEST(Derived, PropellerAbsorbsThePowerThatTheStudyStates) {
  const VariantSpec spec = starter_with("105 kt", "105 kt");
  const std::vector<DerivedRow> rows = derived_rows(spec, {});
  EXPECT_EQ(row_named(rows, "shaft power absorbed").si, "75.0 kW");
  EXPECT_EQ(row_named(rows, "shaft power absorbed").practical, "100.6 hp");  // 75000 / 745.69987 = 100.58
  // 2600 rpm = 272.27 rad/s; at 0.9 m that is 245.04 m/s; speed of sound at 20 degC is 343.2 m/s.
  EXPECT_EQ(row_named(rows, "rotational tip Mach number").si, "0.714");
}

TEST(Derived, AtRestPressuresAreOverTheDiskLoadingAndThereIsAFigureOfMerit) {
  const std::vector<DerivedRow> rows =
      derived_rows(starter_with("true_airspeed = \"105 kt\"", "true_airspeed = \"0 kt\""), {});
  EXPECT_EQ(row_named(rows, "dynamic pressure q").si, "0 Pa");
  // Disk of 1.8 m: 2.5447 m2.
  const double thrust = std::stod(row_named(rows, "thrust").si);
  EXPECT_NEAR(std::stod(row_named(rows, "pressures are over thrust per disk area").si), thrust / 2.5447, 1.0);
  const double merit = std::stod(row_named(rows, "figure of merit at rest").si);
  EXPECT_GT(merit, 0.4);
  EXPECT_LT(merit, 1.0);
  for (const DerivedRow& row : rows) {
    EXPECT_EQ(row.si.find("nan"), std::string::npos) << row.name << " " << row.si;
    EXPECT_EQ(row.si.find("inf"), std::string::npos) << row.name << " " << row.si;
    EXPECT_NE(row.name, "efficiency");
  }
}

TEST(Derived, AFixedPitchShowsItsMismatchAndWhatToDo) {
  const auto fixed = [](const std::string& pitch) {
    return derived_rows(
        starter_with("pitch_mode = \"to_power\"", "pitch_mode = \"fixed\"\npitch = \"" + pitch + "\"\n"), {});
  };
  const DerivedRow coarse = row_named(fixed("2.2 m"), "that is against shaft_power");
  EXPECT_THAT(coarse.si, HasSubstr("+"));
  EXPECT_THAT(coarse.si, HasSubstr("would not reach this speed"));
  const DerivedRow fine = row_named(fixed("1.0 m"), "that is against shaft_power");
  EXPECT_THAT(fine.si, HasSubstr("-"));
  EXPECT_THAT(fine.si, HasSubstr("would turn faster"));
}

TEST(Derived, AStudyWithoutPropellerSaysSo) {
  const VariantSpec spec = starter_with("kind = \"blades\"", "kind = \"none\"");
  EXPECT_EQ(row_named(derived_rows(spec, {}), "none").si, "-");
}

TEST(Derived, HeatIsTheShareOfShaftPowerThatTheStudyStates) {
  const VariantSpec spec = starter_with("heat_share = \"50 %\"", "heat_share = \"40 %\"");
  EXPECT_EQ(row_named(derived_rows(spec, {}), "heat of the cylinders into the air").si,
            "30.0 kW");  // 0.40 * 75 kW
}

// 133 mm to 1.5 times as wide over 133 mm: the wall slopes 1 in 4, 2 * 14.04 deg. Over 266 mm: 1 in 8, 14.25
// deg.
TEST(Derived, DiffuserIsShownWithItsAngleAndANoteWhereItIsADump) {
  VariantSpec spec = starter_with("105 kt", "105 kt");
  const auto named = [](const DerivedRow& row) { return row.name.starts_with("inlet diffuser"); };
  const std::vector<DerivedRow> plain = derived_rows(spec, {});
  EXPECT_TRUE(std::none_of(plain.begin(), plain.end(), named));
  spec.shape.inlets.left.diffuser_area_ratio = spec.shape.inlets.right.diffuser_area_ratio = 2.25;
  spec.shape.inlets.left.diffuser_length = 0.133;
  spec.shape.inlets.right.diffuser_length = 0.266;
  const std::vector<DerivedRow> rows = derived_rows(spec, {});
  EXPECT_EQ(row_named(rows, "inlet diffuser, full angle, left").si, "28.1 deg");
  EXPECT_THAT(row_named(rows, "inlet diffuser, full angle, left").practical, HasSubstr("NOTE"));
  EXPECT_EQ(row_named(rows, "inlet diffuser, full angle, right").si, "14.3 deg");
  EXPECT_EQ(row_named(rows, "inlet diffuser, full angle, right").practical, "");
}

TEST(Derived, FinerGridsHaveMoreCells) {
  const std::vector<DerivedRow> rows = derived_rows(starter_with("105 kt", "105 kt"), {});
  const double coarse = std::stod(row_named(rows, "expected cells, coarse (chosen)").si);
  const double medium = std::stod(row_named(rows, "expected cells, medium").si);
  const double fine = std::stod(row_named(rows, "expected cells, fine").si);
  EXPECT_GT(medium, coarse);
  EXPECT_GT(fine, medium);
}

TEST(DerivedTable, AlignsTheColumnsUnderAHeadingPerSection) {
  const std::vector<DerivedRow> rows{{"Flight", "speed", "50.0 m/s", "97.2 kt"},
                                     {"Flight", "Mach number", "0.147", ""},
                                     {"Exit", "gap", "75 mm", "3 in"}};
  EXPECT_EQ(verbs::derived_table(rows),
            "Flight\n"
            "  speed        50.0 m/s  97.2 kt\n"
            "  Mach number  0.147\n"
            "Exit\n"
            "  gap          75 mm     3 in\n");
}

TEST(DifferingRows, KeepsOnlyWhatIsNotAsInTheBaseline) {
  const std::vector<DerivedRow> baseline{{"A", "x", "1", ""}, {"A", "y", "2", ""}};
  EXPECT_THAT(differing_rows(baseline, baseline), IsEmpty());
  const auto rows = differing_rows({{"A", "x", "1", ""}, {"A", "y", "3", ""}}, baseline);
  ASSERT_EQ(rows.size(), 1U);
  EXPECT_EQ(rows[0].si, "3");
}

}  // namespace
