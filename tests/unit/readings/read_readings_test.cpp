// SPDX-License-Identifier: GPL-3.0-or-later
//
// Readings of flight from text and back, and every complaint that a section can cause.
#include "cases/readings/reading.h"
#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright;
using readings::Measured;
using readings::Reading;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using testing::StartsWith;
using testing::ThrowsMessage;

struct Result {
  std::vector<Reading> readings;
  std::vector<std::string> complaints;
};

Result read_text(const std::string& text, int n_cylinders = 4, const std::string& name = "a.toml") {
  const base::StudyFile file = base::StudyFile::parse(text, name);
  const base::Variant variant{"base", {}};
  base::Complaints complaints;
  Result result;
  result.readings = readings::read_readings(file, variant, n_cylinders, complaints);
  result.complaints = complaints.messages();
  return result;
}

const std::string condition =
    "source = \"own flight, invented\"\ntrue_airspeed = \"100 kt\"\npressure_altitude = \"5000 ft\"\n"
    "outside_temperature = \"50 degF\"\nrotational_speed = \"2500 rpm\"\n";
const std::string power = "shaft_power = \"80 kW\"\n";
const std::string heads =
    "cylinders = [\"r1\", \"l1\", \"r2\", \"l2\"]\nhead_bottom = [\"410 degF\", \"360 degF\", \"none\", "
    "\"380 degF\"]\n";

/// One section [reading_1] with these lines behind a sound condition.
Result read_one(const std::string& lines) {
  return read_text("[reading_1]\n" + condition + lines);
}

