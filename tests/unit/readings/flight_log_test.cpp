// SPDX-License-Identifier: GPL-3.0-or-later
//
// From text to columns, and what is said of every row or cell that is no good.
#include "geometry/base/error.h"
#include "tests/unit/readings/synthetic_log.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright;
using namespace cowlwright::readings;
using namespace cowlwright::readings::testing_support;
using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::ThrowsMessage;

const std::string small_map = R"toml([log]
file = "f.csv"
name = "n"
instrument = "i"
engine_cylinders = 4
cylinders = ["l1"]
[columns]
time = "t"
pressure_altitude = "alt"
true_airspeed = "v"
rotational_speed = "n"
outside_temperature = "oat"
head_bottom = "cht"
[units]
time = "s"
pressure_altitude = "ft"
true_airspeed = "kt"
rotational_speed = "rpm"
outside_temperature = "degF"
head_bottom = "degF"
[engine]
shaft_power = "80 hp"
)toml";

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  if (at == std::string::npos) throw std::logic_error("not there: " + from);
  return text.replace(at, from.size(), to);
}

FlightLog read(const std::string& text, const std::string& map = small_map) {
  return parse_flight_log(parse_log_map(map, "map.toml"), text, "f.csv");
}

const std::string small_header = "t,alt,v,n,oat,cht\n";

/// Twelve sound rows with times from `times` on, one each second.
std::string rows(int n = 12, int first = 0) {
  std::string text;
  for (int i = 0; i < n; ++i) text += fmt::format("{},1000,100,2400,59,{}\n", first + i, 360 + i);
  return text;
}

TEST(FlightLog, BringsColumnsToSi) {
  const FlightLog log = read(small_header + rows());
  EXPECT_THAT(log.findings, IsEmpty());
  ASSERT_EQ(log.time.size(), 12u);
  EXPECT_EQ(log.time[3], 3.0);
  EXPECT_EQ(log.line[3], 5u);
  EXPECT_NEAR(log.find(Kind::HeadBottom)->value[0], 455.372, 1e-3);         // 360 degF
  EXPECT_NEAR(log.find(Kind::PressureAltitude)->value[0], 304.8, 1e-9);     // 1000 ft
  EXPECT_NEAR(log.find(Kind::TrueAirspeed)->value[0], 51.44444, 1e-5);      // 100 kt
  EXPECT_NEAR(log.find(Kind::RotationalSpeed)->value[0], 251.32741, 1e-5);  // 2400 rpm
  EXPECT_EQ(log.find(Kind::Barrel), nullptr);
}

TEST(FlightLog, ReadsSemicolonsAndDecimalCommas) {
  std::string text = "t;alt;v;n;oat;cht\n";
  for (int i = 0; i < 12; ++i) text += fmt::format("{},5;1000;100,5;2400;59;360,5\n", i);
  const FlightLog log = read(text, replaced(small_map, "[columns]", "decimal = \",\"\n[columns]"));
  EXPECT_THAT(log.findings, IsEmpty());
  EXPECT_EQ(log.time[1], 1.5);
  EXPECT_NEAR(log.find(Kind::HeadBottom)->value[0], 455.65, 1e-3);
}

TEST(FlightLog, SkipsWhatIsNoRowAndSaysSo) {
  const FlightLog log =
      read("Engine monitor, invented\n\"x\n" + small_header + rows(6) + "\n# pause\n" + small_header +
           "1,2,3,4,5,6,7\n" + rows(20, 6) + "26,1000,100\n27,1000,100,2400,59,361,\n");
  EXPECT_EQ(log.time.size(), 28u);
  EXPECT_THAT(
      log.findings,
      testing::IsSupersetOf({HasSubstr("2 lines above the header, line 3: not read"),
                             HasSubstr("1 row without text: skipped (line 10)"),
                             HasSubstr("1 row of comment: skipped (line 11)"),
                             HasSubstr("1 row repeating the header: skipped (line 12)"),
                             HasSubstr("1 row with more cells than the header: skipped (line 13)"),
                             HasSubstr("1 row with fewer cells than the header: what is not there counts as "
                                       "missing (line 34)"),
                             HasSubstr("cht: 1 cell is empty (line 34): not filled in")}));
  EXPECT_TRUE(std::isnan(log.find(Kind::HeadBottom)->value[26]));
}

