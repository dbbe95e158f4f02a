// SPDX-License-Identifier: GPL-3.0-or-later
//
// Readings made with a network of known losses give these losses back.
#include "cases/network/with_readings.h"

#include "cases/network/study_coefficients.h"
#include "cases/starter.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::network {
namespace {

using readings::Measured;
using readings::Reading;
using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;

constexpr double true_factor = 1.3;
constexpr double true_shift = -0.06;

class DeckReadings : public testing::Test {
 protected:
  DeckReadings() : spec_(parse_study(starter_study_text(), "starter.toml").variants.front()) {
    truth_ = default_coefficients(spec_);
    for (InletCoefficients& inlet : truth_.inlets) {
      inlet.still_loss.value *= true_factor;
      inlet.deck_loss.value *= true_factor;
    }
  }

  /// What the decks of a cowl with these coefficients show.
  Reading reading(const Coefficients& truth, const std::string& name, double speed, bool with_taps) const {
    Reading result;
    result.name = name;
    result.true_airspeed = speed;
    result.air = spec_.flight.air;
    result.shaft_power = spec_.propeller.shaft_power;
    result.rotational_speed = spec_.propeller.rotational_speed;
    const State state = Model(spec_, truth).solve(condition_of(result));
    result.deck_pressure_difference = Measured{state.deck_pressure_difference(), 5.0};
    if (with_taps) {
      result.upper_deck_pressure =
          Measured{0.5 * (state.upper_deck_pressure[0] + state.upper_deck_pressure[1]), 5.0};
      result.lower_deck_pressure = Measured{state.lower_deck_pressure, 5.0};
    }
    return result;
  }

