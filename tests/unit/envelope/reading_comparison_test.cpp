// SPDX-License-Identifier: GPL-3.0-or-later
//
// Estimates beside readings that were made with a known network and known temperatures.
#include "cases/envelope/reading_comparison.h"

#include "cases/network/with_readings.h"
#include "cases/starter.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::envelope {
namespace {

using readings::Measured;
using readings::Reading;
using testing::AllOf;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

Compared pressure(double measured, double band, double value, double half) {
  return {.reading = "reading_1",
          .quantity = "deck pressure difference",
          .measured = measured,
          .measured_band = band,
          .low = value - half,
          .high = value + half,
          .value = value};
}

TEST(ReadingComparison, ClaimsADifferenceOnlyBeyondBothBands) {
  EXPECT_FALSE(pressure(1100.0, 40.0, 1000.0, 60.0).differs());
  EXPECT_TRUE(pressure(1101.0, 40.0, 1000.0, 60.0).differs());
  EXPECT_EQ(in_words(pressure(1100.0, 40.0, 1000.0, 60.0)),
            "measured 10 % more than estimated, within both bands together");
  EXPECT_EQ(in_words(pressure(800.0, 40.0, 1000.0, 60.0)),
            "measured 20 % less than estimated, **beyond** both bands together");
  Compared head = pressure(460.0, 1.0, 450.0, 20.0);
  head.is_temperature = true;
  EXPECT_EQ(in_words(head), "measured 10 K more than estimated, within both bands together");
  head.value.reset();
  EXPECT_EQ(in_words(head), "within both bands together");
  head.low.reset();
  head.missing = "no fuel flow";
  EXPECT_EQ(in_words(head), "no estimate: no fuel flow");
}

class FlownReadings : public testing::Test {
 protected:
  FlownReadings() : spec_(parse_study(starter_study_text(), "starter.toml").variants.front()) {
    network::Coefficients truth = network::default_coefficients(spec_);
    for (network::InletCoefficients& inlet : truth.inlets) {
      inlet.still_loss.value *= 1.4;
      inlet.deck_loss.value *= 1.4;
    }
    const network::Model model(spec_, truth);
    for (const double speed : {52.0, 60.0}) {
      Reading reading;
      reading.name = speed < 55.0 ? "reading_1" : "reading_2";
      reading.true_airspeed = speed;
      reading.air = spec_.flight.air;
      reading.shaft_power = spec_.propeller.shaft_power;
      reading.rotational_speed = spec_.propeller.rotational_speed;
      reading.fuel_flow = 0.0056;
      reading.deck_pressure_difference =
          Measured{model.solve(network::condition_of(reading)).deck_pressure_difference(), 2.0};
      reading.head_bottom = {Measured{450.0, 0.5}, Measured{455.0, 0.5}, Measured{460.0, 0.5}, std::nullopt};
      flown_.push_back(reading);
    }
  }

  VariantSpec spec_;
  std::vector<Reading> flown_;
};

TEST_F(FlownReadings, StandBesideTheEstimate) {
  const std::vector<Compared> found = compare_decks(spec_, network::default_coefficients(spec_), flown_);
  ASSERT_THAT(found, SizeIs(2));
  for (const Compared& row : found) {
    EXPECT_LT(row.measured, *row.value);  // more loss than the estimate has
    EXPECT_LT(*row.low, *row.value);
    EXPECT_GT(*row.high, *row.value);
    EXPECT_EQ(row.measured_band, 4.0);
  }
}

TEST_F(FlownReadings, AreEstimatedByTheOthers) {
  const std::vector<Compared> found = compare_left_out(spec_, network::default_coefficients(spec_), flown_);
  // One pressure and three heads of each; both readings have one loss, so each gives the other's pressure.
  ASSERT_THAT(found, SizeIs(8));
  for (const std::size_t i : {0u, 4u}) {
    EXPECT_EQ(found[i].quantity, "deck pressure difference");
    EXPECT_NEAR(*found[i].value, found[i].measured, 0.5);
    EXPECT_FALSE(found[i].differs());
  }
  // 15 % more airspeed cools better, so the slow reading's heads, equal to the fast one's, lie below what the
  // fast one makes of the slow condition.
  EXPECT_EQ(found[1].quantity, "head, at its bottom l1");
  EXPECT_LT(found[1].measured, *found[1].value);
  EXPECT_GT(found[5].measured, *found[5].value);
  EXPECT_THAT(compare_left_out(spec_, network::default_coefficients(spec_), std::span(flown_).first(1)),
              IsEmpty());
}

TEST_F(FlownReadings, AreToldInWordsWithWhatTheySayOfTheNetwork) {
  const auto one = std::span(flown_).first(1);
  const std::string text = comparison_text(spec_, network::default_coefficients(spec_), one);
  EXPECT_THAT(text,
              AllOf(HasSubstr("## Deck pressures beside the estimate"),
                    HasSubstr("less than estimated"),
                    HasSubstr("The losses of both inlets are 1.400 times"),
                    HasSubstr("cannot tell a loss at the inlets"),
                    testing::Not(HasSubstr("## Each reading by the others"))));
  flown_[0].deck_pressure_difference.reset();
  EXPECT_THAT(comparison_text(spec_, network::default_coefficients(spec_), one), IsEmpty());
}

}  // namespace
}  // namespace cowlwright::envelope