TEST(FlightLog, CountsTimesThatGoWrong) {
  const FlightLog log =
      read(small_header + rows(60) + "59,1,1,1,1,1\n30,1,1,1,1,1\nnoon,1,1,1,1,1\n12:00:00,1,1,1,1,1\n" +
           rows(3, 60));
  EXPECT_EQ(log.time.size(), 63u);
  EXPECT_THAT(
      log.findings,
      ElementsAre(HasSubstr("1 row without a readable time: skipped (line 64)"),
                  HasSubstr("1 row with a time written otherwise than in the first row: skipped (line 65)"),
                  HasSubstr("1 row repeating the time of the row above: skipped (line 62)"),
                  HasSubstr("1 row with a time before the row above: skipped (line 63)")));
}

TEST(FlightLog, GoesOnPastMidnight) {
  std::string text = small_header;
  for (int i = 0; i < 20; ++i) {
    const int s = (86400 - 10 + i) % 86400;
    text += fmt::format("{:02d}:{:02d}:{:02d},1000,100,2400,59,360\n", s / 3600, s / 60 % 60, s % 60);
  }
  const FlightLog log = read(text, replaced(small_map, "time = \"s\"\n", ""));
  ASSERT_EQ(log.time.size(), 20u);
  EXPECT_EQ(log.time.front(), 86390.0);
  EXPECT_EQ(log.time.back(), 86409.0);
  EXPECT_TRUE(log.has_time_of_day);
  EXPECT_THAT(log.findings, ElementsAre(HasSubstr("1 row past midnight: a day was added (line 12)")));
}

TEST(FlightLog, CountsCellsThatAreNoNumbers) {
  const FlightLog log = read(small_header + rows(10) + "10,1000,100,2400,59,---\n11,1000,100,2400,59,36O\n");
  EXPECT_THAT(log.findings,
              ElementsAre(HasSubstr("cht: 1 cell is empty (line 12)"),
                          AllOf(HasSubstr("cht: 1 cell is no number"), HasSubstr("(line 13): skipped"))));
}

TEST(FlightLog, ShowsFiveLinesOfMany) {
  std::string text = small_header + rows(10);
  for (int i = 10; i < 20; ++i) text += fmt::format("{},1000,100,2400,59,\n", i);
  EXPECT_THAT(read(text).findings,
              ElementsAre(HasSubstr("10 cells are empty (lines 12, 13, 14, 15, 16 and 5 more)")));
}

TEST(FlightLog, RefusesALogThatDoesNotFitItsMap) {
  EXPECT_THAT([] { read("t,alt,v,n,oat,chd\n" + rows()); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("f.csv:1: no column \"cht\""), HasSubstr("Did you mean chd?"))));
  EXPECT_THAT([] { read("t,alt,v,n,oat,cht,cht\n"); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("column \"cht\" stands there 2 times"), HasSubstr("Rename"))));
  EXPECT_THAT([] { read("1,2,3\n4,5,6\n"); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("f.csv: no header"), HasSubstr("separator"))));
  EXPECT_THAT([] { read(""); }, ThrowsMessage<base::InputError>(HasSubstr("no header")));
  EXPECT_THAT([] { read(small_header + rows(9)); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("9 rows with a time are left of 9"), HasSubstr("at least 10"))));
}

TEST(FlightLog, RefusesAClockThatWasSetBack) {
  EXPECT_THAT([] { read(small_header + rows(60) + rows(20)); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("20 of 80 rows have a time before"),
                                                    HasSubstr("lines 62, 63"),
                                                    HasSubstr("at most 5 %"))));
}

TEST(FlightLog, RefusesDecimalCommasBetweenCommas) {
  std::string text = small_header;
  for (int i = 0; i < 12; ++i) text += fmt::format("{},1000,100,2400,59,360,5\n", i);
  EXPECT_THAT([&] { read(text); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("12 of 12 rows have more cells"), HasSubstr("decimal"))));
}

TEST(FlightLog, WantsTheUnitOfPlainTimesAndNoOther) {
  EXPECT_THAT([] { read(small_header + rows(), replaced(small_map, "time = \"s\"\n", "")); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("f.csv:2: the times are plain numbers"), HasSubstr("[units] time"))));
  EXPECT_THAT(
      [] { read(small_header + "12:00:00,1000,100,2400,59,360\n"); },
      ThrowsMessage<base::InputError>(HasSubstr("no plain numbers, so [units] time = \"s\" says nothing")));
}

}  // namespace
