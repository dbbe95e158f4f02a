// SPDX-License-Identifier: GPL-3.0-or-later
//
// The starter file is a good study and tells the truth about defaults.
#include "cases/starter.h"

#include "cases/study.h"
#include "geometry/base/error.h"
#include "geometry/base/study_file.h"
#include "geometry/base/text_file.h"
#include "geometry/shape/parameters.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>
#include <string>

namespace {

using namespace cowlwright;
using testing::ElementsAre;
using testing::HasSubstr;

std::vector<std::string> lines_of(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> lines;
  for (std::string line; std::getline(in, line);) {
    lines.push_back(line);
  }
  return lines;
}

bool is_optional(const std::string& line) {
  return line.find("# optional") != std::string::npos;
}

TEST(StarterStudy, IsAccepted) {
  const Study study = parse_study(starter_study_text(), "starter.toml");
  std::vector<std::string> names;
  for (const VariantSpec& spec : study.variants) {
    names.push_back(spec.variant.name);
  }
  EXPECT_THAT(names, ElementsAre("lip_angle_0_deg", "lip_angle_15_deg", "lip_angle_30_deg"));
}

TEST(StarterStudy, ShowsTheDefaultOfEveryOptionalDimension) {
  // Leaving out every optional line must change no dimension.
  std::string text;
  for (const std::string& line : lines_of(starter_study_text())) {
    text.append(is_optional(line) ? "" : line).append("\n");
  }
  VariantSpec full = parse_study(starter_study_text(), "full.toml").variants.front();
  VariantSpec bare = parse_study(text, "bare.toml").variants.front();
  for (const shape::Parameter& parameter : shape::shape_parameters()) {
    EXPECT_DOUBLE_EQ(parameter.value(bare.shape), parameter.value(full.shape))
        << parameter.section << "." << parameter.key;
  }
  EXPECT_EQ(bare.shape.inlets.left, full.shape.inlets.left);
  EXPECT_EQ(bare.shape.inlets.right, full.shape.inlets.right);
  EXPECT_EQ(bare.shape.alternator.side, full.shape.alternator.side);
  EXPECT_EQ(bare.shape.plenum.kind, full.shape.plenum.kind);
  EXPECT_DOUBLE_EQ(bare.shape.cowl.corner_exponent, full.shape.cowl.corner_exponent);
  EXPECT_DOUBLE_EQ(bare.propeller.hub_diameter, full.propeller.hub_diameter);
  EXPECT_EQ(bare.propeller.rotation, full.propeller.rotation);
  EXPECT_EQ(bare.propeller.pitch_mode, full.propeller.pitch_mode);
  EXPECT_EQ(bare.grid.level, full.grid.level);
  EXPECT_DOUBLE_EQ(bare.flight.turbulence_intensity, full.flight.turbulence_intensity);
  EXPECT_DOUBLE_EQ(bare.flight.eddy_viscosity_ratio, full.flight.eddy_viscosity_ratio);
  EXPECT_DOUBLE_EQ(bare.core.transverse_ratio, full.core.transverse_ratio);
  EXPECT_DOUBLE_EQ(bare.grid.domain_size, full.grid.domain_size);
  EXPECT_EQ(bare.grid.wall_treatment, full.grid.wall_treatment);
  EXPECT_EQ(bare.grid.start, full.grid.start);
  EXPECT_EQ(bare.propeller.is_uniform, full.propeller.is_uniform);
}

TEST(StarterStudy, ExplainsEveryDimension) {
  for (const shape::InletParameter& parameter : shape::inlet_parameters()) {
    EXPECT_THAT(starter_study_text(), HasSubstr(std::string(parameter.key) + " = "));
  }
  for (const shape::Parameter& parameter : shape::shape_parameters()) {
    EXPECT_THAT(starter_study_text(), HasSubstr(std::string(parameter.key) + " = "));
  }
}

/// Lines of a commented section without their "# ".
std::string uncommented(const std::string& text, const std::string& from, const std::string& to) {
  std::istringstream lines(text.substr(text.find(from), text.find(to) - text.find(from)));
  std::string section;
  for (std::string line; std::getline(lines, line);)
    section += line.substr(std::min<std::size_t>(2, line.size())) + "\n";
  return section;
}

TEST(StarterStudy, ItsCommentedOwnCowlHasOnlyKnownKeys) {
  const std::string text = starter_study_text();
  try {
    parse_study(text + uncommented(text, "# [own_cowl]", "# [alternator]"), "starter.toml");
    ADD_FAILURE() << "accepted beside [inlets]";
  } catch (const base::InputError& error) {
    EXPECT_THAT(error.what(), testing::HasSubstr("is decided by the surface in [own_cowl]"));
    EXPECT_THAT(error.what(),
                testing::HasSubstr("[own_inlet_left] must name the opening's edge either by near"));
    EXPECT_THAT(error.what(), testing::Not(testing::HasSubstr("unknown key")));
  }
}

TEST(StarterStudy, CarriesTheCaution) {
  EXPECT_THAT(starter_study_text(), HasSubstr("an estimate, not an approval"));
  EXPECT_THAT(starter_study_text(), HasSubstr("flight-test"));
}

TEST(StarterStudy, ItsCommentedBladeAndPolarAreAcceptedToo) {
  std::string text = starter_study_text();
  for (const std::string key :
       {"blade_radius", "blade_chord", "blade_pitch", "polar_angle", "polar_lift", "polar_drag"}) {
    const std::size_t at = text.find("# " + key);
    ASSERT_NE(at, std::string::npos);
    text.erase(at, 2);
  }
  EXPECT_EQ(parse_study(text, "a.toml").variants.front().propeller.blade.size(), 4u);
}

/// The starter with the commented lines from `first` up to the next empty line taken in.
std::string with_comments_from(const std::string& first) {
  std::string text;
  bool is_in = false;
  for (const std::string& line : lines_of(starter_study_text())) {
    is_in = line.empty() ? false : is_in || line.starts_with(first);
    const bool is_prose = line.starts_with("#  ");
    text.append(is_in && line.starts_with("# ") && !is_prose ? line.substr(2) : line).append("\n");
  }
  return text;
}

TEST(StarterStudy, CommentedSectionsOfTemperaturesAreGoodWhenTakenIn) {
  const VariantSpec spec = parse_study(with_comments_from("# [limits]"), "starter.toml").variants.front();
  EXPECT_TRUE(spec.temperatures.has_limit());
  EXPECT_TRUE(spec.temperatures.cooler.has_value());
  EXPECT_TRUE(spec.temperatures.fuel.fuel_flow.has_value());
  EXPECT_EQ(spec.temperatures.envelope.powers.size(), 2u);
  EXPECT_EQ(spec.temperatures.envelope.hot_day, temperature::HotDay::Part23);
}

TEST(StarterStudy, CommentedReadingIsGoodWhenTakenIn) {
  const VariantSpec spec = parse_study(with_comments_from("# [reading_1]"), "starter.toml").variants.front();
  ASSERT_EQ(spec.readings.size(), 1u);
  const readings::Reading& reading = spec.readings.front();
  EXPECT_EQ(reading.head_bottom.size(), 4u);
  EXPECT_FALSE(reading.head_bottom.back().has_value());  // r2 was not read
  EXPECT_TRUE(reading.oil_hot.has_value());
  EXPECT_TRUE(reading.deck_pressure_difference.has_value());
  EXPECT_NEAR(reading.shaft_power, 70e3, 1e-6);
}

}  // namespace
