// SPDX-License-Identifier: GPL-3.0-or-later
//
// Screening and steady segments on logs whose every value is known.
#include "cases/readings/segments.h"

#include "cases/readings/log_plot.h"
#include "cases/readings/log_report.h"
#include "cases/readings/screening.h"
#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"
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
using testing::Not;
using testing::SizeIs;
using testing::ThrowsMessage;

FlightLog screened(const std::string& text, const LogMap& with = map()) {
  return screen(with, parse_flight_log(with, text, "flight.csv"));
}

double fahrenheit(double kelvin) {
  return 1.8 * kelvin - 459.67;
}

TEST(Trend, AgreesWithALineByHand) {
  const std::vector<double> time{10.0, 11.0, 12.0, 13.0};
  const Trend line = trend(time, std::vector<double>{1.0, 3.0, 5.0, 7.0});
  EXPECT_DOUBLE_EQ(line.slope, 2.0);
  EXPECT_DOUBLE_EQ(line.mean, 4.0);
  EXPECT_NEAR(line.scatter, std::sqrt(20.0 / 3.0), 1e-12);  // 9 + 1 + 1 + 9
  EXPECT_NEAR(line.slope_error, 0.0, 1e-7);
  // Residuals 0.5, -0.5, -0.5, 0.5 to slope 0: s² = 1/2, sum of t² = 5.
  EXPECT_NEAR(trend(time, std::vector<double>{1.0, 0.0, 0.0, 1.0}).slope_error, std::sqrt(0.5 / 5.0), 1e-12);
  const double nan = std::nan("");
  EXPECT_EQ(trend(time, std::vector<double>{nan, 3.0, nan, nan}).n, 1u);
  EXPECT_TRUE(std::isinf(trend(time, std::vector<double>{1.0, nan, nan, 2.0}).slope_error));
}

TEST(Screening, LeavesASoundLogAlone) {
  EXPECT_THAT(screened(log_text()).findings, IsEmpty());
}

TEST(Screening, FindsAUnitThatIsAnother) {
  // 340 to 370 degF are 171 to 188 degC. Written as degC and said to be degF, and the other way round.
  const auto to_celsius = [](Moment& m) {
    for (double& head : m.heads) head = (head - 32.0) / 1.8;
  };
  EXPECT_THAT([&] { screened(log_text(600.0, 0.0, to_celsius)); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("CHT1: "),
                                                    HasSubstr("CHT4: "),
                                                    HasSubstr("as degC it would be usual"),
                                                    HasSubstr("units_are_checked = true"))));
  const LogMap celsius =
      parse_log_map(map_with("head_bottom = \"degF\"", "head_bottom = \"degC\""), "map.toml");
  EXPECT_THAT([&] { screened(log_text(600.0, 0.0), celsius); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("CHT1"), HasSubstr("As degF they would be plausible"))));
  const auto cool = [](Moment& m) {
    for (double& head : m.heads) head = 280.0;
  };
  EXPECT_THAT(
      [&] { screened(log_text(600.0, 0.0, cool), celsius); },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr("CHT1"), HasSubstr("as degF it would be usual"))));
  const LogMap checked =
      parse_log_map(map_with("[columns]", "units_are_checked = true\n[columns]"), "map.toml");
  EXPECT_THAT(screened(log_text(600.0, 0.0, to_celsius), checked).findings, IsEmpty());
}

TEST(Screening, FindsOutsideAirOfAnotherUnit) {
  const LogMap celsius =
      parse_log_map(map_with("outside_temperature = \"degF\"", "outside_temperature = \"degC\""), "map.toml");
  EXPECT_THAT([&] { screened(log_text(600.0, 0.0), celsius); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("OAT: the outside air is +45 K"), HasSubstr("units_are_checked"))));
}

