// SPDX-License-Identifier: GPL-3.0-or-later
//
// The map of a log's columns, and every complaint about one.
#include "geometry/base/error.h"
#include "tests/unit/readings/synthetic_log.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using namespace cowlwright::readings;
using namespace cowlwright::readings::testing_support;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(LogMap, SaysWhatEachColumnIs) {
  const LogMap found = map();
  EXPECT_EQ(found.n_cylinders, 4);
  EXPECT_EQ(found.log_file, "flight.csv");
  EXPECT_EQ(found.source(), "climb and cruise, invented; engine monitor, checked in boiling water");
  ASSERT_EQ(found.columns.size(), 11u);  // four heads and seven more
  EXPECT_EQ(found.columns[0].column, "CHT1");
  EXPECT_EQ(found.columns[0].cylinder, 2);  // r1, behind l1 and l2
  EXPECT_EQ(found.columns[1].cylinder, 0);
  EXPECT_TRUE(found.has(Kind::IndicatedAirspeed));
  EXPECT_FALSE(found.has(Kind::TrueAirspeed));
  EXPECT_NEAR(*found.specific_consumption, 0.44 * 1.6896594e-7, 1e-14);
  EXPECT_NEAR(found.steady.temperature_rate * 60.0, 1.1111, 1e-4);  // 2 degF a minute
}

TEST(LogMap, ReadsTheRulesOfSteadiness) {
  const LogMap found =
      parse_log_map(map_text +
                        "[steady]\nshortest = \"3 min\"\nlongest = \"5 min\"\n"
                        "temperature_change_per_minute = \"1 degF\"\nairspeed_within = \"3 kt\"\n"
                        "rotational_speed_within = \"20 rpm\"\naltitude_within = \"100 ft\"\n"
                        "outside_temperature_within = \"1 K\"\nfuel_flow_within = \"5 %\"\n"
                        "stuck_after = \"2 min\"\n",
                    "map.toml");
  EXPECT_EQ(found.steady.length, 180.0);
  EXPECT_EQ(found.steady.longest, 300.0);
  EXPECT_NEAR(found.steady.temperature_rate, 1.0 / 1.8 / 60.0, 1e-15);
  EXPECT_NEAR(found.steady.airspeed, 3.0 * 0.514444, 1e-5);
  EXPECT_NEAR(found.steady.altitude, 30.48, 1e-12);
  EXPECT_EQ(found.steady.outside_temperature, 1.0);
  EXPECT_EQ(found.steady.fuel_flow, 0.05);
  EXPECT_EQ(found.steady.stuck_after, 120.0);
}

TEST(LogMap, LeavesASensorOut) {
  const LogMap found = parse_log_map(map_with("\"CHT2\", \"CHT3\"", "\"none\", \"CHT3\""), "map.toml");
  EXPECT_EQ(found.columns[1].column, "CHT3");
  EXPECT_EQ(found.columns[1].cylinder, 3);
}

TEST(LogMap, TellsEveryFaultOfAnEmptyOneInOneGo) {
  EXPECT_THAT([] { parse_log_map("", "map.toml"); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("[log] file is missing"),
                                                    HasSubstr("name is missing"),
                                                    HasSubstr("instrument is missing"),
                                                    HasSubstr("engine_cylinders is missing"),
                                                    HasSubstr("[columns] time is missing"),
                                                    HasSubstr("exactly one of true_airspeed"),
                                                    HasSubstr("exactly one of pressure_altitude"),
                                                    HasSubstr("outside_temperature is missing"),
                                                    HasSubstr("rotational_speed is missing"),
                                                    HasSubstr("nothing is measured"),
                                                    HasSubstr("the power is missing"))));
}

struct Bad {
  const char* from;
  const char* to;
  const char* complaint;
  const char* remedy;
};

class BadMap : public testing::TestWithParam<Bad> {};

TEST_P(BadMap, IsRefusedWithTheReason) {
  const std::string text = map_with(GetParam().from, GetParam().to);
  EXPECT_THAT([&] { parse_log_map(text, "map.toml"); },
              ThrowsMessage<base::InputError>(AllOf(
                  HasSubstr("map.toml:"), HasSubstr(GetParam().complaint), HasSubstr(GetParam().remedy))));
}

