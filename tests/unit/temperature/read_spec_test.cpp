// SPDX-License-Identifier: GPL-3.0-or-later
//
// [limits], [fuel], [temperatures], [envelope]: what is read and every complaint.
#include "cases/temperature/spec.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using namespace cowlwright::temperature;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

struct Result {
  TemperatureSpec spec;
  std::vector<std::string> messages;
};

Result read(const std::string& text) {
  const base::StudyFile file = base::StudyFile::parse(text, "a.toml");
  base::Complaints complaints;
  Result result;
  result.spec = read_temperature_spec(file, {"base", {}}, {75e3, 272.0}, complaints);
  result.messages = complaints.messages();
  return result;
}

const std::string points = R"(
calibrated_airspeeds = ["70 kt", "90 kt"]
pressure_altitudes = ["0 ft", "5000 ft"]
)";

TEST(TemperatureSpec, WithoutSectionsNothingIsStated) {
  const Result r = read("");
  EXPECT_THAT(r.messages, IsEmpty());
  EXPECT_FALSE(r.spec.has_limit());
  EXPECT_FALSE(r.spec.envelope.present);
  EXPECT_FALSE(fuel_flow_at(r.spec.fuel, 75e3, 75e3).has_value());
}

TEST(TemperatureSpec, ReadsLimitsInKelvin) {
  const Result r = read("[limits]\nhead_bottom = \"420 degF\"\noil = \"118 degC\"\n");
  EXPECT_THAT(r.messages, IsEmpty());
  EXPECT_NEAR(*r.spec.limits[0], (420.0 + 459.67) / 1.8, 1e-9);
  EXPECT_FALSE(r.spec.limits[1].has_value());
  EXPECT_NEAR(*r.spec.oil_limit, 391.15, 1e-9);
}

TEST(TemperatureSpec, FuelFlowIsMassOrVolume) {
  // 1 kg/h; and 1 L/h of 0.72 kg/L.
  EXPECT_NEAR(*read("[fuel]\nfuel_flow = \"36 kg/h\"\n").spec.fuel.fuel_flow, 0.01, 1e-12);
  EXPECT_NEAR(
      *read("[fuel]\nfuel_flow = \"36 L/h\"\ndensity = \"0.72 kg/L\"\n").spec.fuel.fuel_flow, 0.0072, 1e-12);
}

TEST(TemperatureSpec, FuelFollowsThePowerInProportion) {
  const FuelSpec by_flow = read("[fuel]\nfuel_flow = \"36 kg/h\"\n").spec.fuel;
  EXPECT_NEAR(*fuel_flow_at(by_flow, 100e3, 50e3), 0.005, 1e-12);
  const FuelSpec by_work = read("[fuel]\nspecific_consumption = \"300 g/kWh\"\n").spec.fuel;
  EXPECT_NEAR(*fuel_flow_at(by_work, 100e3, 60e3), 0.3 * 60.0 / 3600.0, 1e-12);
}

TEST(TemperatureSpec, ComplainsOfFuelStatedTwiceAndOfWrongUnits) {
  EXPECT_THAT(read("[fuel]\nfuel_flow = \"36 kg/h\"\nspecific_consumption = \"300 g/kWh\"\n").messages,
              ElementsAre(HasSubstr("[fuel] specific_consumption stands beside fuel_flow")));
  EXPECT_THAT(read("[fuel]\nfuel_flow = \"36 kt\"\n").messages,
              ElementsAre(AllOf(HasSubstr("fuel_flow"), HasSubstr("kt is a unit of speed"))));
  EXPECT_THAT(read("[fuel]\nfuel_flow = 36\n").messages, ElementsAre(HasSubstr("must be a text")));
  EXPECT_THAT(read("[fuel]\nfuel_flow = \"3600 gal/h\"\n").messages,
              ElementsAre(HasSubstr("fuel of the whole engine")));
}

TEST(TemperatureSpec, ExponentsMayBeStated) {
  const Result r = read("[temperatures]\ncharge_exponent = 0.65\n");
  EXPECT_THAT(r.messages, IsEmpty());
  for (const Correlation& c : r.spec.correlations) {
    EXPECT_EQ(c.charge_exponent.value, 0.65);
    EXPECT_EQ(c.charge_exponent.source, "stated in the study");
    EXPECT_EQ(c.cooling_exponent.value, 0.33);
  }
}

