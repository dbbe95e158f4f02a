// SPDX-License-Identifier: GPL-3.0-or-later
//
// The verb on the invented log of tests/data: climb, 104 kt, 118 kt, 88 kt indicated, with a spike, a loose
// plug, a pause.
#include "cases/readings/reading.h"
#include "cases/starter.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <string>

namespace cowlwright::verbs {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::SizeIs;
using testing::ThrowsMessage;
using testing_support::text_of;

class ReadingsVerb : public testing::Test {
 protected:
  std::string map() const { return COWLWRIGHT_TEST_DATA "/readings/flight.toml"; }
  std::filesystem::path output() const { return folder_.path() / "out"; }

  testing_support::ScratchFolder folder_;
};

TEST_F(ReadingsVerb, WritesReportTablePlotAndReadings) {
  ASSERT_EQ(keep_readings({map(), "-o", output().string()}), 0);
  const std::vector<readings::Reading> found = readings::read_readings_file(output() / "readings.toml", 4);
  ASSERT_GE(found.size(), 3u);
  // 104 kt indicated at 4500 ft and 49 degF: density 1.0588 kg/m3, 104 / sqrt(0.8643) = 111.87 kt, a
  // thousandth less for compressibility. The log's noise of 0.6 kt leaves 0.05 kt in a mean over 150 samples.
  EXPECT_NEAR(found[0].true_airspeed / 0.5144444, 111.8, 0.2);
  EXPECT_NEAR(found[0].deck_pressure_difference->value / 249.08891, 6.35, 0.02);
  EXPECT_NEAR(found[0].shaft_power / 745.69987, 7.4 * 6.0 / 0.44, 0.3);
  // Sensor 3, the hottest with 360 degF, sits at r2.
  ASSERT_THAT(found[0].head_bottom, SizeIs(4));
  EXPECT_NEAR(1.8 * found[0].head_bottom[3]->value - 459.67, 360.0, 1.0);
  EXPECT_THAT(text_of(output() / "readings.md"),
              AllOf(HasSubstr("not an approval"),
                    HasSubstr("CHT 3: 1 spike"),
                    HasSubstr("CHT 2: 11 cells are empty"),
                    HasSubstr("1 gap in time"),
                    HasSubstr("carried to the hot day of 14 CFR 23.1043"),
                    HasSubstr("not stated")));
  EXPECT_THAT(text_of(output() / "readings.toml"), HasSubstr("# Readings of one flight, not an approval."));
  EXPECT_TRUE(std::filesystem::exists(output() / "readings.csv"));
  EXPECT_TRUE(std::filesystem::exists(output() / "readings.svg"));
}

TEST_F(ReadingsVerb, ShowsMarginsAndTheEstimateOfAStudy) {
  const auto study = folder_.write(
      "study.toml", starter_study_text() + "\n[limits]\nhead_bottom = \"435 degF\"\noil = \"245 degF\"\n");
  ASSERT_EQ(keep_readings({map(), "--study", study.string(), "-o", output().string()}), 0);
  EXPECT_THAT(text_of(output() / "readings.md"),
              AllOf(HasSubstr("| 435 degF |"),
                    HasSubstr("## Deck pressures beside the estimate"),
                    HasSubstr("## Each reading by the others")));
}

TEST_F(ReadingsVerb, WantsTheStudysEngine) {
  std::string text = starter_study_text();
  const std::string four = "cylinders = 4 ";
  text.replace(text.find(four), four.size(), "cylinders = 6 ");
  const auto study = folder_.write("six.toml", text);
  EXPECT_THAT(
      [&] {
        keep_readings({map(), "--study", study.string(), "-o", output().string()});
      },
      ThrowsMessage<base::InputError>(
          testing::AnyOf(HasSubstr("must be the same engine"), HasSubstr("six.toml"))));
  EXPECT_FALSE(std::filesystem::exists(output()));
}

TEST_F(ReadingsVerb, EndsWithAnErrorWhenNothingIsSteady) {
  std::string text = base::read_text(map());
  text.replace(text.find("4.9 kt"), 6, "0.5 kt");
  const auto strict = folder_.write("strict.toml", text);
  std::filesystem::copy_file(COWLWRIGHT_TEST_DATA "/readings/flight.csv", folder_.path() / "flight.csv");
  EXPECT_THAT(
      [&] {
        keep_readings({strict.string(), "-o", output().string()});
      },
      ThrowsMessage<base::ResultError>(
          AllOf(HasSubstr("no steady segment in flight"), HasSubstr("[steady]"))));
  EXPECT_THAT(text_of(output() / "readings.md"),
              AllOf(HasSubstr("None was found"), HasSubstr("airspeed swings by")));
  EXPECT_FALSE(std::filesystem::exists(output() / "readings.toml"));
}

TEST_F(ReadingsVerb, NamesWhatIsMissing) {
  EXPECT_THAT([] { keep_readings({}); }, ThrowsMessage<base::InputError>(HasSubstr("LOG.toml is missing")));
  EXPECT_THAT([] { keep_readings({"none.toml"}); }, ThrowsMessage<base::InputError>(HasSubstr("none.toml")));
  EXPECT_EQ(keep_readings({"--help"}), 0);
}

}  // namespace
}  // namespace cowlwright::verbs