INSTANTIATE_TEST_SUITE_P(
    Each,
    BadMap,
    testing::Values(
        Bad{"engine_cylinders = 4",
            "engine_cylinders = 5",
            "engine_cylinders = 5: must be 4 or 6",
            "Correct it"},
        Bad{"\"r2\", \"l2\"]\n\n", "\"r2\", \"r1\"]\n\n", "cylinders names r1 twice", "once"},
        Bad{"\"r2\", \"l2\"]\n\n", "\"r2\", \"l3\"]\n\n", "cylinders = \"l3\"", "must be one of"},
        Bad{"cylinders = [\"r1\", \"l1\", \"r2\", \"l2\"]\n",
            "",
            "head_bottom needs [log] cylinders",
            "\"l1\", \"l2\", \"r1\", \"r2\""},
        Bad{"\"CHT3\", \"CHT4\"", "\"CHT3\"", "head_bottom has 3 columns: must have 4", "\"none\""},
        Bad{"oil_hot = \"Oil\"",
            "oil_hot = [\"Oil\", \"Oil2\"]",
            "oil_hot has 2 columns: must have one",
            "Choose one"},
        Bad{"oil_hot = \"Oil\"",
            "oil_hot = \"CHT1\"",
            "oil_hot names the column \"CHT1\", which head_bottom names already",
            "one thing"},
        Bad{"oil_hot = \"degF\"", "", "[units] oil_hot is missing", "one of K, degC, degF"},
        Bad{"oil_hot = \"degF\"",
            "oil_hot = \"deg F\"",
            "oil_hot = \"deg F\": must be one of",
            "Did you mean degF"},
        Bad{"oil_hot = \"Oil\"", "", "[units] oil_hot stands without [columns] oil_hot", "take it out"},
        Bad{"oil_hot = \"Oil\"",
            "oil_warm = \"Oil\"",
            "unknown key [columns] oil_warm",
            "Did you mean oil_hot"},
        Bad{"indicated_airspeed = \"IAS\"",
            "indicated_airspeed = \"IAS\"\ntrue_airspeed = \"TAS\"",
            "exactly one of true_airspeed",
            "Take the others out"},
        Bad{"pressure_altitude = \"Alt\"",
            "pressure_altitude = \"Alt\"\nindicated_altitude = \"Alt2\"",
            "exactly one of pressure_altitude, indicated_altitude",
            "Take one out"},
        Bad{"pressure_altitude = \"Alt\"",
            "indicated_altitude = \"Alt\"",
            "needs altimeter_setting",
            "29.92 inHg"},
        Bad{"[engine]\n",
            "[engine]\naltimeter_setting = \"29.92 inHg\"\n",
            "altimeter_setting belongs to indicated_altitude",
            "take it out"},
        Bad{"[engine]\n",
            "[engine]\nrotational_speed = \"2400 rpm\"\n",
            "rotational_speed is stated here and a column too",
            "Take one out"},
        Bad{"[engine]\n",
            "[engine]\nshaft_power = \"80 hp\"\n",
            "specific_consumption stands beside shaft_power",
            "Take one out"},
        Bad{"fuel_density = \"6 lb/gal\"\n", "", "fuel_density is missing", "6.0 lb/gal"},
        Bad{"fuel_volume_flow = \"FF\"",
            "fuel_flow = \"FF\"",
            "fuel_density belongs to [columns] fuel_volume_flow",
            "take it out"},
        Bad{"fuel_volume_flow = \"FF\"",
            "fuel_volume_flow = \"FF\"\nfuel_flow = \"FF2\"",
            "fuel_flow and fuel_volume_flow are both columns",
            "Take one out"},
        Bad{"specific_consumption = \"0.44 lb/(hp h)\"\n",
            "",
            "the power is missing",
            "shaft_power for the whole log"},
        Bad{"deck_pressure_difference = \"Deck\"",
            "deck_pressure_difference = \"Deck\"\ndeck_difference_as_airspeed = \"D2\"",
            "deck_difference_as_airspeed stands beside",
            "Take one out"},
        Bad{"[engine]\n",
            "[steady]\nshortest = \"10 min\"\nlongest = \"5 min\"\n[engine]\n",
            "longest = 300 s: must be at least shortest (600 s)",
            "Raise it"},
        Bad{"[engine]\n",
            "[steady]\nshortest = \"10 s\"\n[engine]\n",
            "shortest = \"10 s\"",
            "60 s to 1800 s"},
        Bad{"[engine]\n", "[motor]\n[engine]\n", "motor", "Known"}));

}  // namespace