TEST(Readings, PutsEachValueAtItsCylinder) {
  const Result result =
      read_one(power + heads +
               "head_bottom_scatter = [\"1 K\", \"2 K\", \"none\", \"3 K\"]\noil_hot = \"200 degF\"\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  ASSERT_THAT(result.readings, SizeIs(1));
  const Reading& reading = result.readings[0];
  EXPECT_EQ(reading.name, "reading_1");
  EXPECT_EQ(reading.source, "own flight, invented");
  ASSERT_THAT(reading.head_bottom, SizeIs(4));
  EXPECT_NEAR(reading.head_bottom[0]->value, 455.372, 1e-3);  // 360 degF, l1
  EXPECT_EQ(reading.head_bottom[0]->scatter, 2.0);
  EXPECT_NEAR(reading.head_bottom[1]->value, 466.483, 1e-3);  // 380 degF, l2
  EXPECT_NEAR(reading.head_bottom[2]->value, 483.15, 1e-3);   // 410 degF, r1
  EXPECT_FALSE(reading.head_bottom[3].has_value());
  EXPECT_THAT(reading.barrel, IsEmpty());
  EXPECT_NEAR(reading.oil_hot->value, 366.483, 1e-3);
  EXPECT_NEAR(reading.air.pressure, 84307.3, 0.05);  // ISO 2533 at 5000 ft
  EXPECT_NEAR(reading.air.temperature, 283.15, 1e-9);
}

TEST(Readings, MayKnowOneCylinderOnly) {
  const Result result = read_one(power + "cylinders = [\"r2\"]\nunder_plug = \"400 degF\"\n");
  EXPECT_THAT(result.complaints, IsEmpty());
  ASSERT_THAT(result.readings[0].under_plug, SizeIs(4));
  EXPECT_FALSE(result.readings[0].under_plug[2].has_value());
  EXPECT_TRUE(result.readings[0].under_plug[3].has_value());
}

TEST(Readings, TakesPowerFromFuel) {
  // 48.6 lb/h over 0.45 lb/(hp h) is 108 hp; 8.1 gal/h of 6 lb/gal is 48.6 lb/h.
  for (const char* fuel :
       {"fuel_flow = \"48.6 lb/h\"\n", "fuel_volume_flow = \"8.1 gal/h\"\nfuel_density = \"6 lb/gal\"\n"}) {
    const Result result = read_one(std::string(fuel) + "specific_consumption = \"0.45 lb/(hp h)\"\n" + heads);
    EXPECT_THAT(result.complaints, IsEmpty());
    EXPECT_NEAR(result.readings[0].shaft_power, 108.0 * 745.69987, 0.1);
    EXPECT_NEAR(*result.readings[0].fuel_flow, 48.6 * 0.45359237 / 3600.0, 1e-9);
  }
}

TEST(Readings, TakesDeckPressuresInManyWays) {
  EXPECT_NEAR(read_one(power + "deck_pressure_difference = \"6 inH2O\"\n")
                  .readings[0]
                  .deck_pressure_difference->value,
              1494.53,
              0.01);
  EXPECT_NEAR(read_one(power + "deck_pressure_difference = \"150 mmH2O\"\n")
                  .readings[0]
                  .deck_pressure_difference->value,
              1471.0,
              0.01);
  // 60 kt on an airspeed indicator: 0.5 * 1.225 * 30.8667² = 583.56 Pa, and M²/4 = 0.21 % on top.
  EXPECT_NEAR(read_one(power + "deck_difference_as_airspeed = \"60 kt\"\n")
                  .readings[0]
                  .deck_pressure_difference->value,
              584.76,
              0.05);
  const Result taps = read_one(power +
                               "upper_deck_pressure = \"1200 Pa\"\nupper_deck_pressure_scatter = \"3 Pa\"\n"
                               "lower_deck_pressure = \"-100 Pa\"\nlower_deck_pressure_scatter = \"4 Pa\"\n");
  EXPECT_THAT(taps.complaints, IsEmpty());
  EXPECT_EQ(taps.readings[0].deck_pressure_difference->value, 1300.0);
  EXPECT_EQ(taps.readings[0].deck_pressure_difference->scatter, 5.0);  // 3-4-5
}

TEST(Readings, TellsEveryFaultInOneGo) {
  const Result result = read_text(
      "[reading_1]\ntrue_airspeed = \"100 kt\"\npressure_altitude = \"5000 ft\"\n"
      "head_bottom = [\"410 degC\", \"360 degF\"]\noil_cold = \"1 degC\"\n");
  EXPECT_THAT(
      result.complaints,
      testing::UnorderedElementsAre(
          AllOf(HasSubstr("[reading_1] source is missing"), HasSubstr("which instrument")),
          HasSubstr("exactly two of pressure_altitude"),
          AllOf(HasSubstr("shaft_power is missing"), HasSubstr("\"80 hp\"")),
          HasSubstr("rotational_speed is missing"),
          AllOf(HasSubstr("head_bottom = \"410 degC\""), HasSubstr("at most 350 degC")),
          AllOf(HasSubstr("cylinders is missing"), HasSubstr("cylinders = [\"l1\", \"l2\", \"r1\", \"r2\"]")),
          AllOf(HasSubstr("unknown key [reading_1] oil_cold"), HasSubstr("oil_cooled"))));
}

struct Bad {
  const char* lines;
  const char* complaint;
  const char* remedy;
};

class BadReading : public testing::TestWithParam<Bad> {};

TEST_P(BadReading, IsRefusedWithTheReason) {
  const Result result = read_one(GetParam().lines);
  EXPECT_THAT(result.complaints,
              testing::Contains(AllOf(
                  StartsWith("a.toml:"), HasSubstr(GetParam().complaint), HasSubstr(GetParam().remedy))));
}

INSTANTIATE_TEST_SUITE_P(
    Each,
    BadReading,
    testing::Values(
        Bad{"shaft_power = \"80 kW\"\n", "holds nothing measured", "Add head_bottom"},
        Bad{"shaft_power = \"80 kW\"\ncylinders = [\"l1\", \"l1\"]\nbarrel = [\"90 degC\", \"91 degC\"]\n",
            "cylinders names l1 twice",
            "once"},
        Bad{"shaft_power = \"80 kW\"\ncylinders = [\"l1\", \"l3\"]\nbarrel = [\"90 degC\", \"91 degC\"]\n",
            "cylinders = \"l3\"",
            "one of \"l1\""},
        Bad{"shaft_power = \"80 kW\"\ncylinders = [\"l1\", \"l2\"]\nbarrel = [\"90 degC\"]\n",
            "barrel has 1 values: must have 2",
            "\"none\""},
        Bad{"shaft_power = \"80 kW\"\ncylinders = [\"l1\"]\nbarrel = [\"none\"]\n",
            "barrel holds nothing but \"none\"",
            "Leave the key out"},
        Bad{"shaft_power = \"80 kW\"\ncylinders = [\"l1\"]\noil_hot = \"90 degC\"\n",
            "cylinders stands without a list",
            "take it out"},
        Bad{"shaft_power = \"80 kW\"\nbarrel_scatter = [\"1 K\"]\noil_hot = \"90 degC\"\n",
            "barrel_scatter stands without barrel",
            "take it out"},
        Bad{"shaft_power = \"80 kW\"\noil_hot_scatter = \"1 K\"\noil_cooled = \"90 degC\"\n",
            "oil_hot_scatter stands without oil_hot",
            "take it out"},
        Bad{"shaft_power = \"80 kW\"\noil_hot = \"90 degC\"\noil_cooled = \"95 degC\"\n",
            "oil_cooled = 95.0 degC: must be below oil_hot (90.0 degC)",
            "which is which"},
        Bad{"shaft_power = \"80 kW\"\noil_hot = \"9 degC\"\n",
            "oil_hot = 9.0 degC: must be above the outside air (10.0 degC)",
            "units"},
        Bad{"shaft_power = \"80 kW\"\ncylinders = [\"l1\"]\nhead_bottom = [\"9 degC\"]\n",
            "head_bottom = 9.0 degC: must be above the outside air",
            "units"},
        Bad{"shaft_power = \"80 kW\"\nspecific_consumption = \"300 g/kWh\"\n",
            "specific_consumption stands beside shaft_power",
            "Take one out"},
        Bad{"specific_consumption = \"300 g/kWh\"\n",
            "shaft_power is missing",
            "fuel_flow and specific_consumption"},
        Bad{"shaft_power = \"80 kW\"\nfuel_flow = \"20 kg/h\"\nfuel_volume_flow = \"30 L/h\"\n",
            "fuel_volume_flow stands beside fuel_flow",
            "exactly one"},
        Bad{"shaft_power = \"80 kW\"\nfuel_volume_flow = \"30 L/h\"\n",
            "fuel_volume_flow needs fuel_density",
            "6.0 lb/gal"},
        Bad{"shaft_power = \"80 kW\"\nfuel_density = \"0.72 kg/L\"\n",
            "fuel_density belongs to fuel_volume_flow",
            "take it out"},
        Bad{"shaft_power = \"80 kW\"\nstatic_pressure = \"843 hPa\"\n",
            "pressure_altitude stands beside static_pressure",
            "Take one out"},
        Bad{"shaft_power = \"80 kW\"\ncalibrated_airspeed = \"90 kt\"\n",
            "calibrated_airspeed stands beside true_airspeed",
            "exactly one"},
        Bad{"shaft_power = \"80 kW\"\ndeck_pressure_difference = \"6 inH2O\"\ndeck_difference_as_airspeed = "
            "\"60 kt\"\n",
            "deck_difference_as_airspeed stands beside deck_pressure_difference",
            "exactly one"},
        Bad{"shaft_power = \"80 kW\"\ndeck_pressure_difference = \"1200 Pa\"\nupper_deck_pressure = \"1500 "
            "Pa\"\nlower_deck_pressure = \"100 Pa\"\n",
            "deck_pressure_difference = 1200 Pa contradicts upper_deck_pressure - lower_deck_pressure = 1400 "
            "Pa",
            "within 70 Pa"},
        Bad{"shaft_power = \"80 kW\"\ndeck_pressure_difference = \"nan Pa\"\n",
            "not a finite number",
            "deck_pressure_difference"}));

/// Every number of the text is the shortest that gives the same double back, so equal texts are equal
/// numbers.
void expect_same(const Reading& a, const Reading& b) {
  EXPECT_EQ(readings::readings_toml({a}), readings::readings_toml({b}));
  EXPECT_EQ(a.air.density, b.air.density);
  EXPECT_EQ(a.true_airspeed, b.true_airspeed);
  EXPECT_EQ(a.head_bottom, b.head_bottom);
  EXPECT_EQ(a.oil_hot, b.oil_hot);
  EXPECT_EQ(a.deck_pressure_difference, b.deck_pressure_difference);
}

/// Numbers without a short decimal form, holes and a name that needs escapes.
std::vector<Reading> awkward() {
  Reading reading;
  reading.name = "reading_3";
  reading.source = "a \"quoted\" name \\ tab\t, n\xC2\xB0 3";
  reading.true_airspeed = 100.0 / 1.9438444924406048;
  reading.air.pressure = 84307.3 / 3.0 * 2.9;
  reading.air.temperature = 283.15 + 1.0 / 3.0;
  reading.air.density = reading.air.pressure / (base::air::gas_constant * reading.air.temperature);
  reading.incidence = 0.1 / 3.0;
  reading.shaft_power = 1e5 / 7.0;
  reading.rotational_speed = 2500.0 * std::acos(-1.0) / 30.0;
  reading.fuel_flow = 0.005 / 3.0;
  reading.head_bottom = {
      Measured{455.0 + 1.0 / 3.0, 1.0 / 7.0}, std::nullopt, Measured{460.1, 0.0}, Measured{470.0, 0.3}};
  reading.under_plug = {std::nullopt, std::nullopt, Measured{480.7, 0.0}, std::nullopt};
  reading.barrel = {Measured{400.1, 0.0}, Measured{400.2, 0.0}, Measured{400.3, 0.0}, Measured{400.4, 0.0}};
  reading.oil_hot = Measured{370.0 / 1.0001, 0.01 / 3.0};
  reading.oil_cooled = Measured{350.0 / 1.0001, 0.0};
  reading.deck_pressure_difference = Measured{1400.0 / 3.0, 0.7};
  reading.upper_deck_pressure = Measured{1400.0 / 3.0 - 100.0, 0.7};
  reading.lower_deck_pressure = Measured{-100.0, 0.0};
  Reading shorter = reading;
  shorter.name = "reading_9";
  shorter.head_bottom.clear();
  shorter.under_plug.clear();
  shorter.barrel.clear();
  shorter.fuel_flow.reset();
  shorter.oil_cooled.reset();
  return {reading, shorter};
}

TEST(Readings, ComeBackFromTextExactly) {
  const std::vector<Reading> written = awkward();
  const std::string text = readings::readings_toml(written, {"Estimates.", "Invented."});
  EXPECT_THAT(text, StartsWith("# Estimates.\n# Invented.\n\n[reading_3]\n"));
  const Result result = read_text(text);
  EXPECT_THAT(result.complaints, IsEmpty());
  ASSERT_THAT(result.readings, SizeIs(2));
  expect_same(result.readings[0], written[0]);
  expect_same(result.readings[1], written[1]);
  EXPECT_EQ(readings::readings_toml(result.readings, {"Estimates.", "Invented."}), text);
}

TEST(Readings, AnyTwoOfTheAirComeBackExactlyToo) {
  const Result first = read_text(
      "[reading_1]\nsource = \"s\"\ncalibrated_airspeed = \"91.7 kt\"\ndensity_altitude = \"4321 "
      "ft\"\nisa_deviation = "
      "\"7.7 K\"\nrotational_speed = \"2431 rpm\"\n" +
      power + heads);
  EXPECT_THAT(first.complaints, IsEmpty());
  const Result second = read_text(readings::readings_toml(first.readings));
  ASSERT_THAT(second.readings, SizeIs(1));
  expect_same(second.readings[0], first.readings[0]);
}

TEST(Readings, StandInAFileOfTheirOwnWhenTheStudySaysSo) {
  const testing_support::ScratchFolder folder;
  folder.write("flights/mine.toml", "[reading_2]\n" + condition + power + heads);
  const std::string study = (folder.path() / "study.toml").string();
  const Result result = read_text("[readings]\nfile = \"flights/mine.toml\"\n", 4, study);
  EXPECT_THAT(result.complaints, IsEmpty());
  ASSERT_THAT(result.readings, SizeIs(1));
  EXPECT_EQ(result.readings[0].name, "reading_2");
  EXPECT_THAT(readings::read_readings_file(folder.path() / "flights/mine.toml", 4), SizeIs(1));

  EXPECT_THAT(read_text("[readings]\nfile = \"none.toml\"\n", 4, study).complaints,
              ElementsAre(AllOf(HasSubstr("[readings] file = \"none.toml\""), HasSubstr("none.toml"))));
  EXPECT_THAT(read_text("[readings]\n", 4, study).complaints,
              ElementsAre(HasSubstr("[readings] file is missing")));
  EXPECT_THAT(
      read_text(
          "[readings]\nfile = \"flights/mine.toml\"\n[reading_1]\n" + condition + power + heads, 4, study)
          .complaints,
      ElementsAre(AllOf(HasSubstr("stands beside [reading_1]"), HasSubstr("one place"))));
}

TEST(Readings, NameTheOtherFileInItsComplaints) {
  const testing_support::ScratchFolder folder;
  const auto bad = folder.write("bad.toml", "[reading_1]\n" + condition + heads + "[reading_10]\n");
  EXPECT_THAT([&] { readings::read_readings_file(bad, 4); },
              ThrowsMessage<base::InputError>(AllOf(
                  HasSubstr("bad.toml:1:1: [reading_1] shaft_power is missing"), HasSubstr("reading_10"))));
  const auto empty = folder.write("empty.toml", "");
  EXPECT_THAT([&] { readings::read_readings_file(empty, 4); },
              ThrowsMessage<base::InputError>(HasSubstr("holds no section [reading_1] to [reading_9]")));
}

}  // namespace
