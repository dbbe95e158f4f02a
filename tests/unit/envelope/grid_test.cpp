// SPDX-License-Identifier: GPL-3.0-or-later
//
// The envelope's points, its worst corner, its files.
#include "cases/envelope/grid.h"

#include "geometry/base/error.h"
#include "tests/unit/envelope/studies.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

namespace {

using namespace cowlwright;
using namespace cowlwright::envelope;
using namespace cowlwright::testing_support;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

const Changes small{{R"(["75 mph", "90 mph", "105 mph", "120 mph", "135 mph"])", R"(["50 mph", "100 mph"])"},
                    {R"(["8 deg", "5 deg", "3 deg", "2 deg", "1 deg"])", R"(["8 deg", "3 deg"])"},
                    {R"(["0 ft", "3000 ft", "6000 ft", "9000 ft"])", R"(["0 ft", "6000 ft"])"}};

Envelope map(Changes changes = {}) {
  changes.insert(changes.begin(), small.begin(), small.end());
  const DisturbedModel model = disturbed(six_cylinders_gliding(changes));
  return solve_envelope("Six", EngineTemperatures(model), model);
}

TEST(Envelope, HasEveryPointOnceInItsPlace) {
  const Envelope e = map();
  ASSERT_EQ(e.points.size(), 2u * 2u * 2u * 2u);
  const Point& p = e.at(1, 0, 1, 0);
  EXPECT_EQ(p.speed, 1u);
  EXPECT_EQ(p.day, 1u);
  EXPECT_NEAR(p.condition.air.temperature, (100.0 + 459.67) / 1.8, 1e-9);
  EXPECT_NEAR(p.calibrated_airspeed, 100.0 * 0.44704, 1e-6);
  EXPECT_GT(p.condition.true_airspeed, p.calibrated_airspeed);
}

TEST(Envelope, MarksTheStallAndLeavesItOutOfTheWorst) {
  const Envelope e = map();
  EXPECT_TRUE(e.at(0, 0, 0, 0).is_below_stall);
  EXPECT_FALSE(e.at(1, 0, 0, 0).is_below_stall);
  ASSERT_NE(e.worst(), nullptr);
  EXPECT_EQ(e.worst()->speed, 1u);
}

TEST(Envelope, WorstCornerIsTheSmallestMarginInWords) {
  const Envelope e = map();
  double smallest = INFINITY;
  for (const Point& p : e.points) {
    if (p.is_flown()) smallest = std::min(smallest, drawn(*p.tightest()->margin));
  }
  EXPECT_EQ(drawn(*e.worst()->tightest()->margin), smallest);
  EXPECT_THAT(e.worst_in_words(),
              AllOf(HasSubstr("Worst corner: climb, hot day"),
                    HasSubstr("head, at its bottom, cylinder "),
                    HasSubstr("extrapolated beyond the readings")));
}

TEST(Envelope, RegulationAddsTheWholeDifferenceOfOutsideTemperatures) {
  const Envelope e = map({{"[envelope]", "[envelope]\nmethod = \"regulation\""}});
  const double standard = *e.at(1, 0, 0, 0).shown[0].temperature.value;
  const double hot = *e.at(1, 0, 1, 0).shown[0].temperature.value;
  EXPECT_NEAR(hot - standard, (100.0 - 59.0) / 1.8, 1e-6);
}

TEST(Envelope, ByTheModelAHeadFollowsTheDayByLess) {
  const Envelope e = map();
  const double difference =
      *e.at(1, 0, 1, 0).shown[0].temperature.value - *e.at(1, 0, 0, 0).shown[0].temperature.value;
  EXPECT_GT(difference, 5.0);
  EXPECT_LT(difference, 41.0 / 1.8 * 1.3);  // thinner air besides
}

TEST(Envelope, WithoutALimitThereIsNoMarginAndNoPictureAndItIsSaid) {
  const Envelope e = map({{"head_bottom = \"420 degF\"", ""}});
  EXPECT_EQ(e.worst(), nullptr);
  EXPECT_TRUE(envelope_svg(e).empty());
  EXPECT_THAT(envelope_markdown(e),
              AllOf(HasSubstr("No point has a margin."), HasSubstr("No margin: there is no limit")));
}

TEST(Envelope, NeedsItsSection) {
  VariantSpec spec = six_cylinders_gliding();
  spec.temperatures.envelope = {};
  const DisturbedModel model = disturbed(spec);
  const EngineTemperatures engine(model);
  EXPECT_THAT([&] { solve_envelope("Six", engine, model); },
              testing::ThrowsMessage<base::InputError>(HasSubstr("no section [envelope]")));
}

TEST(EnvelopeFiles, HoldTheSameNumbersAndTheCautions) {
  const Envelope e = map();
  const nlohmann::json j = nlohmann::json::parse(envelope_json(e));
  ASSERT_EQ(j["points"].size(), e.points.size());
  EXPECT_EQ(j["points"][1]["temperatures"][0]["margin"]["value"], *e.points[1].shown[0].margin->value);
  EXPECT_EQ(j["points"][0]["status"], "stall");
  const std::string md = envelope_markdown(e);
  const std::string svg = envelope_svg(e);
  for (const std::string& caution : cautions()) EXPECT_THAT(md, HasSubstr(caution));
  EXPECT_THAT(svg,
              AllOf(HasSubstr("An estimate, not an approval"),
                    HasSubstr("pressure altitude [ft]"),
                    HasSubstr("calibrated airspeed [kt]"),
                    HasSubstr("url(#hatch)")));
  const std::string csv = envelope_csv(e);
  EXPECT_THAT(csv, HasSubstr("below stall"));
  // Head, and a row for each point's two sites.
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), static_cast<std::ptrdiff_t>(1 + 2 * e.points.size()));
}

TEST(EnvelopeFiles, WithoutReadingsSayThatThereAreBandsOnly) {
  VariantSpec spec =
      six_cylinders_gliding({{"[limits]", "[temperatures]\nrated_power = \"125 hp\"\n[limits]"}});
  spec.readings.clear();
  const DisturbedModel model = disturbed(spec);
  const Envelope e = solve_envelope("Six", EngineTemperatures(model), model);
  EXPECT_FALSE(e.has_values);
  EXPECT_THAT(envelope_markdown(e),
              AllOf(HasSubstr("bands, no numbers"), HasSubstr("margin between"), Not(HasSubstr("**-"))));
  EXPECT_THAT(envelope_svg(e), HasSubstr("no reading, so no number"));
}

TEST(CalibratedAirspeed, IsTrueAtSeaLevelAndGoesBack) {
  EXPECT_NEAR(calibrated_from_true(50.0, {}), 50.0, 1e-9);
}

}  // namespace