  VariantSpec spec_;
  Coefficients truth_;
};

TEST_F(DeckReadings, GiveTheInletLossBackFromTheDifference) {
  const std::vector<Reading> flown{reading(truth_, "reading_1", 50.0, false),
                                   reading(truth_, "reading_2", 65.0, false)};
  const Coefficients before = default_coefficients(spec_);
  const Coefficients after = with_readings(before, spec_, flown);
  for (std::size_t side = 0; side < 2; ++side) {
    EXPECT_NEAR(
        after.inlets[side].still_loss.value, true_factor * before.inlets[side].still_loss.value, 1e-5);
    EXPECT_NEAR(after.inlets[side].deck_loss.value, true_factor * before.inlets[side].deck_loss.value, 1e-5);
    EXPECT_NEAR(after.inlets[side].deck_loss.half_band, 0.15 * after.inlets[side].deck_loss.value, 1e-5);
    EXPECT_THAT(after.inlets[side].deck_loss.source,
                HasSubstr("times 1.300 by deck pressures in flight (reading_1, reading_2)"));
  }
  EXPECT_EQ(after.exit.pressure.value, before.exit.pressure.value);
  EXPECT_THAT(
      after.notes,
      AllOf(Contains(HasSubstr("cannot tell a loss at the inlets from a pressure at the exit")),
            Contains(AllOf(HasSubstr("reading_2: deck pressure difference measured"), HasSubstr("0.0 %)")))));
}

TEST_F(DeckReadings, GiveInletAndExitBackFromBothTaps) {
  truth_.exit.pressure.value += true_shift;
  const std::vector<Reading> flown{reading(truth_, "reading_1", 50.0, true),
                                   reading(truth_, "reading_2", 65.0, true)};
  const Coefficients before = default_coefficients(spec_);
  const Coefficients after = with_readings(before, spec_, flown);
  EXPECT_NEAR(after.inlets[0].deck_loss.value, true_factor * before.inlets[0].deck_loss.value, 1e-5);
  EXPECT_NEAR(after.exit.pressure.value, before.exit.pressure.value + true_shift, 1e-5);
  EXPECT_EQ(after.exit.pressure.half_band, 0.03);
  EXPECT_THAT(after.exit.pressure.source, HasSubstr("-0.060 by deck pressures in flight"));
  EXPECT_THAT(after.notes, Contains(HasSubstr("say nothing of the law of the cores")));
}

TEST_F(DeckReadings, PutAllOnTheInletsWhenTheExitDiffers) {
  // The truth differs at the exit alone: the difference is met, the inlets' loss is not what it was.
  Coefficients truth = default_coefficients(spec_);
  truth.exit.pressure.value += true_shift;
  const std::vector<Reading> flown{reading(truth, "reading_1", 55.0, false)};
  const Coefficients after = with_readings(default_coefficients(spec_), spec_, flown);
  EXPECT_LT(after.inlets[0].deck_loss.value, default_coefficients(spec_).inlets[0].deck_loss.value);
  EXPECT_NEAR(Model(spec_, after).solve(condition_of(flown[0])).deck_pressure_difference(),
              flown[0].deck_pressure_difference->value,
              1e-2);
}

TEST_F(DeckReadings, WidenTheBandWhenTheyContradict) {
  Coefficients other = default_coefficients(spec_);
  for (InletCoefficients& inlet : other.inlets) {
    inlet.still_loss.value *= 0.7;
    inlet.deck_loss.value *= 0.7;
  }
  const std::vector<Reading> flown{reading(truth_, "reading_1", 50.0, false),
                                   reading(other, "reading_2", 50.0, false)};
  const Coefficients after = with_readings(default_coefficients(spec_), spec_, flown);
  // Factors 1.3 and 0.7: their geometric mean is 0.954, either is 36 % off it.
  EXPECT_NEAR(
      after.inlets[0].deck_loss.value / default_coefficients(spec_).inlets[0].deck_loss.value, 0.9539, 1e-4);
  EXPECT_NEAR(after.inlets[0].deck_loss.half_band / after.inlets[0].deck_loss.value, 0.3628, 1e-4);
}

TEST_F(DeckReadings, WarnOfACorrectionThatIsTooLargeToBeTheInlets) {
  Coefficients truth = default_coefficients(spec_);
  for (InletCoefficients& inlet : truth.inlets) {
    inlet.still_loss.value *= 2.2;
    inlet.deck_loss.value *= 2.2;
  }
  const Model model(spec_, default_coefficients(spec_));
  const auto correction =
      deck_correction(model, std::vector<Reading>{reading(truth, "reading_1", 55.0, false)});
  EXPECT_NEAR(correction.loss_factor, 2.2, 1e-4);
  EXPECT_THAT(correction.notes, Contains(HasSubstr("points to something else")));
  EXPECT_THAT(deck_correction(model, std::vector<Reading>{reading(truth_, "reading_1", 55.0, false)}).notes,
              Not(Contains(HasSubstr("points to something else"))));
}

TEST_F(DeckReadings, ChangeNothingWhenNoLossExplainsThem) {
  Reading flown = reading(truth_, "reading_4", 55.0, false);
  flown.deck_pressure_difference->value *= 3.0;
  const Coefficients before = default_coefficients(spec_);
  const Coefficients after = with_readings(before, spec_, std::vector<Reading>{flown});
  EXPECT_EQ(after.inlets[0].deck_loss.value, before.inlets[0].deck_loss.value);
  EXPECT_EQ(after.inlets[0].deck_loss.source, before.inlets[0].deck_loss.source);
  EXPECT_THAT(after.notes,
              Contains(AllOf(HasSubstr("reading_4: its deck pressures are not used"),
                             HasSubstr("Look at exit, leaks"))));
  Reading taps = reading(truth_, "reading_5", 55.0, true);
  taps.lower_deck_pressure->value += 50e3;
  EXPECT_THAT(with_readings(before, spec_, std::vector<Reading>{taps}).notes,
              Contains(AllOf(HasSubstr("reading_5: its deck pressures are not used"),
                             HasSubstr("Look at the taps"))));
}

TEST_F(DeckReadings, SayNothingWithoutDeckPressures) {
  Reading flown = reading(truth_, "reading_1", 55.0, false);
  flown.deck_pressure_difference.reset();
  const Coefficients after = with_readings(default_coefficients(spec_), spec_, std::vector<Reading>{flown});
  EXPECT_THAT(after.notes, testing::ElementsAreArray(default_coefficients(spec_).notes));
  EXPECT_THAT(fit_decks(Model(spec_, after), std::vector<Reading>{flown}), IsEmpty());
}

TEST_F(DeckReadings, OfOneVariantCorrectTheOthersToo) {
  spec_.readings = {reading(truth_, "reading_1", 50.0, false)};
  VariantSpec other = parse_study(starter_study_text(), "starter.toml").variants.back();
  ASSERT_NE(other.variant.name, spec_.variant.name);
  const Coefficients before = StudyCoefficients().of(other);
  const Coefficients after = StudyCoefficients(spec_).of(other);
  for (std::size_t side = 0; side < 2; ++side) {
    EXPECT_NEAR(after.inlets[side].deck_loss.value, true_factor * before.inlets[side].deck_loss.value, 1e-5);
  }
  EXPECT_EQ(after.exit.pressure.value, before.exit.pressure.value);
  EXPECT_THAT(after.notes,
              AllOf(Contains(HasSubstr("measured in variant " + spec_.variant.name)),
                    Not(Contains(HasSubstr("reading_1: deck pressure difference measured")))));
}

TEST_F(DeckReadings, OfItsOwnCorrectAVariantWithWhatIsLeft) {
  spec_.readings = {reading(truth_, "reading_1", 50.0, false)};
  const Coefficients after = StudyCoefficients(spec_).of(spec_);
  EXPECT_NEAR(after.inlets[0].deck_loss.value, truth_.inlets[0].deck_loss.value, 1e-5);
  EXPECT_THAT(after.notes,
              AllOf(Contains(HasSubstr("reading_1: deck pressure difference measured")),
                    Not(Contains(HasSubstr("measured in variant")))));
}

TEST_F(DeckReadings, ChangeNothingWhereThereAreNone) {
  VariantSpec other = parse_study(starter_study_text(), "starter.toml").variants.back();
  const Coefficients before = StudyCoefficients().of(other);
  const Coefficients after = StudyCoefficients(spec_).of(other);
  EXPECT_EQ(after.inlets[0].deck_loss.value, before.inlets[0].deck_loss.value);
  EXPECT_EQ(after.notes, before.notes);
}

}  // namespace
}  // namespace cowlwright::network