TEST(TemperatureSpec, CoolerPointIsAllOrNothingAndPossible) {
  EXPECT_THAT(read("[temperatures]\ncooler_heat = \"6 kW\"\n").messages,
              ElementsAre(HasSubstr("cooler_air_flow and cooler_temperature_difference together")));
  const std::string rest = "cooler_air_flow = \"0.1 kg/s\"\ncooler_temperature_difference = \"50 K\"\n";
  EXPECT_THAT(read("[temperatures]\ncooler_heat = \"6 kW\"\n" + rest).messages,
              ElementsAre(AllOf(HasSubstr("cooler_heat = 6000 W"), HasSubstr("must be below 5023 W"))));
  EXPECT_TRUE(read("[temperatures]\ncooler_heat = \"4 kW\"\n" + rest).spec.cooler.has_value());
}

TEST(EnvelopeSpec, TakesStandardAndHotDayAndTheStudysPowerByDefault) {
  const Result r = read("[envelope]" + points);
  EXPECT_THAT(r.messages, IsEmpty());
  const EnvelopeSpec& e = r.spec.envelope;
  ASSERT_EQ(e.days.size(), 2u);
  EXPECT_EQ(e.days[1].kind, DayKind::Hot);
  ASSERT_EQ(e.powers.size(), 1u);
  EXPECT_EQ(e.powers[0].shaft_power, 75e3);
  EXPECT_EQ(e.powers[0].name, "75 kW");
  EXPECT_TRUE(e.speeds_are_calibrated);
}

TEST(EnvelopeSpec, ReadsDaysPowersNamesAndFuel) {
  const Result r = read("[envelope]" + points + R"(
days = ["hot", "35 degC"]
method = "regulation"
hot_day = "CS 22.1047"
shaft_powers = ["90 kW", "60 kW"]
rotational_speeds = ["2700 rpm", "2400 rpm"]
fuel_flows = ["30 L/h", "14 kg/h"]
power_names = ["climb", "cruise"]
stall_speed = "50 kt"
)");
  EXPECT_THAT(r.messages, IsEmpty());
  const EnvelopeSpec& e = r.spec.envelope;
  EXPECT_NEAR(e.days[1].temperature, 308.15, 1e-9);
  EXPECT_EQ(e.days[1].name, "35 degC");
  EXPECT_EQ(e.method, Method::Regulation);
  EXPECT_EQ(e.hot_day, HotDay::Cs22);
  EXPECT_EQ(e.powers[0].name, "climb");
  EXPECT_NEAR(*e.powers[0].fuel_flow, 30e-3 / 3600.0 * 719.0, 1e-9);
  EXPECT_NEAR(*e.powers[1].fuel_flow, 14.0 / 3600.0, 1e-9);
}

TEST(EnvelopeSpec, NamesAllItsFaultsInOneGo) {
  EXPECT_THAT(read("[envelope]\n").messages,
              testing::UnorderedElementsAre(HasSubstr("true_airspeeds and calibrated_airspeeds"),
                                            HasSubstr("needs pressure_altitudes")));
  EXPECT_THAT(read(R"([envelope]
true_airspeeds = ["90 kt", "70 kt"]
incidences = ["2 deg"]
pressure_altitudes = ["0 ft", "0 ft"]
days = ["warm", "200 degC"]
shaft_powers = ["90 kW", "60 kW"]
rotational_speeds = ["2700 rpm"]
fuel_flows = ["9 kt", "5000 kg/h"]
power_names = ["climb"]
)")
                  .messages,
              testing::UnorderedElementsAre(
                  HasSubstr("true_airspeeds must rise"),
                  HasSubstr("incidences has 1 values: must have one for each of the 2 airspeeds"),
                  HasSubstr("pressure_altitudes must rise"),
                  HasSubstr("days = \"warm\": must be \"standard\", \"hot\""),
                  HasSubstr("days = \"200 degC\": must be from -70 degC to 60 degC"),
                  HasSubstr("rotational_speeds has 1 values: must have one for each of the 2 shaft_powers"),
                  AllOf(HasSubstr("fuel_flows = \"9 kt\""), HasSubstr("unit of speed")),
                  HasSubstr("fuel_flows = \"5000 kg/h\" (1.389 kg/s): must be from 1e-05 to 0.1 kg/s"),
                  HasSubstr("power_names has 1 values")));
}

TEST(EnvelopeSpec, ListsOfPowersNeedThePowers) {
  EXPECT_THAT(read("[envelope]" + points + "power_names = [\"climb\"]\n").messages,
              ElementsAre(HasSubstr("power_names belongs to shaft_powers")));
}

}  // namespace
