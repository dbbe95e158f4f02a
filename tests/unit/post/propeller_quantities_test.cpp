// SPDX-License-Identifier: GPL-3.0-or-later
//
// Loads of the propeller and its air ahead of the inlets, worked out by hand from the sample's round numbers
// (sample_results.h), for both senses of rotation.
#include "post/quantities/variant_result.h"
#include "tests/unit/post/expected_values.h"
#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::post {
namespace {

using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using namespace cowlwright::post::synthetic;

// 980 N and 245 N m at 240 rad/s: 58.8 kW; 980 * 50 / 58800 = 0.8333; both 2 % below the prediction.
TEST(PropellerQuantities, PropellerLoadsOfAClockwisePropeller) {
  const VariantResult result = evaluate(sample_manifest(), sample_results());
  expect_value(result, "propeller_thrust", 980.0);
  expect_value(result, "propeller_torque", 245.0);
  expect_value(result, "propeller_power", 58.8);
  expect_value(result, "propeller_efficiency", 5.0 / 6.0);
  expect_value(result, "propeller_thrust_deviation", -2.0);
  expect_value(result, "propeller_torque_deviation", -2.0);
}

// Disk of 2 m: pi m²; 980 / (1500 pi) = 0.2079622; 2 / (1 + sqrt(1.2079622)) = 0.952801.
TEST(PropellerQuantities, PropellerEfficiencyStandsBesideItsMomentumLimit) {
  EXPECT_NEAR(value(evaluate(sample_manifest(), sample_results()), "propeller_efficiency_limit"),
              0.952801,
              1e-6);  // worked out to 6 digits
}

// 980 N from 230 N m: 980 * 50 / (230 * 240) = 0.888, below 0.953; from 210 N m 0.972, 2 % above; from 180 N
// m 1.134.
TEST(PropellerQuantities, APropellerThatBeatsMomentumTheoryIsNotedAndFarBeyondFlagged) {
  RawResults raw = sample_results();
  raw.fields.rotor->moment.x = 230.0;
  EXPECT_THAT(evaluate(sample_manifest(), raw).notes, Each(Not(HasSubstr("momentum"))));
  raw.fields.rotor->moment.x = 210.0;
  EXPECT_THAT(evaluate(sample_manifest(), raw).notes,
              Contains(HasSubstr("efficiency 0.972 beats momentum theory's 0.953")));
  EXPECT_THAT(evaluate(sample_manifest(), raw).flags, IsEmpty());
  raw.fields.rotor->moment.x = 180.0;
  EXPECT_THAT(evaluate(sample_manifest(), raw).flags, Contains(HasSubstr("the propeller model is wrong")));
}

// The other sense of rotation turns the moment of the air on the blades, not the power absorbed.
TEST(PropellerQuantities, AnAnticlockwisePropellerAbsorbsPowerToo) {
  base::Manifest manifest = sample_manifest();
  manifest.propeller->clockwise = false;
  RawResults raw = sample_results();
  raw.fields.rotor->moment.x = -245.0;
  expect_value(evaluate(manifest, raw), "propeller_torque", 245.0);
}

// Its force is put in, not found: thrust is known, there is no torque, and nothing is missing.
TEST(PropellerQuantities, UniformDiskReportsTheThrustPutInAndNoTorque) {
  base::Manifest manifest = sample_manifest();
  manifest.propeller->force_field.clear();
  RawResults raw = sample_results();
  raw.fields.rotor.reset();
  const VariantResult result = evaluate(manifest, raw);
  expect_value(result, "propeller_thrust", 1000.0);
  EXPECT_EQ(result.find("propeller_thrust")->basis, Basis::Fixed);
  for (const char* id : {"propeller_torque", "propeller_power", "propeller_efficiency"}) {
    EXPECT_EQ(result.find(id), nullptr) << id;
  }
  EXPECT_THAT(result.notes, Each(Not(HasSubstr("propeller loads are missing"))));
}

TEST(PropellerQuantities, WithoutPropellerThereAreNoPropellerQuantities) {
  base::Manifest manifest = sample_manifest();
  manifest.propeller.reset();
  const VariantResult result = evaluate(manifest, sample_results());
  EXPECT_EQ(result.find("propeller_thrust"), nullptr);
  EXPECT_THAT(result.notes, Each(Not(HasSubstr("propeller"))));
}

// 58.8 kW absorbed: of 50 kW 17.6 % too much, of 60 kW 2 % too little; 57 kW in free air.
TEST(PropellerQuantities, AFixedPitchReportsThePowerItAbsorbsAgainstTheShafts) {
  base::Manifest manifest = sample_manifest();
  manifest.propeller->pitch_mode = base::PitchMode::Fixed;
  manifest.propeller->power = 57e3;
  manifest.propeller->shaft_power = 50e3;
  const VariantResult result = evaluate(manifest, sample_results());
  expect_value(result, "propeller_power_mismatch", 17.6);
  EXPECT_THAT(
      result.notes,
      Contains(HasSubstr("absorbs 58.8 kW here and 57.0 kW in free air, the shaft power is 50.0 kW")));
  manifest.propeller->shaft_power = 60e3;
  expect_value(evaluate(manifest, sample_results()), "propeller_power_mismatch", -2.0);
}

TEST(PropellerQuantities, APropellerTrimmedToItsPowerHasNoMismatch) {
  EXPECT_EQ(evaluate(sample_manifest(), sample_results()).find("propeller_power_mismatch"), nullptr);
}

base::Manifest anticlockwise_manifest() {
  base::Manifest manifest = sample_manifest();
  manifest.propeller->clockwise = false;
  return manifest;
}

// 539 of 980 N on the right, where the blades of a clockwise propeller go down: 55 %.
TEST(PropellerQuantities, TheRightHalfOfAClockwisePropellerIsTheDescendingOne) {
  const VariantResult result = evaluate(sample_manifest(), sample_results());
  expect_value(result, "propeller_thrust_descending", 539.0);
  expect_value(result, "propeller_thrust_ascending", 441.0);
  expect_value(result, "propeller_descending_share", 55.0);
}

TEST(PropellerQuantities, TheLeftHalfOfAnAnticlockwisePropellerIsTheDescendingOne) {
  const VariantResult result = evaluate(anticlockwise_manifest(), sample_results());
  expect_value(result, "propeller_thrust_descending", 441.0);
  expect_value(result, "propeller_thrust_ascending", 539.0);
  expect_value(result, "propeller_descending_share", 45.0);
}

// The force on the blades is (-980, 15, -8) N, whichever way they turn.
TEST(PropellerQuantities, ForcesAcrossTheShaftArePositiveToTheRightAndUpwards) {
  for (const base::Manifest& manifest : {sample_manifest(), anticlockwise_manifest()}) {
    const VariantResult result = evaluate(manifest, sample_results());
    expect_value(result, "propeller_side_force", 15.0);
    expect_value(result, "propeller_normal_force", -8.0);
  }
}

/// Discs of 0.01 m² on both sides. Left: 20 m/s along the shaft, 5 m/s clockwise; right: 30 and -2 m/s. Total
/// pressures 91800 and 91500 Pa.
VariantResult with_surveys(base::Manifest manifest, std::size_t n_outside = 0) {
  RawResults raw = sample_results();
  for (const base::Side side : {base::Side::Left, base::Side::Right}) {
    base::PlaneRecord disc;
    disc.side = side;
    disc.area = 0.01;
    manifest.surveys.push_back(disc);
  }
  raw.fields.surveys = {{"ahead_left", 96, 0, 20.0, 5.0, 91800.0},
                        {"ahead_right", 96, n_outside, 30.0, -2.0, 91500.0}};
  return evaluate(manifest, raw);
}

// atan(5/20) = 14.036243 deg, atan(2/30) = 3.814075 deg, both together atan(3/50) = 3.433630 deg; to 7
// digits.
TEST(PropellerQuantities, SwirlIsPositiveTheWayThePropellerTurns) {
  constexpr double digits = 1e-6;
  const VariantResult clockwise = with_surveys(sample_manifest());
  EXPECT_NEAR(value(clockwise, "inlet_swirl_left"), 14.036243, digits);
  EXPECT_NEAR(value(clockwise, "inlet_swirl_right"), -3.814075, digits);
  EXPECT_NEAR(value(clockwise, "inlet_swirl"), 3.433630, digits);
  const VariantResult anticlockwise = with_surveys(anticlockwise_manifest());
  EXPECT_NEAR(value(anticlockwise, "inlet_swirl_left"), -14.036243, digits);
  EXPECT_NEAR(value(anticlockwise, "inlet_swirl_right"), 3.814075, digits);
}

// 1800 and 1500 Pa above 90000 Pa, q = 1500 Pa.
TEST(PropellerQuantities, TotalPressureAheadOfTheInletsIsInPartsOfQ) {
  const VariantResult result = with_surveys(sample_manifest());
  expect_value(result, "inlet_total_pressure_left", 1.2);
  expect_value(result, "inlet_total_pressure_right", 1.0);
}

TEST(PropellerQuantities, WithoutPropellerThereIsTotalPressureButNoSwirlAheadOfTheInlets) {
  base::Manifest manifest = sample_manifest();
  manifest.propeller.reset();
  const VariantResult result = with_surveys(manifest);
  expect_value(result, "inlet_total_pressure_left", 1.2);
  EXPECT_EQ(result.find("inlet_swirl_left"), nullptr);
  EXPECT_EQ(result.find("inlet_swirl"), nullptr);
}

TEST(PropellerQuantities, ADiscThatReachesIntoTheSolidIsLeftOutAndNoted) {
  const VariantResult result = with_surveys(sample_manifest(), 3);
  EXPECT_NE(result.find("inlet_swirl_left"), nullptr);
  for (const char* id : {"inlet_swirl_right", "inlet_total_pressure_right", "inlet_swirl"}) {
    EXPECT_EQ(result.find(id), nullptr) << id;
  }
  EXPECT_THAT(result.notes, Contains(HasSubstr("survey ahead_right: 3 of its 96 points lie in no cell")));
}

}  // namespace
}  // namespace cowlwright::post