TEST(Screening, RefusesValuesThatNoEngineHas) {
  const FlightLog log = screened(log_text(600.0, 0.0, [](Moment& m) {
    if (m.time == 300.0 || m.time == 301.0) m.heads[2] = 1999.0;
  }));
  EXPECT_THAT(
      log.findings,
      ElementsAre(AllOf(HasSubstr("CHT3: 2 values outside -40 degF to 662 degF (lines 302, 303): refused"))));
  EXPECT_TRUE(std::isnan(log.channels[2].value[300]));
  EXPECT_FALSE(std::isnan(log.channels[2].value[302]));
  EXPECT_THAT([] { screened(log_text(600.0, 0.0, [](Moment& m) { m.oil = 5000.0; })); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("Oil: 600 of 600 values are outside"), HasSubstr("Check the column"))));
}

TEST(Screening, FindsSpikes) {
  const FlightLog log = screened(log_text(600.0, 0.5, [](Moment& m) {
    if (m.time == 400.0) m.heads[0] += 60.0;
    if (m.time == 450.0) m.deck += 10.0;
  }));
  EXPECT_THAT(log.findings,
              ElementsAre(AllOf(HasSubstr("CHT1: 1 spike is more than 19.8 degF away"),
                                HasSubstr("(line 402): refused")),
                          AllOf(HasSubstr("Deck: 1 spike"), HasSubstr("(line 452): refused"))));
  EXPECT_TRUE(std::isnan(log.channels[0].value[400]));
}

TEST(Screening, FindsASensorThatIsStuckWhileOthersMove) {
  const FlightLog log = screened(log_text(900.0, 0.5, [](Moment& m) {
    if (m.time >= 100.0 && m.time < 500.0) m.heads[3] = 400.0;
    m.oil = 190.0;
  }));
  EXPECT_THAT(log.findings,
              Contains(AllOf(HasSubstr("CHT4: stuck at 400 degF for 399 s (lines 102 to 501)"),
                             HasSubstr("refused"))));
  EXPECT_TRUE(std::isnan(log.channels[3].value[300]));
  // The oil rests at 190 degF all the time, while the heads move.
  EXPECT_THAT(log.findings, Contains(HasSubstr("Oil: stuck at 190 degF")));
}

TEST(Screening, LetsAllSensorsRestTogether) {
  const std::string text = log_text(1200.0, 0.0, [](Moment& m) {
    for (double& head : m.heads) head = 350.0;
  });
  EXPECT_THAT(screened(text).findings, IsEmpty());
}

/// The flight with noise.
std::string sound_log(
    double seconds = 2100.0, const std::function<void(Moment&)>& change = [](Moment&) {}) {
  return log_text(seconds, 0.5, change);
}

TEST(Segments, AreFoundWhereTheFlightIsSteady) {
  const LogMap with = map();
  const Segments segments = steady_segments(with, screened(sound_log()));
  EXPECT_THAT(segments.findings, IsEmpty());
  ASSERT_THAT(segments.found, SizeIs(4));
  // A straight line by least squares through A exp(-u) over u = 0 to 2 (120 s at a time constant of 60 s) has
  // the slope 1.5 A times the integral of (u - 1) exp(-u), which is -2 exp(-2): -0.406 A a minute. With A =
  // 60 degF exp(-x) that is 2 degF a minute at x = ln(60 * 0.406 / 2) = 2.50, 390 s; after the step with 30
  // degF at x = 1.81, 1308 s. Windows are tried every 6 s, and the noise leaves 0.05 degF a minute in a
  // slope, which is 1.4 s.
  EXPECT_NEAR(segments.found[0].begin, 390.0 + 3.0, 3.0 + 3.0 * 1.4);
  EXPECT_NEAR(segments.found[0].end - segments.found[0].begin,
              600.0,
              7.0);                                 // the longest, less at most one hop of 6 s
  EXPECT_NEAR(segments.found[1].end, 1199.0, 6.0);  // up to the step
  EXPECT_NEAR(segments.found[2].begin, 1308.4 + 3.0, 3.0 + 3.0 * 1.4);
  EXPECT_NEAR(segments.found[3].end, 2099.0, 6.0);
}

TEST(Segments, HoldWhatWasFlown) {
  const LogMap with = map();
  const Segments segments = steady_segments(with, screened(sound_log()));
  const Segment& cruise = segments.found.at(1);
  const Reading& reading = cruise.reading;
  // Sensors 1 to 4 are at r1, l1, r2, l2. Noise of +-0.5 degF over 190 samples leaves 0.02 degF; 0.1 is five
  // of that.
  ASSERT_THAT(reading.head_bottom, SizeIs(4));
  EXPECT_NEAR(fahrenheit(reading.head_bottom[2]->value), 340.0, 0.1);
  EXPECT_NEAR(fahrenheit(reading.head_bottom[0]->value), 350.0, 0.1);
  EXPECT_NEAR(fahrenheit(reading.head_bottom[3]->value), 360.0, 0.1);
  EXPECT_NEAR(fahrenheit(reading.head_bottom[1]->value), 370.0, 0.1);
  // An even spread over +-0.5 has a standard deviation of 1/sqrt(12) = 0.289 degF.
  EXPECT_NEAR(1.8 * reading.head_bottom[2]->scatter, 0.289, 0.04);
  EXPECT_NEAR(fahrenheit(reading.oil_hot->value), 190.1, 0.01);
  EXPECT_NEAR(reading.deck_pressure_difference->value, 6.0 * 249.08891, 0.01);
  EXPECT_NEAR(cruise.pressure_altitude, 1524.0, 1e-6);
  // 84307.3 Pa and 283.15 K: 1.03725 kg/m3, 0.84673 of sea level: 5576 ft.
  EXPECT_NEAR(cruise.density_altitude / 0.3048, 5576.0, 2.0);
  // 105 kt / sqrt(0.84673) = 114.11 kt, less 0.064 % for compressibility.
  EXPECT_NEAR(reading.true_airspeed / 0.5144444, 114.03, 0.1);
  // 7 gal/h of 6 lb/gal at 0.44 lb/(hp h): 95.45 hp.
  EXPECT_NEAR(reading.shaft_power / 745.69987, 95.4545, 1e-3);
  EXPECT_NEAR(*reading.fuel_flow, 42.0 * 0.45359237 / 3600.0, 1e-9);
  EXPECT_NEAR(reading.rotational_speed, 251.32741, 1e-5);
  EXPECT_NEAR(cruise.dynamic_pressure, 0.5 * reading.air.density * std::pow(reading.true_airspeed, 2), 1e-9);
}

TEST(Segments, DoNotSpanAGap) {
  std::string text = sound_log(1100.0);
  const auto from = text.find("\n600,");
  const auto to = text.find("\n640,");
  text.erase(from, to - from);
  const FlightLog log = screened(text);
  EXPECT_THAT(log.findings,
              Contains(AllOf(HasSubstr("1 gap in time, the longest of 41 s (behind line 601)"))));
  const Segments segments = steady_segments(map(), log);
  ASSERT_THAT(segments.found, SizeIs(2));
  EXPECT_LE(segments.found[0].end, 599.0);
  EXPECT_GE(segments.found[1].begin, 640.0);
}

TEST(Segments, LeaveASensorOutThatIsMissingThere) {
  std::string text = sound_log(1100.0, [](Moment& m) {
    if (m.time > 500.0 && std::fmod(m.time, 3.0) < 2.0) m.heads[1] = -999.0;
  });
  const Segments segments = steady_segments(map(), screened(text));
  ASSERT_FALSE(segments.found.empty());
  const Segment& last = segments.found.back();
  EXPECT_FALSE(last.reading.head_bottom[0].has_value());  // sensor 2 sits at l1
  EXPECT_TRUE(last.reading.head_bottom[1].has_value());
  EXPECT_THAT(last.left_out, ElementsAre(AllOf(HasSubstr("CHT2: "), HasSubstr("samples"))));
}

TEST(Segments, LeaveTheGroundOut) {
  const Segments segments =
      steady_segments(map(), screened(sound_log(1100.0, [](Moment& m) { m.speed = 0.0; })));
  EXPECT_THAT(segments.found, IsEmpty());
  EXPECT_THAT(segments.findings, Contains(HasSubstr("on the ground (below 20 m/s, 39 kt): left out")));
}

TEST(Segments, SayWhatCameNearestWhenNothingIsSteady) {
  const auto rising = [](Moment& m) {
    m.heads = {350.0 + 0.05 * m.time, 350.0, 350.0, 350.0};  // 3 degF a minute
    m.altitude = 5000.0;
    m.speed = 105.0;
    m.shaft = 2400.0;
    m.fuel = 7.0;
    m.heads[1] += std::fmod(m.time, 2.0);
    m.heads[2] += std::fmod(m.time, 2.0);
    m.heads[3] += std::fmod(m.time, 2.0);
  };
  const Segments segments = steady_segments(map(), screened(log_text(600.0, 0.0, rising)));
  EXPECT_THAT(segments.found, IsEmpty());
  EXPECT_THAT(segments.findings,
              ElementsAre(AllOf(HasSubstr("nothing steady in flight"),
                                HasSubstr("CHT1 changes by 3.00 +-"),
                                HasSubstr("limit 2.00"))));
  const LogMap lenient =
      parse_log_map(map_text + "[steady]\ntemperature_change_per_minute = \"3.5 degF\"\n", "map.toml");
  EXPECT_THAT(steady_segments(lenient, screened(log_text(600.0, 0.0, rising), lenient)).found,
              Not(IsEmpty()));
}

struct Held {
  const char* what;
  std::function<void(Moment&)> change;
};

TEST(Segments, WantEveryHeldQuantityHeld) {
  const std::vector<Held> cases{
      {"airspeed", [](Moment& m) { m.speed = 105.0 + 6.0 * std::sin(m.time / 10.0); }},
      {"rotational speed", [](Moment& m) { m.shaft = 2400.0 + 60.0 * std::sin(m.time / 10.0); }},
      {"altitude", [](Moment& m) { m.altitude = 5000.0 + 170.0 * std::sin(m.time / 10.0); }},
      {"outside temperature", [](Moment& m) { m.outside = 50.0 + 5.0 * std::sin(m.time / 10.0); }},
      {"fuel flow", [](Moment& m) { m.fuel = 7.0 + 0.7 * std::sin(m.time / 10.0); }}};
  for (const Held& held : cases) {
    const auto change = [&](Moment& m) {
      const double time = m.time;
      m = moment(1100.0);
      m.time = time;
      held.change(m);
    };
    const Segments segments = steady_segments(map(), screened(log_text(400.0, 0.0, change)));
    EXPECT_THAT(segments.found, IsEmpty()) << held.what;
    EXPECT_THAT(segments.findings, ElementsAre(HasSubstr(std::string(held.what) + " swings by")))
        << held.what;
  }
}

TEST(Segments, AreTooNoisyWhenTheSlopeCannotBeTold) {
  // Noise of +-40 degF spread evenly: 23 degF over 120 samples of 120 s leaves 2 * 23 / sqrt(144000) * 60 = 7
  // degF/min.
  const Segments segments = steady_segments(
      map(),
      parse_flight_log(map(), log_text(1100.0, 40.0, [](Moment& m) { m.speed = 105.0; }), "flight.csv"));
  EXPECT_THAT(segments.found, IsEmpty());
}

TEST(Segments, AreChosenSoThatTheyDiffer) {
  Segments segments;
  for (int i = 0; i < 30; ++i) {
    Segment segment;
    segment.begin = 1000.0 * i;
    segment.end = segment.begin + (i == 20 ? 600.0 : 300.0);
    segment.reading.true_airspeed = i == 7 ? 70.0 : 55.0 + 0.01 * i;
    segment.reading.shaft_power = i == 11 ? 90e3 : 70e3;
    segment.density_altitude = 1000.0;
    segments.found.push_back(segment);
  }
  EXPECT_EQ(choose_readings(segments), 30u);
  int n_named = 0;
  std::string last;
  for (const Segment& segment : segments.found) {
    if (segment.reading.name.empty()) continue;
    EXPECT_GT(segment.reading.name, last);
    last = segment.reading.name;
    ++n_named;
  }
  EXPECT_EQ(n_named, 9);
  for (const int i : {7, 11, 20})
    EXPECT_FALSE(segments.found[static_cast<std::size_t>(i)].reading.name.empty()) << i;
}

TEST(Segments, MakeReadingsThatAreReadBack) {
  const ::cowlwright::testing_support::ScratchFolder folder;
  Segments segments = steady_segments(map(), screened(sound_log()));
  choose_readings(segments);
  std::vector<Reading> readings;
  for (const Segment& segment : segments.found) readings.push_back(segment.reading);
  const auto file = folder.write("readings.toml", readings_toml(readings, reading_cautions()));
  EXPECT_EQ(readings_toml(read_readings_file(file, 4)), readings_toml(readings));
  EXPECT_THAT(readings, SizeIs(4));
}

TEST(LogReport, SaysWhatWasFoundWithItsCautions) {
  const LogMap with = map();
  const FlightLog log = screened(log_text());
  Segments segments = steady_segments(with, log);
  choose_readings(segments);
  const LogReport report{.map = &with, .log = &log, .segments = &segments};
  const std::string text = report_markdown(report);
  EXPECT_THAT(
      text,
      AllOf(HasSubstr("not an approval"),
            HasSubstr("boiling water"),
            HasSubstr("14 CFR 25.1045"),
            HasSubstr("indicated one, taken as calibrated"),
            HasSubstr("| segment | l1 (CHT2) | l2 (CHT4) | r1 (CHT1) | r2 (CHT3) | hottest | spread |"),
            HasSubstr("| l2 | 30."),
            HasSubstr("6.00 inH2O"),
            HasSubstr("Nothing was skipped or refused.")));
  const std::string csv = report_csv(report);
  EXPECT_THAT(csv,
              AllOf(HasSubstr("head_bottom,r1,\"CHT1\",\"degF\""), HasSubstr(",true_airspeed,,,m/s,,5")));
}

TEST(LogReport, ShowsMarginsWhenLimitsAreKnown) {
  const LogMap with = map();
  const FlightLog log = screened(sound_log());
  Segments segments = steady_segments(with, log);
  segments.found.resize(2);
  choose_readings(segments);
  // l2 (sensor 4) at 370 degF with 32 degF to the hot day, limit 435 degF: 402 and +33.
  const double hot = (402.0 + 459.67) / 1.8;
  const LogReport report{.map = &with,
                         .log = &log,
                         .segments = &segments,
                         .corrected = {{}, {{Kind::HeadBottom, 1, hot, (435.0 + 459.67) / 1.8}}},
                         .correction_rule = "the rule"};
  EXPECT_THAT(report_markdown(report),
              AllOf(HasSubstr("carried to the hot day of the rule"),
                    HasSubstr("| 2 | Head, bottom l2 | 370 degF | 402 degF | 435 degF | +33 degF |")));
  EXPECT_THAT(report_csv(report), HasSubstr(",402,435,33\n"));
}

TEST(LogPlot, DrawsNoLineOverAGap) {
  std::string text = sound_log(400.0);
  const auto moves = [](const std::string& svg) { return std::count(svg.begin(), svg.end(), 'M'); };
  const LogMap with = map();
  const auto whole = moves(log_svg(with, screened(text), {}));
  const auto from = text.find("\n200,");
  text.erase(from, text.find("\n260,") - from);
  // Each of the eleven lines begins once more.
  EXPECT_EQ(moves(log_svg(with, screened(text), {})) - whole, 11);
}

TEST(LogPlot, DrawsEveryColumnAndSegment) {
  const LogMap with = map();
  const FlightLog log = screened(sound_log());
  Segments segments = steady_segments(with, log);
  choose_readings(segments);
  const std::string svg = log_svg(with, log, segments);
  for (const char* column : {"CHT1 (r1)", "CHT4 (l2)", "Oil", "OAT", "IAS", "Alt", "RPM", "FF", "Deck"}) {
    EXPECT_THAT(svg, HasSubstr(std::string(">") + column + "</text>"));
  }
  std::size_t n_shaded = 0;
  for (auto at = svg.find("#cfe8cf"); at != std::string::npos; at = svg.find("#cfe8cf", at + 1)) ++n_shaded;
  EXPECT_EQ(n_shaded, segments.found.size());
  EXPECT_EQ(svg.find("nan"), std::string::npos);
}

}  // namespace
